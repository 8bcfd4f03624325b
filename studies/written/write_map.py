"""Writes docs/images/map.svg: the layers and their rooms, drawn from the tables of ARCHITECTURE.md.

What imports stands above what it imports; rooms of a layer stand from left to right in the order in which they may
import one another. Run it from the project's folder: python -m studies.written.write_map
"""

import ast
import re
from collections.abc import Iterator, Mapping, Sequence
from html import escape
from pathlib import Path
from typing import Any, NamedTuple

ROOT = Path(__file__).parents[2]
ARCHITECTURE = ROOT / "ARCHITECTURE.md"
MAP = ROOT / "docs" / "images" / "map.svg"

WIDTH = 1120  # the picture's units: pixels at full size
_MARGIN, _NAME_WIDTH, _GAP = 24, 128, 8
_ROOM_HEIGHT, _LETTER, _PADDING = 30, 7.4, 12  # a letter's width at 13 units, in the mean of a sans serif
_BAND_PADDING, _BETWEEN_BANDS, _FOOT = 12, 14, 44
# Neutral greys, as in every picture around colours; the pure layers a step darker.
_INK, _HAIRLINE, _BAND, _PURE_BAND, _ROOM = "#2b2b2b", "#8c8c8c", "#ededed", "#dcdcdc", "#ffffff"


class Placed(NamedTuple):
    """A room's box: its left and top edge, and its width."""

    name: str
    left: float
    top: float
    width: float


def table(name: str) -> dict[str, Any]:
    """Return a table of ARCHITECTURE.md by its name."""
    blocks = re.findall(r"```python\n(.*?)```", ARCHITECTURE.read_text(encoding="utf-8"), flags=re.DOTALL)
    [block] = [block for block in blocks if f"{name} = " in block]
    [assigned] = [node.value for node in ast.parse(block).body if isinstance(node, ast.Assign)]
    # A literal cannot say "the empty set" but as set(), which literal_eval reads since Python 3.9.
    found: dict[str, Any] = ast.literal_eval(assigned)
    return found


def from_above(may_import: Mapping[str, set[str]]) -> list[list[str]]:
    """Return the layers in bands, the highest first: each band imports nothing of those above it, nor of itself."""
    left, bands = dict(may_import), []
    while left:
        lowest = [layer for layer, below in left.items() if not below & left.keys()]
        bands.append(lowest)
        left = {layer: below for layer, below in left.items() if layer not in lowest}
    return bands[::-1]


def laid_out(names: Sequence[str], top: float) -> Iterator[Placed]:
    """Yield the boxes of a layer's rooms from left to right, in as many lines as they need."""
    left = first = float(_MARGIN + _NAME_WIDTH)
    for name in names:
        width = len(name) * _LETTER + 2 * _PADDING
        if left + width > WIDTH - _MARGIN - _BAND_PADDING:
            left, top = first, top + _ROOM_HEIGHT + _GAP
        yield Placed(name, left, top, width)
        left += width + _GAP


def _room(room: Placed, says: str) -> str:
    title = f"<title>{escape(room.name)}: {escape(says)}</title>" if says else ""
    middle = room.left + room.width / 2
    return (
        f'<g>{title}<rect x="{room.left:.1f}" y="{room.top:.1f}" width="{room.width:.1f}" height="{_ROOM_HEIGHT}" '
        f'rx="3" fill="{_ROOM}" stroke="{_HAIRLINE}"/>'
        f'<text x="{middle:.1f}" y="{room.top + 20:.1f}" text-anchor="middle">{escape(room.name)}</text></g>'
    )


def _band(layer: str, rooms: Mapping[str, str], pure: bool, top: float) -> tuple[str, float]:
    """Return a layer's drawing, and where it ends."""
    boxes = list(laid_out(list(rooms), top + _BAND_PADDING))
    bottom = (boxes[-1].top if boxes else top + _BAND_PADDING) + _ROOM_HEIGHT + _BAND_PADDING
    lines = [
        f'<rect x="{_MARGIN}" y="{top:.1f}" width="{WIDTH - 2 * _MARGIN}" height="{bottom - top:.1f}" '
        f'fill="{_PURE_BAND if pure else _BAND}"/>',
        f'<text x="{_MARGIN + _BAND_PADDING}" y="{top + _BAND_PADDING + 20:.1f}" font-weight="600">{layer}</text>',
        *(_room(box, rooms[box.name]) for box in boxes),
    ]
    return "\n".join(lines), bottom


def drawn(may_import: Mapping[str, set[str]], rooms: Mapping[str, Mapping[str, str]]) -> str:
    """Return the map as SVG."""
    lines, top = [], float(_MARGIN)
    for band in from_above(may_import):
        for layer in band:
            text, bottom = _band(layer, rooms.get(layer, {}), not may_import[layer], top)
            lines.append(text)
            top = bottom + _BETWEEN_BANDS
    foot = (
        "Imports point down, and to the left inside a layer. "
        "cli and web never import each other, nor do consultation and photo."
    )
    lines.append(f'<text x="{_MARGIN}" y="{top + 14:.1f}">{foot}</text>')
    height = top + _FOOT
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height:.0f}" width="{WIDTH}" '
        f'height="{height:.0f}" role="img" aria-label="The layers of Tenter and their rooms" '
        f'font-family="Noto Sans, sans-serif" font-size="13" fill="{_INK}">\n'
        f'<rect width="{WIDTH}" height="{height:.0f}" fill="#ffffff"/>\n' + "\n".join(lines) + "\n</svg>\n"
    )


def map_svg() -> str:
    """Return the map of the tables as they are now."""
    return drawn(table("MAY_IMPORT"), table("ROOMS"))


if __name__ == "__main__":
    MAP.write_text(map_svg(), encoding="utf-8")
    print(f"written: {MAP.relative_to(ROOT)}")
