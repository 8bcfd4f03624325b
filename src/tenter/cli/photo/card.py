"""`tenter card`: print our own colour card, store what prints truly are, and list those that are stored."""

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from tenter.cli.photo.card_words import as_document, card_document, card_table, printed_sheet, store, told_calibration
from tenter.cli.shared.inputs import JsonOption, end_unless, errors_said, print_json
from tenter.cli.shared.output_files import ReplaceOption, require_place
from tenter.cli.shared.paper_options import PaperOption

_HELP = "A colour card to print. Each print is measured once beside a 24-patch chart; a borrowed one will do."
app = typer.Typer(help=_HELP, no_args_is_help=True)


class ReferenceOption(StrEnum):
    """What a card can be calibrated beside."""

    CLASSIC24 = "classic24"


@app.callback(help=_HELP)
def card() -> None:
    """Our own colour card."""


@app.command("print")
def print_card(
    out: Annotated[Path, typer.Argument(help="The PDF to write.")],
    serial: Annotated[
        int | None, typer.Option(help="The number of this print, each its own. Left out: a random number.")
    ] = None,
    paper: Annotated[PaperOption, typer.Option(help="The size of the paper.")] = PaperOption.A4,
    replace: ReplaceOption = False,
    as_json: JsonOption = False,
) -> None:
    """Write the sheet of a colour card as a PDF.

    Before you use it, each print has to be photographed once beside a 24-patch chart; a borrowed one will do. Exit code
    0: written. 2: the options or the place cannot be used.
    """
    import secrets

    from tenter.photo.own_card.layout import CARD_PATCHES, MAX_SERIAL
    from tenter.report.drawing.paper_size import PaperSize
    from tenter.report.printing.card_sheet import card_sheet, write_card_sheet

    number = 1 + secrets.randbelow(MAX_SERIAL) if serial is None else serial
    with errors_said():
        require_place(out, replace)
        write_card_sheet(card_sheet(number, PaperSize(paper.value)), out)
    if as_json:
        written = {"file": str(out), "serial": number, "paper": paper.value, "patches": len(CARD_PATCHES)}
        print_json(written)
    else:
        for line in printed_sheet(number, out):
            typer.echo(line)


@app.command()
def calibrate(
    photos: Annotated[
        list[Path],
        typer.Argument(help="Photographs, each of one card beside a 24-patch chart, or folders of them; daylight."),
    ],
    chart: Annotated[ReferenceOption, typer.Option(help="The reference chart.")] = ReferenceOption.CLASSIC24,
    serial: Annotated[
        int | None, typer.Option(help="The number printed on the card, if it cannot be read from the picture.")
    ] = None,
    out: Annotated[
        Path | None, typer.Option(help="The file for the values, or a folder. Left out: kept by number.")
    ] = None,
    replace: ReplaceOption = False,
    as_json: JsonOption = False,
) -> None:
    """Measure printed cards, each once, and keep their values by number.

    It needs a 24-patch chart once; a borrowed one will do. Photograph each card flat beside it, in daylight. Several
    cards may be measured at once: each photograph shows one, and its number is read from it. A second photograph of a
    card, by an incandescent lamp, shows its inks better. A file that cannot be read and a photograph that is refused
    are left out, with the reason. Exit code 0: stored. 2: no file can be read, or the options cannot be used. 3: every
    photograph is refused, and why.
    """
    from datetime import date

    from tenter.cli.shared.batch import find_photographs
    from tenter.photo.own_card.calibration import calibrate_from_files

    with errors_said():
        if out is not None and not out.is_dir():
            require_place(out, replace)
        files = find_photographs(photos).photographs
        found = calibrate_from_files(files, date.today(), serial)
        stored = store(found.values, out, replace)
    if as_json:
        print_json(as_document(found, files, chart.value, stored))
    else:
        for line in told_calibration(found, files, stored):
            typer.echo(line)
    end_unless(bool(found.values))


@app.command("list")
def list_cards(as_json: JsonOption = False) -> None:
    """List the cards that were measured here: when, from how many photographs, and how closely.

    Exit code 0, also when there are none.
    """
    from datetime import date

    from tenter.photo.own_card.kept import kept_cards

    with errors_said():
        kept = kept_cards()
    if as_json:
        print_json({"cards": [card_document(card, date.today()) for card in kept]})
    else:
        for line in card_table(kept, date.today()):
            typer.echo(line)
