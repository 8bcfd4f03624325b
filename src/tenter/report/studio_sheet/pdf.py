"""The studio's sheet as a PDF."""

from dataclasses import asdict
from pathlib import Path

from tenter.report.content import ReadingSheet
from tenter.report.paper_size import PaperSize
from tenter.report.pdf import write_pdf


def write_studio_sheet(sheet: ReadingSheet, path: str | Path, page: PaperSize = PaperSize.A4) -> tuple[str, ...]:
    """Write a sheet as a tagged PDF and return what could not be drawn, empty when all was."""
    return write_pdf("studio_sheet/sheet.typ", asdict(sheet), sheet.client.date, path, page)
