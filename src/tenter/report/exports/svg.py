"""A sheet of swatches as SVG 1.1: every colour a rectangle with its name under it and its part as a tooltip."""

from xml.sax.saxutils import escape

from tenter.report.exports.colours import ExportColour, ExportPalette
from tenter.report.plain_text import one_line

COLUMNS = 6
_CELL, _SWATCH, _HEIGHT, _TOP = 160, 148, 96, 56
_ROW = _HEIGHT + 64
_MARK = "≠ not true on a screen"
_LETTERS = 22  # of a name that fit under a swatch


def svg(palette: ExportPalette) -> str:
    """Return a drawing. A colour that sRGB does not have is marked with ≠ and in words."""
    rows = -(-len(palette.colours) // COLUMNS)
    width, height = COLUMNS * _CELL + 12, _TOP + rows * _ROW
    title = escape(one_line(palette.title))
    drawn = "\n".join(_drawn(colour, k) for k, colour in enumerate(palette.colours))
    return f"""<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" viewBox="0 0 {width} {height}" role="img">
<title>{title}</title>
<rect width="{width}" height="{height}" fill="#ffffff"/>
<text x="12" y="34" font-family="sans-serif" font-size="20" fill="#1e1e1e">{title}</text>
{drawn}
</svg>
"""


def _drawn(colour: ExportColour, k: int) -> str:
    x, y = 12 + _CELL * (k % COLUMNS), _TOP + _ROW * (k // COLUMNS)
    name = one_line(colour.name)
    mark = "" if colour.in_srgb else _MARK
    told = f"{name}: {colour.part} {mark}".strip()
    shown = name if len(name) <= _LETTERS else name[: _LETTERS - 1] + "…"
    style = 'font-family="sans-serif" fill="#1e1e1e"'
    return f"""<g>
<title>{escape(told)}</title>
<rect x="{x}" y="{y}" width="{_SWATCH}" height="{_HEIGHT}" fill="{colour.hex}"/>
<text x="{x}" y="{y + _HEIGHT + 16}" font-size="13" {style}>{escape(shown)}</text>
<text x="{x}" y="{y + _HEIGHT + 30}" font-size="10" {style}>{escape(colour.part)}</text>
<text x="{x}" y="{y + _HEIGHT + 43}" font-size="10" {style}>{escape(mark)}</text>
</g>"""
