"""A picture for the phone's lock screen: the colours to hold to a garment, with nothing where clock and buttons are.

No name of a person is on it: anybody may see a lock screen.
"""

import io
from collections.abc import Sequence
from functools import cache

from PIL import Image, ImageDraw, ImageFont, PngImagePlugin

from tenter.errors import MissingPart, TenterError
from tenter.given import given_whole
from tenter.language import _, language
from tenter.report.phone_page.content import Band, PhoneColours
from tenter.report.phone_page.ink import Ink, ink_on
from tenter.report.words.wording import sentence

SIZE = (1170, 2532)  # pixels; a common phone's, and others crop or scale it
_FREE_TOP, _FREE_BOTTOM = 0.335, 0.145  # shares of the height that clock, date and buttons take: from memory
_GROUND = "#777777"  # a neutral grey of L* 50, on which a phone's white clock can be read
_INK = {Ink.DARK: "#000000", Ink.LIGHT: "#ffffff"}
_ROWS = (1.25, 1.0, 1.0, 0.8)  # heights of the rows: red and white, eight colours, neutrals
_LEAST, _MOST = 320, 8000  # pixels a side
_SMALLEST = 8  # pixels, for a word that is wider than its colour
# Noto by its file names, looked for among the system's fonts; the first that has every letter is taken.
_FONTS = tuple(
    f"NotoSans{script}-Regular.{kind}"
    for script, kind in (
        *(("", "ttf"), ("Arabic", "ttf"), ("Hebrew", "ttf"), ("Devanagari", "ttf"), ("Bengali", "ttf")),
        *(("Tamil", "ttf"), ("Thai", "ttf"), ("Armenian", "ttf"), ("Georgian", "ttf"), ("CJK", "ttc")),
    )
)
_NO_LETTER = "\uffff"  # drawn as a font draws what it lacks


def lock_screen_png(shown: PhoneColours, size: tuple[int, int] = SIZE) -> bytes:
    """Return the lock screen as a PNG of sRGB colours, tagged so; `size` is width and height in pixels.

    Raises
    ------
    MissingPart
        If no Noto font is installed.
    TenterError
        If the size is no phone's.
    """
    width, height = (given_whole(side, _("a side of the lock screen in pixels"), _LEAST) for side in size)
    if max(width, height) > _MOST:
        raise TenterError(
            _(
                "a lock screen has at most {most} pixels a side; got {width} × {height}",
                most=_MOST,
                width=width,
                height=height,
            )
        )
    picture = Image.new("RGB", (width, height), _GROUND)
    draw = ImageDraw.Draw(picture)
    top, bottom = round(height * _FREE_TOP), round(height * (1 - _FREE_BOTTOM))
    rows = _rows(shown)
    share = (bottom - top) / sum(tall for _, tall in rows)
    above = float(top)
    for bands, tall in rows:
        _row(draw, bands, width, (round(above), round(above + share * tall)))
        above += share * tall
    return _png(picture)


def _rows(shown: PhoneColours) -> list[tuple[Sequence[Band], float]]:
    """Return the rows that have colours: red and white, the strip in two halves, and neutrals."""
    first = _one_of_each_use(shown.bands("first"))[:2]
    strip = [band for band in shown.strip.bands if band.name not in {b.name for b in first}]
    half = -(-len(strip) // 2)
    neutrals = _one_of_each_use(shown.bands("neutrals"))[-4:]
    rows = (first, strip[:half], strip[half:], neutrals)
    return [(bands, tall) for bands, tall in zip(rows, _ROWS, strict=True) if bands]


def _one_of_each_use(bands: Sequence[Band]) -> list[Band]:
    """Return the colours that are for something, such as "your red"; all of them where none is."""
    return [band for band in bands if band.use] or list(bands)


def _row(draw: ImageDraw.ImageDraw, bands: Sequence[Band], width: int, height: tuple[int, int]) -> None:
    """Draw colours side by side from edge to edge, each with its name at its foot."""
    edges = [round(width * n / len(bands)) for n in range(len(bands) + 1)]
    size = width // (20 if len(bands) <= 2 else 30)
    for band, left, right in zip(bands, edges, edges[1:], strict=False):
        draw.rectangle((left, height[0], right - 1, height[1] - 1), fill=band.hex)
        margin = size // 2
        _words(draw, band, size, (left + margin, right - margin), height[1] - margin)


def _words(draw: ImageDraw.ImageDraw, band: Band, size: int, ends: tuple[int, int], foot: int) -> None:
    """Write what a colour is for and its name between two ends, from the side that the language is read from."""
    width = ends[1] - ends[0]
    while True:
        text = "\n".join(_lines(draw, band, size, width))
        font = _font(text, size)
        if size <= _SMALLEST or max(draw.textlength(line, font) for line in text.split("\n")) <= width:
            break
        size -= 1
    from_left = language().direction == "ltr"
    draw.multiline_text(
        (ends[0] if from_left else ends[1], foot),
        text,
        _INK[ink_on(band.hex)],
        font,
        anchor="ld" if from_left else "rd",
        align="left" if from_left else "right",
        spacing=size // 6,
    )


def _lines(draw: ImageDraw.ImageDraw, band: Band, size: int, width: int) -> list[str]:
    """Return what a colour is for and its name, broken so that each line fits."""
    lines = []
    for words in filter(None, (sentence(band.use_beside_name), band.name)):
        line = ""
        for word in words.split():
            longer = f"{line} {word}".strip()
            if line and draw.textlength(longer, _font(longer, size)) > width:
                lines.append(line)
                longer = word
            line = longer
        lines.append(line)
    return lines


@cache
def _font(text: str, size: int) -> ImageFont.FreeTypeFont:
    """Return the first Noto font that has every letter of a text, or the first that is installed."""
    installed = [font for name in _FONTS if (font := _installed(name, size))]
    if not installed:
        raise MissingPart(
            _("the lock screen is drawn with a Noto font, and none is installed; try the package fonts-noto-core")
        )
    return next((font for font in installed if _has_letters(font, text)), installed[0])


@cache
def _installed(name: str, size: int) -> ImageFont.FreeTypeFont | None:
    try:
        return ImageFont.truetype(name, size)
    except OSError:
        return None


def _has_letters(font: ImageFont.FreeTypeFont, text: str) -> bool:
    lacking = bytes(font.getmask(_NO_LETTER))
    return all(bytes(font.getmask(letter)) != lacking for letter in set(text) if not letter.isspace())


def _png(picture: Image.Image) -> bytes:
    tags = PngImagePlugin.PngInfo()
    tags.add(b"sRGB", b"\x00")  # the colours are sRGB, to be shown perceptually: PNG, third edition, 11.3.2.5
    file = io.BytesIO()
    picture.save(file, "PNG", pnginfo=tags, optimize=True)
    return file.getvalue()
