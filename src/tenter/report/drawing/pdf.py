"""A paper as a tagged PDF, drawn by typst from plain data and a template."""

import json
import re
import unicodedata
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from tenter.report.drawing.paper_size import PaperSize
from tenter.report.drawing.typesetting import LANGUAGE, template_text, typst_for

_ACCESSIBLE: Final = "ua-1"  # PDF/UA-1: typst refuses to write it when something cannot be read aloud
_SHARED: Final = "templates/papers.typ"  # what both papers draw alike, before each one's own template
# How the names of letters begin that Debian keeps apart, as they fill many a megabyte.
_CJK = ("CJK", "HIRAGANA", "KATAKANA", "HANGUL", "BOPOMOFO", "IDEOGRAPHIC")
_NO_GLYPH = re.compile(r'the text `"(?P<text>.+?)"` could not be displayed')


def write_pdf(
    template: str, data: Mapping[str, object], iso_date: str, path: str | Path, page: PaperSize
) -> tuple[str, ...]:
    """Write a paper as a tagged PDF (PDF/UA-1) and return what could not be drawn, empty when all was.

    The same data give the same bytes on one machine: the file's date is the paper's, not the clock's.

    Parameters
    ----------
    template
        The template's place below `tenter.report`. It reads its data as JSON and calls nothing.
    iso_date
        Of the paper, YYYY-MM-DD.

    Raises
    ------
    MissingPart
        If what draws PDFs is not installed.
    OSError
        If the file cannot be written.
    """
    document, notes = pdf_bytes(template, data, iso_date, page)
    Path(path).write_bytes(document)
    return notes


def pdf_bytes(
    template: str, data: Mapping[str, object], iso_date: str, page: PaperSize
) -> tuple[bytes, tuple[str, ...]]:
    """Return what `write_pdf` writes, and what could not be drawn; nothing touches the disk.

    Where a letter has no font, the PDF is not tagged and a note says which. Raises `MissingPart` where what draws PDFs
    is not installed.
    """
    typst, source = typst_for("a PDF"), b"".join(map(template_text, (LANGUAGE, _SHARED, template)))
    inputs = {"sheet": json.dumps(data, ensure_ascii=False), "paper": page.typst_name}
    midnight = int(datetime.fromisoformat(iso_date).replace(tzinfo=UTC).timestamp())
    try:
        return typst.compile(source, sys_inputs=inputs, timestamp=midnight, pdf_standards=[_ACCESSIBLE]), ()
    except typst.TypstError as error:
        missing = _NO_GLYPH.search(str(error))
        if missing is None:
            raise
    return typst.compile(source, sys_inputs=inputs, timestamp=midnight), (_no_font(missing["text"]),)


def _no_font(text: str) -> str:
    """Return what to do where letters cannot be drawn: which package of Debian has them, and how large it is."""
    of_cjk = any(unicodedata.name(letter, "").startswith(_CJK) for letter in text)
    package = "fonts-noto-cjk, about 90 MB" if of_cjk else "fonts-noto-core, and fonts-noto-extra for rare scripts"
    return (
        f"no installed font can draw {text!r}, which is left empty on the paper; install a font for its script (on "
        f"Debian: {package}) and write the paper again"
    )
