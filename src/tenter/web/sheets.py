"""A sitting as a reading sheet: whose card it carries, the screen, the told-back sitting and the PDF."""

import tempfile
from pathlib import Path

from django.utils import timezone

from tenter import Sitting as LiveSitting
from tenter.consultation.method import BUNDLED
from tenter.report.content import ClientCard, ReadingSheet, reading_sheet
from tenter.report.one_screen import OneScreen, one_screen
from tenter.report.pdf import write_reading_sheet
from tenter.web import store
from tenter.web.models import Sitting


def card_of(row: Sitting) -> ClientCard:
    """Return for whom a sitting's sheet is, by whom, and when."""
    return ClientCard(
        name=row.client.name,
        studio="",
        consultant=row.analyst.get_full_name() or row.analyst.username,
        date=timezone.localdate(row.started).isoformat(),
        minor=row.client.minor,
        words_only=row.client.words_only,
    )


def sheet_of(row: Sitting, live: LiveSitting) -> ReadingSheet:
    """Return the sheet that a client is handed; raises `PhaseMissing` before there is a verdict."""
    return reading_sheet(card_of(row), live)


def screen_of(row: Sitting, live: LiveSitting) -> OneScreen:
    """Return the verdict's page; raises `PhaseMissing` before there is a verdict."""
    others = [store.method_named(name) for name in BUNDLED if name != row.method]
    return one_screen(card_of(row), live, others)


def pdf_of(sheet: ReadingSheet) -> bytes:
    """Return a sheet as a PDF."""
    with tempfile.TemporaryDirectory(prefix="tenter-sheet-") as folder:
        path = Path(folder) / "sheet.pdf"
        write_reading_sheet(sheet, path)
        return path.read_bytes()
