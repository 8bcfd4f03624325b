"""A paper of the workshop: what is said on it, in sections, and the PDF of it."""

import json
import re
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Final

import numpy as np

from tenter.arrays import ArrayLike
from tenter.colorimetry.measurement import D65_10, Colours
from tenter.errors import TenterError
from tenter.language import N_, _, language
from tenter.report.drawing.paper_size import PaperSize
from tenter.report.drawing.pdf import pdf_bytes
from tenter.report.own_words.studio_words import Language, language_from

_TEMPLATE: Final = "workshop/workshop_paper.typ"
_APOSTROPHE: Final = re.compile(r"(?<=[a-z])'(?=[a-z])")  # the terminal's, which a paper writes as printers do
_STRONGER: Final = N_("Zigzag edge: stronger than print or screen can show. Trust the cloth.")


@dataclass(frozen=True, slots=True)
class PaperSwatch:
    """A colour beside a row: '#rrggbb', whether a screen can show it, and what it is in words."""

    hex: str
    shown_truly: bool
    words: str


@dataclass(frozen=True, slots=True)
class PaperPicture:
    """A picture as SVG, and what it shows in words."""

    svg: str
    words: str


@dataclass(frozen=True, slots=True)
class PaperRow:
    """One thing in a section: a heading, sentences and a picture below it, and up to two colours beside it."""

    head: str
    lines: tuple[str, ...] = ()
    swatches: tuple[PaperSwatch, ...] = ()
    picture: PaperPicture | None = None


@dataclass(frozen=True, slots=True)
class PaperSection:
    """A part of a paper. rows: counted where `numbered`. lines: sentences after picture and rows.

    together: whether the lines are kept on one page.
    """

    title: str
    rows: tuple[PaperRow, ...] = ()
    lines: tuple[str, ...] = ()
    picture: PaperPicture | None = None
    numbered: bool = False
    together: bool = False

    @property
    def says_something(self) -> bool:
        """Whether there is anything in it."""
        return bool(self.rows or self.lines or self.picture)


@dataclass(frozen=True, slots=True)
class WorkshopPaper:
    """All that a paper of the workshop says. kind: what paper it is. date: ISO. about: of what, in a line.

    language: what it is written in.
    """

    kind: str
    title: str
    studio: str
    date: str
    shown_date: str
    about: str
    headline: str
    sections: tuple[PaperSection, ...]
    language: Language = field(default_factory=lambda: language_from(language().code))

    @property
    def stronger_note(self) -> str:
        """What the pinked edge of a swatch means; empty where there is none."""
        swatches = (s for section in self.sections for row in section.rows for s in row.swatches)
        return "" if all(swatch.shown_truly for swatch in swatches) else _(_STRONGER)


def paper_swatch(lab: ArrayLike, words: str) -> PaperSwatch:
    """Return the swatch of a colour (3,), CIELAB under D65/10°."""
    colours, truly = Colours(np.asarray(lab, dtype=float)[None], D65_10).on_screen()
    return PaperSwatch(colours[0], truly[0], words)


def workshop_pdf(paper: WorkshopPaper, page: PaperSize = PaperSize.A4) -> tuple[bytes, tuple[str, ...]]:
    """Return a paper as a tagged PDF, and what could not be drawn, empty when all was.

    Raises
    ------
    MissingPart
        If what draws PDFs is not installed.
    """
    said = {**asdict(paper), "stronger_note": paper.stronger_note, "paler": _("stronger than can be shown")}
    return pdf_bytes(
        _TEMPLATE, json.loads(_APOSTROPHE.sub("’", json.dumps(said, ensure_ascii=False))), paper.date, page
    )


def write_workshop_paper(paper: WorkshopPaper, path: str | Path, page: PaperSize = PaperSize.A4) -> tuple[str, ...]:
    """Write a paper as a tagged PDF and return what could not be drawn.

    Raises
    ------
    TenterError
        If the file cannot be written.
    """
    document, notes = workshop_pdf(paper, page)
    try:
        Path(path).write_bytes(document)
    except OSError as problem:
        raise TenterError(f"{path} cannot be written ({problem.strerror}); choose another place with --out") from None
    return notes
