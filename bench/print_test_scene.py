"""The printer's test sheet beside a classic card, printed by an invented printer, with every colour known."""

from functools import lru_cache

import numpy as np

from cloth_scene import Drapery, Room, cloth_scene, true_lab
from exposure import Scene
from own_card_scene import printed, printer_pair
from tenter.arrays import FloatArray
from tenter.photo import print_test_layout as layout
from tenter.report.card_sheet import BLACK
from tenter.report.printing.printer_sheet import print_test_sheet

_PX_PER_MM, _LEFT, _TOP, _EDGE_MM = 3.0, 350, 60, 8.0
_ROOM = Room(size=(920, 640), wall=0.4, lamp=25.0, gradient=(0.12, -0.08))


@lru_cache(maxsize=8)
def sheet_scene(serial: int) -> Scene:
    """Return the scene of a printer's test sheet; the light falls off from the card to the sheet."""
    _, real = printer_pair(serial)
    paper, black = real.reflectance(np.zeros((1, 4)))[0], real.reflectance(np.array([[0.2, 0.2, 0.2, 1.0]]))[0]
    patches = printed(serial, [patch.hex for patch in layout.PATCHES])
    rectangles = print_test_sheet().rectangles
    side = layout.SIDE_MM + 2 * _EDGE_MM
    pieces = [_piece(-_EDGE_MM, -_EDGE_MM, side, side, paper)]
    for k, (left, top, width, height, colour) in enumerate(rectangles):
        surface = patches[k] if k < len(patches) else black if colour == BLACK else paper
        pieces.append(_piece(left, top, width, height, surface))
    return cloth_scene(pieces, _ROOM, seed=serial)


def _piece(left: float, top: float, width: float, height: float, surface: FloatArray) -> Drapery:
    x, y = (round(start + v * _PX_PER_MM) for start, v in ((_LEFT, left), (_TOP, top)))
    right, bottom = (round(start + v * _PX_PER_MM) for start, v in ((_LEFT, left + width), (_TOP, top + height)))
    return Drapery((x, y, right - x, bottom - y), surface, weave=0.005)


def printed_lab(serial: int, colours: list[str]) -> FloatArray:
    """Return what an instrument would read of a print: Lab (n, 3), D65/2°."""
    return true_lab(printed(serial, colours))
