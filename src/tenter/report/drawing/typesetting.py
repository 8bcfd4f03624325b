"""What every file that typst draws needs: typst itself, and a sheet set from plain data and a template."""

import json
from dataclasses import asdict
from importlib.resources import files
from types import ModuleType
from typing import TYPE_CHECKING, Final

from tenter.errors import MissingPart

if TYPE_CHECKING:
    from _typeshed import DataclassInstance


LANGUAGE: Final = "templates/language.typ"  # before every template that is set in a language


def typst_for(what: str) -> ModuleType:
    """Return typst, to draw `what` by, which the error names; raises `MissingPart` where it is not installed."""
    try:
        import typst  # 80 MB that only drawing needs
    except ImportError:
        raise MissingPart(f"{what} is drawn by typst, which is not installed; try 'pip install typst'") from None
    module: ModuleType = typst
    return module


def template_text(place: str) -> bytes:
    """Return a template by its place below `tenter.report`."""
    return (files("tenter.report") / place).read_bytes()


def sheet_pdf(template: str, sheet: "DataclassInstance") -> bytes:
    """Return a sheet as a PDF. The same sheet gives the same bytes on one machine.

    Parameters
    ----------
    template
        The template's place below `tenter.report`. It reads the sheet as JSON and calls nothing.

    Raises
    ------
    MissingPart
        If what draws PDFs is not installed.
    """
    inputs = {"sheet": json.dumps(asdict(sheet), ensure_ascii=False)}
    source = template_text(LANGUAGE) + template_text(template)
    document: bytes = typst_for("a PDF").compile(source, sys_inputs=inputs, timestamp=0)
    return document
