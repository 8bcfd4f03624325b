"""`tenter hand-over`: everything that one client takes home, and the studio's sheet, into a folder."""

import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

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
    WordsOption,
    errors_said,
    read_own_words,
    replayed,
    say,
)

if TYPE_CHECKING:
    from tenter import Sitting
    from tenter.report.content import ClientCard
    from tenter.report.studio_words import StudioWords


def hand_over(
    client: ClientOption,
    out: Annotated[Path, typer.Option("--out", help="The folder for the files; it is made where it is missing.")],
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
    words: WordsOption = None,
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    face: FaceOption = None,
    seed: SeedOption = 7,
) -> None:
    """Write all that one client takes home: papers, swatches, phone, colours for programs, a mail draft."""
    from tenter import PhaseMissing
    from tenter.report.content import ClientCard

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
            written = write_whole_set(card, sitting, out, read_own_words(words, sitting))
        except PhaseMissing as error:
            say(str(error))
            raise typer.Exit(REFUSED) from None
    for path in written:
        say(f"Wrote {path}")


def write_whole_set(
    card: "ClientCard", sitting: "Sitting", folder: Path, words: "StudioWords | None" = None
) -> list[Path]:
    """Write every file of a client into a folder, which is made where it is missing, and return where they are."""
    from tenter.report.handing_over.whole_set import whole_set
    from tenter.report.studio_words import NO_WORDS

    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for file in whole_set(card, sitting, words=words or NO_WORDS):
        path = folder / file.name
        path.write_bytes(file.content)
        for note in file.notes:
            say(f"  {file.name}: {note}")
        written.append(path)
    return written
