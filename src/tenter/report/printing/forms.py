"""The forms that swatches are cut to: what is cut, and where the swatches lie on it.

Millimetres, x to the right and y down. Every swatch runs over one edge of what is cut, so that it touches the garment.
"""

from dataclasses import dataclass
from enum import StrEnum

BLEED_MM = 2.0  # how far colour is printed beyond the cut
GAP_MM = 7.5  # between what is cut: two bleeds, and room for the cut marks
CARD_MM = (85.60, 53.98)  # ISO/IEC 7810, ID-1: a bank card
_BODY_TOP_MM, _BODY_BOTTOM_MM, _SIDE_MM = 25.0, 15.5, 8.0  # of a page, beyond what is cut


class SwatchForm(StrEnum):
    """How swatches are carried."""

    WALLET = "wallet"
    RING = "ring"
    GRID = "grid"


class CutEdge(StrEnum):
    """The edge of what is cut that a swatch runs over."""

    TOP = "top"
    BOTTOM = "bottom"
    RIGHT = "right"


@dataclass(frozen=True, slots=True)
class CutRectangle:
    """A rectangle: left, top, width and height in millimetres, from the page's or the piece's upper left corner."""

    left: float
    top: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Its right edge, in millimetres from the left."""
        return self.left + self.width

    @property
    def bottom(self) -> float:
        """Its lower edge, in millimetres from the top."""
        return self.top + self.height

    def moved(self, right: float, down: float) -> "CutRectangle":
        """Return the rectangle elsewhere; right, down: by how many mm."""
        return CutRectangle(self.left + right, self.top + down, self.width, self.height)

    def mirrored(self, page_width: float) -> "CutRectangle":
        """Return the rectangle where it lies on the other side of a sheet that is turned on its long edge.

        page_width: of the sheet, in mm.
        """
        return CutRectangle(page_width - self.right, self.top, self.width, self.height)


@dataclass(frozen=True, slots=True)
class SwatchSlot:
    """Where a swatch lies on what is cut, without its bleed, and the edge that it runs over."""

    box: CutRectangle
    edge: CutEdge

    @property
    def printed(self) -> CutRectangle:
        """What is printed: the swatch and its bleed."""
        box, more = self.box, BLEED_MM
        return CutRectangle(
            box.left,
            box.top - more * (self.edge is CutEdge.TOP),
            box.width + more * (self.edge is CutEdge.RIGHT),
            box.height + more * (self.edge in (CutEdge.TOP, CutEdge.BOTTOM)),
        )


@dataclass(frozen=True, slots=True)
class Cut:
    """What is cut from a sheet.

    width, height: in mm. label: where the client's name stands in front. hole: its middle and diameter, in mm.
    """

    width: float
    height: float
    slots: tuple[SwatchSlot, ...]
    label: CutRectangle | None = None
    hole: tuple[float, float, float] | None = None

    def places(self, page_mm: tuple[float, float]) -> tuple[CutRectangle, ...]:
        """Return where the pieces lie on a page, row by row, in the middle across; all in millimetres."""
        across, down = page_mm[0] - 2 * _SIDE_MM, page_mm[1] - _BODY_TOP_MM - _BODY_BOTTOM_MM
        columns = int((across + GAP_MM) / (self.width + GAP_MM))
        rows = int((down + GAP_MM) / (self.height + GAP_MM))
        piece = CutRectangle(0.0, 0.0, self.width, self.height)
        left = (page_mm[0] - columns * self.width - (columns - 1) * GAP_MM) / 2
        return tuple(
            piece.moved(left + column * (self.width + GAP_MM), _BODY_TOP_MM + row * (self.height + GAP_MM))
            for row in range(rows)
            for column in range(columns)
        )


def _wallet() -> Cut:
    """Return a bank card with three swatches over its upper edge and three over its lower one."""
    width, height = CARD_MM
    side, between, bar = 2.8, 1.6, 5.0
    across = (width - 2 * side - 2 * between) / 3
    tall = (height - bar) / 2
    lefts = [side + k * (across + between) for k in range(3)]
    above = [SwatchSlot(CutRectangle(left, 0.0, across, tall), CutEdge.TOP) for left in lefts]
    below = [SwatchSlot(CutRectangle(left, tall + bar, across, tall), CutEdge.BOTTOM) for left in lefts]
    return Cut(width, height, (*above, *below), label=CutRectangle(side, tall, width - 2 * side, bar))


def _ring() -> Cut:
    """Return a strip with a hole for a key ring and four swatches over its right edge."""
    slots = tuple(SwatchSlot(CutRectangle(4.0, 17.0 + 23.0 * k, 26.0, 22.0), CutEdge.RIGHT) for k in range(4))
    return Cut(30.0, 110.0, slots, hole=(15.0, 8.0, 5.0))


def _grid() -> Cut:
    """Return one swatch with a white border to hold it by, over its lower edge."""
    return Cut(31.0, 32.0, (SwatchSlot(CutRectangle(3.0, 7.0, 25.0, 25.0), CutEdge.BOTTOM),))


CUTS = {SwatchForm.WALLET: _wallet(), SwatchForm.RING: _ring(), SwatchForm.GRID: _grid()}
