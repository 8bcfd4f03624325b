"""The reading sheet as a PDF, drawn by typst."""

import json
import re
from dataclasses import asdict
from datetime import UTC, datetime
from importlib.resources import files
from pathlib import Path
from typing import Final

from tenter.errors import MissingPart
from tenter.report.content import ReadingSheet

_ACCESSIBLE: Final = "ua-1"  # PDF/UA-1: typst refuses to write it when something cannot be read aloud
_NO_GLYPH = re.compile(r'the text `"(?P<text>.+?)"` could not be displayed')


def write_reading_sheet(sheet: ReadingSheet, path: str | Path) -> tuple[str, ...]:
    """Write a sheet as a tagged A4 PDF and return what could not be drawn, empty when all was.

    The same sheet gives the same bytes on one machine: the file's date is the sheet's, not the clock's.
    """
    document, notes = _compiled(sheet)
    Path(path).write_bytes(document)
    return notes


def _compiled(sheet: ReadingSheet) -> tuple[bytes, tuple[str, ...]]:
    try:
        import typst  # 80 MB that only this function needs
    except ImportError:
        raise MissingPart("a PDF is drawn by typst, which is not installed; try 'pip install typst'") from None
    template = (files("tenter.report") / "templates" / "reading_sheet.typ").read_bytes()
    inputs = {"sheet": json.dumps(_data(sheet), ensure_ascii=False)}
    midnight = int(datetime.fromisoformat(sheet.client.date).replace(tzinfo=UTC).timestamp())
    try:
        return typst.compile(template, sys_inputs=inputs, timestamp=midnight, pdf_standards=[_ACCESSIBLE]), ()
    except typst.TypstError as error:
        missing = _NO_GLYPH.search(str(error))
        if missing is None:
            raise
    note = f"no installed font can draw {missing['text']!r}; install one for its script (Debian: fonts-noto-cjk)"
    return typst.compile(template, sys_inputs=inputs, timestamp=midnight), (note,)


def _data(sheet: ReadingSheet) -> dict[str, object]:
    """Return a sheet as plain data: the template reads fields and calls nothing."""
    return asdict(sheet)
