"""The sheet that our own card is cut from: what stands on it, and the PDF of it."""

from dataclasses import dataclass
from pathlib import Path

import cv2

from tenter.arrays import FloatArray
from tenter.errors import UnreadableInput
from tenter.language import _
from tenter.photo.advice import HOLD_THE_CARD
from tenter.photo.own_card import layout
from tenter.photo.own_card.marks import DICTIONARY
from tenter.photo.own_card.values import RENEW_MONTHS
from tenter.report.drawing.paper_size import PaperSize
from tenter.report.drawing.typesetting import sheet_pdf

BLACK = "#000000"
_CARD_TOP_MM = 34.0
_MARK_SQUARES = 6  # four of the pattern, and a black border
Rectangle = tuple[float, float, float, float, str]


@dataclass(frozen=True, slots=True)
class Column:
    """A list of short sentences under a title."""

    title: str
    points: tuple[str, ...]
    numbered: bool


@dataclass(frozen=True, slots=True)
class CardSheet:
    """All that is drawn. Millimetres; places on the card are from its own upper left corner.

    rectangles: left, top, width, height and colour. outlines: the same, of bare paper that is a patch.
    """

    title: str
    heading: str
    printed_for: str
    needed: str
    name: str
    serial: str
    page_mm: tuple[float, float]
    card_mm: tuple[float, float, float, float]
    name_mm: tuple[float, float, float, float]
    rectangles: tuple[Rectangle, ...]
    outlines: tuple[Rectangle, ...]
    columns: tuple[Column, ...]


_NEEDED = "You need a 24-patch colour chart once, to measure this print beside it. Borrow one if you have none."
# Common practice, no source: matt paper, dark storage, renewal.
_MAKING = Column(
    "Making it",
    (
        "Print at 100 %, not “fit to page”, in the best quality, on matt heavy paper: a shining card mirrors the lamp.",
        "Turn off every “vivid” or “photo” enhancement. Let the ink dry for a day.",
        "Cut along the marks. Glue it flat on card, without folding it. Keep the white edge: the corner marks need it.",
        "Lay it flat beside a 24-patch chart in daylight, take one photograph of both, and run "
        "tenter card calibrate PHOTO. A second photograph by an incandescent lamp, named beside the first, makes the "
        "values surer.",
    ),
    numbered=True,
)
_USING = Column(
    "Using it",
    (
        "Until it is measured, no colour is read from it: printers differ too much. Each print is a card of its "
        "own: give it its own number, and measure it.",
        f"{HOLD_THE_CARD}, in the same light, by its edge. No shadow, no finger, no glare on it.",
        "Keep it dark, dry and clean. Inks fade: measure it again after {months} months, or when it has lain "
        "in the sun.",
        "tenter card list says which cards were measured, and when.",
        "Its values are estimates from a photograph, each with an interval. They are not an instrument's readings.",
    ),
    numbered=False,
)


def card_sheet(serial: int, paper: PaperSize = PaperSize.A4) -> CardSheet:
    """Return the sheet of a card.

    Raises
    ------
    TenterError
        If the serial is not between 1 and `MAX_SERIAL`.
    """
    width, height = paper.size_mm
    strip = layout.strip_mm()
    strip_end, strip_top = strip[-1, 1]
    right = layout.WIDTH_MM - strip[0, 0, 0]
    white = layout.CARD_PATCHES[layout.WHITE]
    return CardSheet(
        title=f"Tenter colour card, No. {serial}",
        heading="A colour card to photograph beside a face",
        printed_for=f"No. {serial} · print at 100 % on matt paper",
        needed=_NEEDED,
        name="Tenter",
        serial=f"No. {serial}",
        page_mm=(width, height),
        card_mm=((width - layout.WIDTH_MM) / 2, _CARD_TOP_MM, layout.WIDTH_MM, layout.HEIGHT_MM),
        name_mm=(float(strip_end), float(strip_top), float(right - strip_end), layout.STRIP_MM),
        rectangles=(*_drawn_patches(), *_drawn_marks(), *_drawn_strip(serial)),
        outlines=(_rectangle(white.quad_mm, white.hex),),
        columns=tuple(_filled(column, serial) for column in (_MAKING, _USING)),
    )


def _filled(column: Column, serial: int) -> Column:
    points = tuple(point.format(serial=serial, months=RENEW_MONTHS) for point in column.points)
    return Column(column.title, points, column.numbered)


def _rectangle(quad: FloatArray, colour: str) -> Rectangle:
    (left, top), (right, bottom) = quad[0], quad[2]
    return float(left), float(top), float(right - left), float(bottom - top), colour


def _drawn_patches() -> list[Rectangle]:
    return [_rectangle(patch.quad_mm, patch.hex) for patch in layout.CARD_PATCHES]


def _drawn_marks() -> list[Rectangle]:
    """Return the corner marks: a black square each, with the white squares of its pattern on it."""
    dictionary = cv2.aruco.getPredefinedDictionary(DICTIONARY)
    side = layout.CARD_MARKER_MM / _MARK_SQUARES
    drawn = []
    for number, quad in layout.CARD_MARKERS_MM.items():
        pattern = cv2.aruco.generateImageMarker(dictionary, number, _MARK_SQUARES)
        drawn.append(_rectangle(quad, BLACK))
        drawn += [
            (float(quad[0, 0] + x * side), float(quad[0, 1] + y * side), side, side, "#ffffff")
            for y, x in zip(*pattern.nonzero(), strict=True)
        ]
    return drawn


def _drawn_strip(serial: int) -> list[Rectangle]:
    """Return the black squares of the serial; neighbours are one rectangle, so that no hairline shows between them."""
    drawn: list[Rectangle] = []
    for quad, black in zip(layout.strip_mm(), layout.serial_bits(serial), strict=True):
        if not black:
            continue
        left, top, width, height, colour = _rectangle(quad, BLACK)
        if drawn and abs(drawn[-1][0] + drawn[-1][2] - left) < 1e-9:
            left, width = drawn[-1][0], drawn[-1][2] + width
            drawn.pop()
        drawn.append((left, top, width, height, colour))
    return drawn


def write_card_sheet(sheet: CardSheet, path: str | Path) -> None:
    """Write a sheet as a PDF of one page.

    Raises
    ------
    UnreadableInput
        If the file cannot be written.
    MissingPart
        If what draws PDFs is not installed.
    """
    document = card_sheet_pdf(sheet)
    try:
        Path(path).write_bytes(document)
    except OSError as problem:
        raise UnreadableInput(
            str(path),
            _("the file cannot be written ({reason})", reason=problem.strerror),
            _("Give a place that exists and can be written"),
        ) from None


def card_sheet_pdf(sheet: CardSheet) -> bytes:
    """Return a sheet as a PDF of one page. The same sheet gives the same bytes on one machine.

    Raises
    ------
    MissingPart
        If what draws PDFs is not installed.
    """
    return sheet_pdf("templates/card_sheet.typ", sheet)
