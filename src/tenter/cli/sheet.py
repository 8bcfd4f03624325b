"""`tenter sheet`: the reading sheet as a PDF."""

import datetime
from pathlib import Path
from typing import Annotated

import typer

from tenter.cli.inputs import (
    DEFAULT_METHOD,
    REFUSED,
    ClientOption,
    FaceOption,
    KitOption,
    LedgerArgument,
    MethodOption,
    SeedOption,
    errors_said,
    replayed,
    say,
)


def sheet(
    client: ClientOption,
    out: Annotated[Path, typer.Option("--out", help="Where to write the PDF.")],
    ledger: LedgerArgument = None,
    name: Annotated[str | None, typer.Option("--name", help="The name to print; the ledger's when left out.")] = None,
    studio: Annotated[str, typer.Option("--studio", help="The studio to print.")] = "",
    consultant: Annotated[str, typer.Option("--consultant", help="The consultant to print.")] = "",
    date: Annotated[
        str | None, typer.Option("--date", help="The date to print, YYYY-MM-DD; today when left out.")
    ] = None,
    minor: Annotated[bool, typer.Option("--minor", help="The client is a minor: the result is provisional.")] = False,
    words_only: Annotated[
        bool, typer.Option("--words-only", help="Hand over in words, for a client who sees few hues.")
    ] = False,
    studio_copy: Annotated[
        bool, typer.Option("--studio-copy", help="The studio's own: a result that the consultant named, and the odds.")
    ] = False,
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    face: FaceOption = None,
    seed: SeedOption = 7,
) -> None:
    """Write one client's reading sheet."""
    from tenter import PhaseMissing
    from tenter.report.content import ClientCard, reading_sheet
    from tenter.report.named_result import Paper
    from tenter.report.pdf import write_reading_sheet

    with errors_said():
        sitting = replayed(ledger, client, kit, method, face, seed)
        card = ClientCard(
            name=name or client,
            studio=studio,
            consultant=consultant,
            date=date or datetime.date.today().isoformat(),
            minor=minor,
            words_only=words_only,
        )
        try:
            paper = Paper.STUDIO if studio_copy else Paper.CLIENT
            write_reading_sheet(reading_sheet(card, sitting, paper), out)
        except PhaseMissing as error:
            say(str(error))
            raise typer.Exit(REFUSED) from None
    say(f"Wrote {out}")
