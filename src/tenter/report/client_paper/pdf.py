"""The client's paper as a PDF."""

from dataclasses import asdict
from pathlib import Path

from tenter.report.client_paper.content import ClientPaper
from tenter.report.drawing.paper_size import PaperSize
from tenter.report.drawing.pdf import pdf_bytes, write_pdf

_TEMPLATE = "client_paper/paper.typ"


def write_client_paper(paper: ClientPaper, path: str | Path, page: PaperSize = PaperSize.A4) -> tuple[str, ...]:
    """Write a client's paper as a tagged PDF and return what could not be drawn, empty when all was."""
    return write_pdf(_TEMPLATE, asdict(paper), paper.client.date, path, page)


def client_paper_pdf(paper: ClientPaper, page: PaperSize = PaperSize.A4) -> tuple[bytes, tuple[str, ...]]:
    """Return the same in memory: the PDF, and what could not be drawn."""
    return pdf_bytes(_TEMPLATE, asdict(paper), paper.client.date, page)
