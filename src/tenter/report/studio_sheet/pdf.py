"""The studio's sheet as a PDF."""

from dataclasses import asdict
from pathlib import Path

from tenter.report.content import ReadingSheet
from tenter.report.pdf import PageSize, write_pdf


def write_studio_sheet(sheet: ReadingSheet, path: str | Path, page: PageSize = PageSize.A4) -> tuple[str, ...]:
    """Write a sheet as a tagged PDF and return what could not be drawn, empty when all was."""
    return write_pdf("studio_sheet/sheet.typ", asdict(sheet), sheet.client.date, path, page)
