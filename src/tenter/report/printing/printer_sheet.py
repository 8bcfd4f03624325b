"""The test sheet to print and photograph with a card, by which what is sent to a printer is corrected."""

import cv2

from tenter.photo.own_card.marks import DICTIONARY
from tenter.photo.print_test import layout
from tenter.report.drawing.paper_size import PaperSize
from tenter.report.printing.card_sheet import BLACK, CardSheet, Column, Rectangle

_TOP_MM, _SQUARES = 34.0, 6  # millimetres from the top edge, and squares along a corner mark
# Common practice, no source: the same paper and settings, and ink that is left to dry.
_MAKING = Column(
    "Making it",
    (
        "Print this page at 100 % with the paper, quality and settings that the swatches will have.",
        "Turn off every “vivid” or “photo” setting. Let the ink dry for a day.",
    ),
    numbered=True,
)
_USING = Column(
    "Using it",
    (
        "Lay it flat, with a 24-patch card beside it, in daylight. No shadow and no glare on either.",
        "Photograph both from above, then run tenter printer learn PHOTO. Learn again for another paper or ink.",
    ),
    numbered=False,
)


def print_test_sheet(paper: PaperSize = PaperSize.A4) -> CardSheet:
    """Return the test sheet, ready for `card_sheet.write_card_sheet`."""
    width, height = paper.size_mm
    white = [patch for patch in layout.SHEET_PATCHES if patch.hex == "#ffffff"]
    return CardSheet(
        title="Tenter test sheet for a printer",
        heading="A test sheet for your printer",
        printed_for="print at 100 %",
        needed="Photograph it once beside a colour card. The swatches then come out nearer to their colours.",
        name="",
        serial="",
        page_mm=(width, height),
        card_mm=((width - layout.SIDE_MM) / 2, _TOP_MM, layout.SIDE_MM, layout.SIDE_MM),
        name_mm=(0.0, 0.0, 1.0, 1.0),
        rectangles=(*(_rectangle(patch) for patch in layout.SHEET_PATCHES), *_marks()),
        outlines=tuple(_rectangle(patch) for patch in white),
        columns=(_MAKING, _USING),
    )


def _rectangle(patch: layout.SentPatch) -> Rectangle:
    (left, top), (right, bottom) = patch.quad_mm[0], patch.quad_mm[2]
    return float(left), float(top), float(right - left), float(bottom - top), patch.hex


def _marks() -> list[Rectangle]:
    """Return the corner marks: a black square each, with the white squares of its pattern on it."""
    dictionary = cv2.aruco.getPredefinedDictionary(DICTIONARY)
    side = layout.SHEET_MARKER_MM / _SQUARES
    drawn: list[Rectangle] = []
    for number, quad in layout.SHEET_MARKERS_MM.items():
        pattern = cv2.aruco.generateImageMarker(dictionary, number, _SQUARES)
        left, top = (float(v) for v in quad[0])
        drawn.append((left, top, layout.SHEET_MARKER_MM, layout.SHEET_MARKER_MM, BLACK))
        drawn += [
            (left + float(x) * side, top + float(y) * side, side, side, "#ffffff")
            for y, x in zip(*pattern.nonzero(), strict=True)
        ]
    return drawn
