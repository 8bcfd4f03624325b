"""The papers as files: the client's, the studio's, and the sheets of swatches to print and cut."""

from collections.abc import Callable
from dataclasses import asdict

from tenter.consultation.colours.colours import PersonalPalette
from tenter.report.client_paper.content import ClientPaper
from tenter.report.client_paper.pdf import client_paper_pdf
from tenter.report.drawing.paper_size import PaperSize
from tenter.report.handing_over.handed_file import HandedFile, file_name
from tenter.report.handing_over.just_drawn import JustDrawn
from tenter.report.printing.forms import SwatchForm
from tenter.report.printing.swatch_sheet import swatch_pdf, swatch_sheets
from tenter.report.printing.swatches import print_swatches
from tenter.report.reading.content import ClientCard
from tenter.report.studio_sheet.content import StudioSheet
from tenter.report.studio_sheet.pdf import studio_sheet_pdf

PDF = "application/pdf"


def pdf_of(paper: StudioSheet | ClientPaper, page: PaperSize = PaperSize.A4) -> tuple[bytes, tuple[str, ...]]:
    """Return either paper as a PDF, and what could not be drawn in it. What was just drawn is not drawn again.

    A paper with photographs is drawn each time, so that none stays in memory once it is erased. Raises `MissingPart`
    where what draws PDFs is not installed.
    """
    content = [type(paper).__name__, asdict(paper), page]
    drawn = _drawn(paper, page)
    return drawn() if paper.photographs else _JUST_DRAWN.of(content, drawn)


def _drawn(paper: StudioSheet | ClientPaper, page: PaperSize) -> Callable[[], tuple[bytes, tuple[str, ...]]]:
    if isinstance(paper, ClientPaper):
        return lambda: client_paper_pdf(paper, page)
    return lambda: studio_sheet_pdf(paper, page)


_JUST_DRAWN: JustDrawn[tuple[bytes, tuple[str, ...]]] = JustDrawn()


def client_papers(paper: ClientPaper) -> HandedFile:
    """Return everything that the client reads, as one PDF."""
    return _file(file_name(paper.client, "colours", "pdf"), paper)


def studio_papers(sheet: StudioSheet) -> HandedFile:
    """Return what the studio keeps, as one PDF."""
    return _file(file_name(sheet.reading.client, "studio-sheet", "pdf"), sheet)


def _file(name: str, paper: StudioSheet | ClientPaper) -> HandedFile:
    content, notes = pdf_of(paper)
    return HandedFile(name, PDF, content, notes)


def swatches_to_print(client: ClientCard, palette: PersonalPalette, form: SwatchForm) -> HandedFile:
    """Return the sheets of swatches in a form, at exact size with cut marks."""
    sheets = swatch_sheets(print_swatches(palette), client.name, form)
    return HandedFile(file_name(client, f"swatches-{form}", "pdf"), PDF, swatch_pdf(sheets))
