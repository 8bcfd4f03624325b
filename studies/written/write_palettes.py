"""Draws docs/images/palettes.png: the palettes of twelve clients, one at the prototype of each sub-season.

Each client is known as after some twenty comparisons: about their ideal, not exactly. A row shows whites and neutrals,
then hue by hue, light to dark, as a shop hangs them; those to hold to the face are taller. Run it from the project's
folder: python -m studies.written.write_palettes
"""

import argparse
from itertools import groupby
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from tenter import Method
from tenter.colorimetry.measurement import D65_10, Colours
from tenter.consultation.colours.colours import PaletteColour, Part, PersonalPalette
from tenter.consultation.personal.hanging import rail
from tenter.consultation.personal.making import palette_of
from tenter.consultation.personal.suitability import Known
from tenter.inference.utility import DEFAULT_SHAPES

OUT = Path(__file__).parents[2] / "docs" / "images" / "palettes.png"
_FONT = "/usr/share/fonts/truetype/noto/NotoSans-Regular.ttf"
_PAPER, _INK, _EDGE = "#f4f3f1", "#222222", "#d6d4d0"
_SWATCH, _TALL, _SHORT, _GAP, _LABEL, _ROW = 34, 64, 46, 12, 150, 92
_SPREAD = 0.3  # bench units on each axis, as after twenty comparisons


def known_at(method: Method, category: str) -> Known:
    """Return what is known of a client at the prototype of a category, as after some twenty comparisons."""
    steps = np.stack(np.meshgrid(*[(-1.5, 0.0, 1.5)] * 3, indexing="ij"), axis=-1).reshape(-1, 3)
    weights = np.exp(-0.5 * np.sum(steps**2, axis=1))
    shares = np.array([[shape.share] for shape in DEFAULT_SHAPES])
    return Known(method, DEFAULT_SHAPES, method.region(category).prototype + _SPREAD * steps, shares * weights)


def draw(palettes: dict[str, PersonalPalette], named: bool) -> Image.Image:
    """Return the sheet; with names under every colour where they are asked for."""
    row = _ROW * 3 if named else _ROW
    rails = max(len(list(groupby(p.colours, rail))) for p in palettes.values())
    most = max(len(p.colours) for p in palettes.values())
    width = _LABEL + (_SWATCH + 2) * most + _GAP * rails + 20
    sheet = Image.new("RGB", (width, row * len(palettes) + 20), _PAPER)
    pen = ImageDraw.Draw(sheet)
    for place, (category, palette) in enumerate(palettes.items()):
        top = 10 + place * row
        pen.text((12, top + 18), category, fill=_INK, font=ImageFont.truetype(_FONT, 15))
        x = _LABEL
        for _, hung in groupby(palette.colours, rail):
            for colour in hung:
                _swatch(sheet, pen, x, top, colour, named)
                x += _SWATCH + 2
            x += _GAP
    return sheet


def _swatch(sheet: Image.Image, pen: ImageDraw.ImageDraw, x: int, top: int, colour: PaletteColour, named: bool) -> None:
    [code], _ = Colours(np.array([colour.lab]), D65_10).on_screen()
    height = _TALL if colour.part is Part.NEAR_FACE else _SHORT
    pen.rectangle((x, top, x + _SWATCH, top + height), fill=code, outline=_EDGE)  # a white on white paper has an edge
    if named:
        words = Image.new("RGB", (190, 16), _PAPER)
        text = f"{colour.name} {colour.suitability:.2f}" + (" *" if colour.title else "")
        ImageDraw.Draw(words).text((2, 0), text, fill=_INK, font=ImageFont.truetype(_FONT, 12))
        sheet.paste(words.rotate(-90, expand=True), (x + 8, top + _TALL + 4))


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--out", type=Path, default=OUT)
    parser.add_argument("--names", action="store_true", help="write each colour's name below it")
    given = parser.parse_args()
    method = Method.bundled()
    palettes = {c: palette_of(known_at(method, c), categories=(c,)) for c in method.categories}
    draw(palettes, given.names).save(given.out, optimize=True)


if __name__ == "__main__":
    main()
