"""A file of text as a page sends it, and the lines of what is wrong with it."""

import re

from django import forms
from django.core.files.uploadedfile import UploadedFile

from tenter import TenterError


def text_of(file: "UploadedFile[bytes]", kind: str, saved_as: str) -> str:
    """Return the text of an uploaded file; raises `ValidationError` where it is none."""
    try:
        text = str(file.read().decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise forms.ValidationError(f"The text is not UTF-8. Save it as ‘{saved_as}’ and send it again.") from None
    if "\0" in text:
        raise forms.ValidationError(f"This is not a {kind}. Save it as ‘{saved_as}’ and send it again.")
    return text


def said_lines(error: TenterError) -> list[str]:
    """Return what is wrong, a line each, and at last what to do."""
    problem, remedy = getattr(error, "problem", str(error)), getattr(error, "remedy", "")
    return [part.rstrip(".") for part in (*re.split(r"; (?=row )", problem), remedy) if part]
