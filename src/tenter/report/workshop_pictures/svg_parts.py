"""What the pictures of the workshop are drawn of: words, lines and cloths as SVG, in the papers' ink and greys."""

from collections.abc import Sequence
from html import escape
from typing import Final

from tenter.report.words.plain_text import one_line

INK: Final = "#1e1e1e"  # L* 11, of the papers
QUIET: Final = "#555555"  # L* 36: words beside, on white alone
HAIRLINE: Final = "#bebebe"  # L* 77
LOOKING_GREY: Final = "#c6c6c6"  # L* 80, neutral: behind colours that one only looks at
JUDGING_GREY: Final = "#848484"  # L* 55, neutral: behind colours that one judges
LETTERS: Final = 16.0  # the least size of words in the pictures' units: 8 pt where a paper draws a picture 170 mm wide
_TEETH: Final = 8  # of a pinked edge as long as the cloth is high
_SERIF: Final = "Libertinus Serif, Noto Serif, serif"
_SANS: Final = "Noto Sans, sans-serif"


def svg_document(size: tuple[int, int], title: str, told: str, parts: Sequence[str], top: int = 0) -> str:
    """Return a picture as the text of an SVG file.

    size: width and height in the picture's own units. told: what it shows, for whoever does not see it. top: how much
    is left off above, in those units.
    """
    width, height = size[0], size[1] - top
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" '
            f'viewBox="0 {top} {width} {height}" role="img">',
            f"<title>{escape(one_line(title))}</title>",
            f"<desc>{escape(one_line(told))}</desc>",
            f'<rect y="{top}" width="{width}" height="{height}" fill="#ffffff"/>',
            *parts,
            "</svg>\n",
        ]
    )


def svg_heading(x: float, y: float, words: str, size: float = 22.0) -> str:
    """Return a heading in the sheet's serif; x, y and size in the picture's units, the foot of its letters at y."""
    return f'<text x="{x:g}" y="{y:g}" font-family="{_SERIF}" font-size="{size:g}" fill="{INK}">{_safe(words)}</text>'


def svg_words(
    x: float,
    y: float,
    words: str,
    size: float = LETTERS,
    anchor: str = "start",
    fill: str = INK,
    weight: str = "normal",
) -> str:
    """Return words in the sheet's sans; x, y and size in the picture's units. anchor: start, middle or end."""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-family="{_SANS}" font-size="{size:g}" text-anchor="{anchor}" '
        f'font-weight="{weight}" fill="{fill}">{_safe(words)}</text>'
    )


def svg_line(
    start: tuple[float, float], end: tuple[float, float], width: float = 1.0, stroke: str = INK, dashes: str = ""
) -> str:
    """Return a straight line between two places.

    start, end, width: in the picture's units.
    """
    (x, y), (to_x, to_y) = start, end
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    return (
        f'<path d="M{x:.1f} {y:.1f}L{to_x:.1f} {to_y:.1f}" fill="none" stroke="{stroke}" stroke-width="{width:g}"'
        f"{dashed}/>"
    )


def svg_curve(
    points: Sequence[tuple[float, float]], width: float = 1.5, stroke: str = INK, dashes: str = "", closed: bool = False
) -> str:
    """Return a line through points; points and width in the picture's units."""
    path = "L".join(f"{x:.1f} {y:.1f}" for x, y in points)
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    end = "Z" if closed else ""
    return f'<path d="M{path}{end}" fill="none" stroke="{stroke}" stroke-width="{width:g}"{dashed}/>'


def svg_cloth(box: tuple[float, float, float, float], fill: str, shown_truly: bool, ground: str, told: str) -> str:
    """Return a cloth as a square-cornered area, its lower edge pinked where no screen can show the colour as it is.

    box: left, top, width and height in the picture's units. ground: the grey that it lies on. told: its tooltip.
    """
    x, y, width, height = box
    missing = "" if shown_truly else f'<path d="{_pinked(box)}" fill="{ground}"/>'
    return (
        f'<g><title>{_safe(told)}</title><rect x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}" '
        f'fill="{fill}"/>{missing}</g>'
    )


def _pinked(box: tuple[float, float, float, float]) -> str:
    """Return the teeth that pinking shears leave out of a cloth's lower edge, as a path."""
    x, y, width, height = box
    teeth = max(3, round(_TEETH * width / min(width, height)))
    wide, high = width / teeth, min(width, height) / _TEETH / 2
    return f"M{x:.1f} {y + height:.1f}" + f"l{wide / 2:.2f} {-high:.2f}l{wide / 2:.2f} {high:.2f}" * teeth + "Z"


def _safe(words: str) -> str:
    return escape(one_line(words))
