"""The sheets that swatches are cut from: front and back of every sheet, laid out for printing on both sides."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice

from tenter.errors import TenterError
from tenter.language import N_, _, language
from tenter.report.drawing.paper_size import PaperSize
from tenter.report.drawing.typesetting import sheet_pdf
from tenter.report.own_words.studio_words import Language, language_from
from tenter.report.printing.forms import BLEED_MM, CUTS, Cut, CutRectangle, SwatchForm
from tenter.report.printing.proof_words import MISSED
from tenter.report.printing.swatches import OUTSIDE_SRGB, PrintSwatch
from tenter.report.words.plain_text import one_line

RULER_MM = 50.0
_MARK_FROM_MM, _MARK_TO_MM = BLEED_MM + 0.5, BLEED_MM + 3.0  # of a cut mark, off the corner

_FRONTS = {
    SwatchForm.WALLET: N_("cards for a wallet, sheet {number} of {sheets}, front"),
    SwatchForm.RING: N_("strips for a key ring, sheet {number} of {sheets}, front"),
    SwatchForm.GRID: N_("single swatches, sheet {number} of {sheets}, front"),
}
_BACKS = {
    SwatchForm.WALLET: N_("cards for a wallet, sheet {number} of {sheets}, back"),
    SwatchForm.RING: N_("strips for a key ring, sheet {number} of {sheets}, back"),
    SwatchForm.GRID: N_("single swatches, sheet {number} of {sheets}, back"),
}
# Common practice, no source: matt paper and no enhancement.
_HOW = N_(
    "Print at 100 %, on both sides, turned on the long edge, on heavy matt paper, "
    "without any “vivid” or “photo” setting."
)
_CHECK = N_("This line is {length} mm long. If it is not, the printer has changed the size.")
NOT_TRUE = N_(
    "≠ This colour is stronger than a file for printing can say. The print comes as near as it can. Trust the cloth."
)


@dataclass(frozen=True, slots=True)
class Filled:
    """A swatch on a page: what is printed, its bleed included, its colour as '#rrggbb', and what it is in words."""

    box: CutRectangle
    hex: str
    alt: str


@dataclass(frozen=True, slots=True)
class SwatchBack:
    """What stands behind a swatch."""

    box: CutRectangle
    swatch: PrintSwatch


@dataclass(frozen=True, slots=True)
class Page:
    """One side of a sheet.

    lines: cut marks, from x, y to x, y in mm. holes: middle and diameter in mm. labels: names in front.
    """

    heading: str
    fills: tuple[Filled, ...]
    texts: tuple[SwatchBack, ...]
    labels: tuple[CutRectangle, ...]
    lines: tuple[tuple[float, float, float, float], ...]
    holes: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True, slots=True)
class SwatchSheets:
    """All that is drawn. Millimetres, from each page's upper left corner. notes: what is said at the foot."""

    title: str
    page_mm: tuple[float, float]
    how: str
    check: str
    ruler_mm: float
    notes: tuple[str, ...]
    pages: tuple[Page, ...]
    language: Language


def swatch_sheets(
    swatches: Sequence[PrintSwatch],
    title: str,
    form: SwatchForm,
    paper: PaperSize = PaperSize.A4,
    notes: Sequence[str] = (),
) -> SwatchSheets:
    """Return the sheets for some swatches in a form: a front and a back, then the next sheet's.

    Parameters
    ----------
    title
        Whose swatches they are.
    notes
        What else is said at the foot of every page.

    Raises
    ------
    TenterError
        If there are no swatches.
    """
    if not swatches:
        raise TenterError(_("there are no swatches to print; give a palette that has colours"))
    cut = CUTS[form]
    places = cut.places(paper.size_mm)
    rest = iter(swatches)
    pieces = list(iter(lambda: tuple(islice(rest, len(cut.slots))), ()))
    sheets = [pieces[k : k + len(places)] for k in range(0, len(pieces), len(places))]
    pages: list[Page] = []
    for number, sheet in enumerate(sheets, 1):
        headings = [_(said, number=number, sheets=len(sheets)) for said in (_FRONTS[form], _BACKS[form])]
        pages += _both_sides(cut, list(zip(places, sheet, strict=False)), headings, paper.size_mm[0])
    marks = {swatch.mark for swatch in swatches} - {""}
    outside = _(OUTSIDE_SRGB)
    marked = tuple(_(note) for note, said in ((NOT_TRUE, outside in marks), (MISSED, marks - {outside})) if said)
    return SwatchSheets(
        title=one_line(title),
        page_mm=paper.size_mm,
        how=_(_HOW),
        check=_(_CHECK, length=f"{RULER_MM:g}"),
        ruler_mm=RULER_MM,
        notes=(*marked, *notes),
        pages=tuple(pages),
        language=language_from(language().code),
    )


def _both_sides(
    cut: Cut, pieces: Sequence[tuple[CutRectangle, tuple[PrintSwatch, ...]]], headings: Sequence[str], page_width: float
) -> tuple[Page, Page]:
    placed = [
        (slot, place, swatch) for place, of_piece in pieces for slot, swatch in zip(cut.slots, of_piece, strict=False)
    ]
    fills = tuple(
        Filled(slot.printed.moved(place.left, place.top), swatch.hex, swatch.spoken) for slot, place, swatch in placed
    )
    texts = tuple(
        SwatchBack(slot.box.moved(place.left, place.top).mirrored(page_width), swatch) for slot, place, swatch in placed
    )
    boxes = [place for place, _ in pieces]
    labels = tuple(cut.label.moved(box.left, box.top) for box in boxes if cut.label)
    front = Page(headings[0], fills, (), labels, _marks(boxes), _holes(cut, boxes))
    behind = [box.mirrored(page_width) for box in boxes]
    back = Page(headings[1], (), texts, (), (), _holes(cut, behind))
    return front, back


def _holes(cut: Cut, boxes: Sequence[CutRectangle]) -> tuple[tuple[float, float, float], ...]:
    if cut.hole is None:
        return ()
    x, y, across = cut.hole
    return tuple((box.left + x, box.top + y, across) for box in boxes)


def _marks(boxes: Sequence[CutRectangle]) -> tuple[tuple[float, float, float, float], ...]:
    """Return the cut marks: two short lines off each corner, clear of the bleed."""
    lines = []
    for box in boxes:
        for x, outward in ((box.left, -1), (box.right, 1)):
            for y, downward in ((box.top, -1), (box.bottom, 1)):
                lines.append((x + outward * _MARK_FROM_MM, y, x + outward * _MARK_TO_MM, y))
                lines.append((x, y + downward * _MARK_FROM_MM, x, y + downward * _MARK_TO_MM))
    return tuple(lines)


def swatch_pdf(sheets: SwatchSheets) -> bytes:
    """Return the sheets as a PDF. The same sheets give the same bytes on one machine.

    Raises
    ------
    MissingPart
        If what draws PDFs is not installed.
    """
    return sheet_pdf("templates/swatch_sheet.typ", sheets)
