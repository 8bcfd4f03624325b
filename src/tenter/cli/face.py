"""`tenter face`: the colours of a face in a photograph."""

import json
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.errors import TenterError

if TYPE_CHECKING:
    from tenter.photo.result import FaceMeasurement

app = typer.Typer(help="Colours of a face from a photograph.", no_args_is_help=True)

_EXIT_USAGE, _EXIT_REFUSED = 2, 3


class ChartOption(StrEnum):
    """The values of --chart; `tenter.photo.card.ChartKind` repeated so that --help loads no image library."""

    CLASSIC24 = "classic24"
    OWN = "own"
    GREY = "grey"
    PAPER = "paper"
    NONE = "none"


@app.callback()
def face() -> None:
    """Colours of a face from a photograph."""


@app.command()
def measure(
    photo: Annotated[Path, typer.Argument(help="A JPEG, PNG or TIFF as it came from the camera.")],
    chart: Annotated[ChartOption, typer.Option(help="The colour card in the picture.")] = ChartOption.CLASSIC24,
    as_json: Annotated[bool, typer.Option("--json", help="Print one JSON object.")] = False,
) -> None:
    """Read the colours of a face, each with its 90 % interval.

    Exit code 0: measured. 2: the file or the options cannot be used. 3: the photograph is refused, and why.
    """
    from tenter.photo.card import ChartKind
    from tenter.photo.measure import measure_photo  # --help stays fast

    try:
        with _native_noise_hidden():
            measured = measure_photo(photo, ChartKind(chart.value))
    except TenterError as problem:
        typer.echo(str(problem), err=True)
        raise typer.Exit(_EXIT_USAGE) from None
    if as_json:
        sys.stdout.write(json.dumps(measured.to_json()) + "\n")
    else:
        _show(measured)
    if not measured.accepted:
        raise typer.Exit(_EXIT_REFUSED)


@contextmanager
def _native_noise_hidden() -> Iterator[None]:
    """Keep the C++ parts of mediapipe from writing their start-up notices to stderr, which no setting turns off."""
    sys.stderr.flush()
    kept = os.dup(2)
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 2)
        yield
    finally:
        os.dup2(kept, 2)
        os.close(nowhere)
        os.close(kept)


def _show(measured: "FaceMeasurement") -> None:
    from rich.console import Console
    from rich.table import Table

    console = Console()
    if not measured.accepted:
        console.print("This photograph is not measured. What can be said of it follows.")
    for reason in measured.reasons:
        console.print(f"• {reason.text}")
    if measured.basis != "relative":
        table = Table("region", "L*", "a*", "b*", "± L*, a*, b*", title=f"Colours under {measured.conditions}")
        for region, colour in measured.regions.items():
            if colour.lab is None or colour.half_width_90 is None:
                table.add_row(str(region), "", "", "", colour.reason)
            else:
                widths = ", ".join(f"{half:.1f}" for half in colour.half_width_90)
                table.add_row(str(region), *(f"{value:.1f}" for value in colour.lab), widths)
        console.print(table)
    table = Table("from", "to", "Δ L*, a*, b*", "±", title="One region against another")
    for difference in measured.relative:
        delta, half = difference.delta_lab, difference.half_width_90
        table.add_row(difference.origin, difference.to, *(", ".join(f"{v:+.1f}" for v in row) for row in (delta, half)))
    if measured.relative:
        console.print(table)
    if measured.ita is not None:
        low, high = measured.ita.interval_90
        console.print(f"ITA {measured.ita.degrees:.0f}° ({low:.0f}° to {high:.0f}°), class {measured.ita.ita_class}")
