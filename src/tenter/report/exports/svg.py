"""A sheet of swatches as SVG 1.1: every colour a rectangle with its name under it and its part as a tooltip."""

from collections.abc import Sequence
from xml.sax.saxutils import escape

from tenter.report.exports.colours import ExportColour, ExportPalette
from tenter.report.words.palette_words import STAPLES_TITLE
from tenter.report.words.plain_text import one_line

_COLUMNS = 6  # of swatches
_CELL, _SWATCH, _HEIGHT, _TOP = 160, 148, 96, 56  # sizes in the picture's own units, a pixel at full size
_ROW = _HEIGHT + 64  # the same: a swatch and two lines of words
_HEADING = 40  # the same
_MARK = "≠ not true on a screen"
_LETTERS = 22  # of a name that fit under a swatch


def svg(palette: ExportPalette) -> str:
    """Return a drawing. A colour that sRGB does not have is marked with ≠ and in words. Staples are beneath."""
    rows = -(-len(palette.own) // _COLUMNS)
    beneath = _TOP + rows * _ROW
    drawn = [_drawn(colour, k, _TOP) for k, colour in enumerate(palette.own)]
    height = beneath
    if palette.staples:
        drawn.append(_heading(STAPLES_TITLE, beneath + 24, 16))
        drawn += [_drawn(colour, k, beneath + _HEADING) for k, colour in enumerate(palette.staples)]
        height = beneath + _HEADING + -(-len(palette.staples) // _COLUMNS) * _ROW
    return _document(one_line(palette.title), height, drawn)


def _document(title: str, height: int, drawn: Sequence[str]) -> str:
    width, inside = _COLUMNS * _CELL + 12, "\n".join(drawn)
    return f"""<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" viewBox="0 0 {width} {height}" role="img">
<title>{escape(title)}</title>
<rect width="{width}" height="{height}" fill="#ffffff"/>
{_heading(title, 34, 20)}
{inside}
</svg>
"""


def _heading(words: str, y: int, size: int) -> str:
    style = f'font-family="sans-serif" font-size="{size}" fill="#1e1e1e"'
    return f'<text x="12" y="{y}" {style}>{escape(words)}</text>'


def _drawn(colour: ExportColour, k: int, top: int) -> str:
    x, y = 12 + _CELL * (k % _COLUMNS), top + _ROW * (k // _COLUMNS)
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
