"""The studio's sheet as a PDF."""

from dataclasses import asdict
from pathlib import Path

from tenter.report.drawing.paper_size import PaperSize
from tenter.report.drawing.pdf import pdf_bytes, write_pdf
from tenter.report.studio_sheet.content import StudioSheet

_TEMPLATE = "studio_sheet/sheet.typ"


def write_studio_sheet(sheet: StudioSheet, path: str | Path, page: PaperSize = PaperSize.A4) -> tuple[str, ...]:
    """Write a sheet as a tagged PDF and return what could not be drawn, empty when all was."""
    return write_pdf(_TEMPLATE, asdict(sheet), sheet.reading.client.date, path, page)


def studio_sheet_pdf(sheet: StudioSheet, page: PaperSize = PaperSize.A4) -> tuple[bytes, tuple[str, ...]]:
    """Return the same in memory: the PDF, and what could not be drawn."""
    return pdf_bytes(_TEMPLATE, asdict(sheet), sheet.reading.client.date, page)
