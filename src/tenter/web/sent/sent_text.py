"""A file of text as a page sends it, and the lines of what is wrong with it."""

from collections.abc import Callable

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext_lazy

from tenter import TenterError
from tenter.consultation.cloths.tables import FaultyRows

_NO_UTF_8 = gettext_lazy("The text is not UTF-8. Save it as ‘%(saved_as)s’ and send it again.")
_NO_TABLE = gettext_lazy("This is not a table of text. Save it as ‘%(saved_as)s’ and send it again.")
_SPREADSHEET = gettext_lazy(
    "This is a spreadsheet. Open it in your spreadsheet program, choose ‘Save as’, ‘CSV UTF-8’, and send that file."
)
_NO_TEXT = gettext_lazy("This is not a text. Save it as ‘%(saved_as)s’ and send it again.")

_SPREADSHEETS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")  # how a zipped spreadsheet (xlsx, ods) and an old one (xls) begin


def text_of(file: "UploadedFile[bytes]", *, table: bool = True) -> str:
    """Return the text of an uploaded file, which should be a table; raises `ValidationError` where it is none."""
    named = {"saved_as": "CSV UTF-8" if table else "UTF-8"}
    sent = file.read()
    if table and sent.startswith(_SPREADSHEETS):
        raise forms.ValidationError(_SPREADSHEET)
    try:
        text = str(sent.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise forms.ValidationError(_NO_UTF_8 % named) from None
    if "\0" in text:
        raise forms.ValidationError((_NO_TABLE if table else _NO_TEXT) % named)
    return text


def said_lines(error: TenterError, called: Callable[[str], str] = str) -> list[str]:
    """Return what is wrong, a line each, and at last what to do. called: what a column of a table is called."""
    problem, remedy = getattr(error, "problem", str(error)), getattr(error, "remedy", "")
    lines = error.lines(called) if isinstance(error, FaultyRows) else (problem,)
    return [part.rstrip(".") for part in (*lines, remedy) if part]
