"""The options that say what is printed of client, studio and day, and the card that is made from them."""

import datetime
from collections.abc import Iterator
from contextlib import contextmanager
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from tenter.report.reading.content import ClientCard


class PaperOption(StrEnum):
    """The values of --paper: those of `PaperSize`, repeated so that --help loads no heavy library."""

    A4 = "a4"
    LETTER = "letter"


NameOption = Annotated[
    str | None, typer.Option("--name", help="The name to print or to write; the client's when left out.")
]
StudioOption = Annotated[str, typer.Option("--studio", help="The studio to print.")]
ConsultantOption = Annotated[str, typer.Option("--consultant", help="The consultant to print.")]
DateOption = Annotated[
    str | None, typer.Option("--date", help="The date to print or to write, YYYY-MM-DD; today when left out.")
]
MinorOption = Annotated[bool, typer.Option("--minor", help="The client is a minor: the result is provisional.")]
GuardianOption = Annotated[str, typer.Option("--guardian", help="The parent or guardian who gets a minor's mail.")]
WordsOnlyOption = Annotated[
    bool, typer.Option("--words-only", help="Hand over in words, for a client who sees few hues.")
]

LanguageOption = Annotated[
    str, typer.Option("--language", metavar="CODE", help="The language to write in, if its catalogue is installed.")
]


@contextmanager
def papers_in(code: str) -> Iterator[None]:
    """Write papers in a language inside the `with`; raises `UnknownName` where there is no catalogue of it."""
    from tenter.language import written_in
    from tenter.translations import catalogue

    with written_in(catalogue(code)):
        yield


def day_or_today(date: str | None) -> str:
    """Return the day that was given, or today's, as ISO text."""
    return date or datetime.date.today().isoformat()


def card_for(
    name: str,
    studio: str,
    consultant: str,
    date: str | None,
    minor: bool = False,
    words_only: bool = False,
    guardian: str = "",
) -> "ClientCard":
    """Return for whom something is made, by whom and when; raises `TenterError` where a field cannot be printed."""
    from tenter.report.reading.content import ClientCard

    return ClientCard(
        name=name,
        studio=studio,
        consultant=consultant,
        date=day_or_today(date),
        minor=minor,
        words_only=words_only,
        guardian=guardian,
    )
