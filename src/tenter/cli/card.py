"""`tenter card`: print our own colour card, and store what one print truly is."""

from enum import StrEnum
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.inputs import REFUSED, JsonOption, errors_said, print_json

if TYPE_CHECKING:
    from tenter.photo.own_card_calibration import CardCalibration

app = typer.Typer(help="A colour card to print, and its true values.", no_args_is_help=True)


class PaperOption(StrEnum):
    """The values of --paper; `tenter.report.card_sheet.Paper` repeated so that --help loads no heavy library."""

    A4 = "a4"
    LETTER = "letter"


class ReferenceOption(StrEnum):
    """What a card can be calibrated beside."""

    CLASSIC24 = "classic24"


@app.callback()
def card() -> None:
    """A colour card to print, and its true values."""


@app.command("print")
def print_card(
    out: Annotated[Path, typer.Argument(help="The PDF to write.")],
    serial: Annotated[int | None, typer.Option(help="A number of its own for every print; drawn if left out.")] = None,
    paper: Annotated[PaperOption, typer.Option(help="What the sheet is printed on.")] = PaperOption.A4,
    as_json: JsonOption = False,
) -> None:
    """Write the sheet of a colour card as a PDF. Exit code 0: written. 2: the options or the place cannot be used."""
    import secrets

    from tenter.photo.own_card_layout import MAX_SERIAL, PATCHES
    from tenter.report.card_sheet import Paper, card_sheet, write_card_sheet

    number = 1 + secrets.randbelow(MAX_SERIAL) if serial is None else serial
    with errors_said():
        write_card_sheet(card_sheet(number, Paper(paper.value)), out)
    if as_json:
        written = {"file": str(out), "serial": number, "paper": paper.value, "patches": len(PATCHES)}
        print_json(written)
    else:
        typer.echo(f"Card No. {number} is in {out}. Print it at 100 % on matt paper; the sheet says the rest.")


@app.command()
def calibrate(
    photos: Annotated[
        list[Path],
        typer.Argument(help="A photograph of the card beside a reference chart, in daylight; more, by other lamps."),
    ],
    chart: Annotated[ReferenceOption, typer.Option(help="The reference chart.")] = ReferenceOption.CLASSIC24,
    serial: Annotated[
        int | None, typer.Option(help="The number printed on the card; read from it if left out.")
    ] = None,
    out: Annotated[
        Path | None, typer.Option(help="Where to write the values; kept for the serial if left out.")
    ] = None,
    as_json: JsonOption = False,
) -> None:
    """Read the true values of one print, once, and store them.

    One photograph in daylight will do. A second by an incandescent lamp tells the inks better; a refused one is left
    out. Exit code 0: stored. 2: a file or the options cannot be used. 3: every photograph is refused, and why.
    """
    from datetime import date

    from tenter.photo.loading import load_photo
    from tenter.photo.own_card_calibration import calibrate_own_card
    from tenter.photo.own_card_values import kept_values_path, write_card_values

    path = None
    with errors_said():
        found = calibrate_own_card([load_photo(photo) for photo in photos], date.today(), serial)
        if found.values is not None:
            path = out or kept_values_path(found.values.serial)
            write_card_values(found.values, path)
    if as_json:
        print_json(_as_json(found, photos, chart, path))
    else:
        _tell(found, photos, path)
    if found.values is None:
        raise typer.Exit(REFUSED)


def _as_json(
    found: "CardCalibration", photos: list[Path], chart: ReferenceOption, path: Path | None
) -> dict[str, object]:
    return {
        "accepted": found.values is not None,
        "reasons": [
            {"photo": str(photo), "code": str(reason.code), "text": reason.text}
            for photo, reasons in zip(photos, found.reasons_by_photo, strict=True)
            for reason in reasons
        ],
        "chart": chart.value,
        "file": None if path is None else str(path),
        "values": None if found.values is None else found.values.to_json(),
    }


def _tell(found: "CardCalibration", photos: list[Path], path: Path | None) -> None:
    for photo, reasons in zip(photos, found.reasons_by_photo, strict=True):
        if reasons and len(photos) > 1:
            typer.echo(f"{photo} is left out:")
        for reason in reasons:
            typer.echo(f"• {reason.text}")
    if found.values is None:
        typer.echo("Nothing was stored.")
        return
    half = ", ".join(f"{median(widths):.1f}" for widths in found.values.half_width_90.T)
    used = sum(not reasons for reasons in found.reasons_by_photo)
    from_photographs = "one photograph" if used == 1 else f"{used} photographs"
    typer.echo(
        f"Card No. {found.values.serial}: {len(found.values.xyz)} patches read from {from_photographs}, half of them "
        f"within ±{half} in L*, a*, b* or less, nine times of ten. Stored in {path}."
    )
    if used == 1:
        typer.echo("A second photograph, by an incandescent lamp, named beside this one, makes the values surer.")
