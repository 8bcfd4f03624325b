"""The printer's test sheet beside a card, printed by an invented printer, with every colour known."""

from dataclasses import replace
from functools import lru_cache

import cv2
import numpy as np

from studies.scenes.cloth_scene import Drapery, Room, cloth_scene, true_lab
from studies.scenes.exposure import Scene
from studies.scenes.own_card_scene import laid, printed, printed_card, printer_pair
from tenter.arrays import FloatArray
from tenter.photo.own_card import layout as own_card_layout
from tenter.photo.print_test import layout
from tenter.report.printing.card_sheet import BLACK
from tenter.report.printing.printer_sheet import print_test_sheet

_PX_PER_MM, _TOP, _EDGE_MM = 3.0, 60, 8.0
_LEFT, _LEFT_OF_OWN = 350, 470  # of the sheet, beside a classic card and beside our own, which is larger
_OWN_PX = (20.0, 60.0, 420.0)  # left, top and width of our own card, which covers the classic one of the scene


@lru_cache(maxsize=8)
def sheet_scene(serial: int, own: int | None = None) -> Scene:
    """Return the scene of a printer's test sheet; the light falls off from the card to the sheet.

    own: the serial of a card of our own that is there in place of the classic one.
    """
    left_px = _LEFT if own is None else _LEFT_OF_OWN
    _, real = printer_pair(serial)
    paper, black = real.reflectance(np.zeros((1, 4)))[0], real.reflectance(np.array([[0.2, 0.2, 0.2, 1.0]]))[0]
    patches = printed(serial, [patch.hex for patch in layout.SHEET_PATCHES])
    rectangles = print_test_sheet().rectangles
    side = layout.SIDE_MM + 2 * _EDGE_MM
    pieces = [_piece(left_px, -_EDGE_MM, -_EDGE_MM, side, side, paper)]
    for k, (left, top, width, height, colour) in enumerate(rectangles):
        surface = patches[k] if k < len(patches) else black if colour == BLACK else paper
        pieces.append(_piece(left_px, left, top, width, height, surface))
    room = Room(size=(left_px + 570, 640), wall=0.4, lamp=25.0, gradient=(0.12, -0.08))
    scene = cloth_scene(pieces, room, card_at=(30, 30) if own is None else (70, 110), seed=serial)
    if own is None:
        return scene
    # The card's patches take the labels of some pieces of the sheet, whose truth `printed_lab` tells.
    told = replace(scene, region_reflectance=np.zeros((0, 81)), meta=scene.meta | {"regions": [], "labels": {}})
    return laid(told, printed_card(own), _own_place())


def _own_place() -> FloatArray:
    """Return the homography from our own card's millimetres to the picture."""
    left, top, width = _OWN_PX
    x, y = own_card_layout.CARD_CORNERS_MM.T / own_card_layout.WIDTH_MM * width
    found, _ = cv2.findHomography(own_card_layout.CARD_CORNERS_MM, np.stack([left + x, top + y], axis=1))
    return np.asarray(found, dtype=float)


def _piece(left_px: int, left: float, top: float, width: float, height: float, surface: FloatArray) -> Drapery:
    x, y = (round(start + v * _PX_PER_MM) for start, v in ((left_px, left), (_TOP, top)))
    right, bottom = (round(start + v * _PX_PER_MM) for start, v in ((left_px, left + width), (_TOP, top + height)))
    return Drapery((x, y, right - x, bottom - y), surface, weave=0.005)


def printed_lab(serial: int, colours: list[str]) -> FloatArray:
    """Return what an instrument would read of a print: Lab (n, 3), D65/2°."""
    return true_lab(printed(serial, colours))
