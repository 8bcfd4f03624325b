"""`tenter face series` and `tenter face compare`: several photographs of one face held against one another."""

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.shared.inputs import JsonOption, end_unless, errors_said, print_json
from tenter.numerals import number

if TYPE_CHECKING:
    from tenter.photo.series.measure import Series
    from tenter.photo.together.compare import Comparison


class SeriesChart(StrEnum):
    """The values of --chart that a series knows."""

    CLASSIC24 = "classic24"
    NONE = "none"


def series(
    photos: Annotated[list[Path], typer.Argument(help="The photographs in the order they were taken.")],
    pattern: Annotated[str, typer.Option(help="The drape of each photograph, as in ABAB.")] = "ABAB",
    chart: Annotated[SeriesChart, typer.Option(help="The card in every picture.")] = SeriesChart.CLASSIC24,
    as_json: JsonOption = False,
) -> None:
    """Say what drape B does to the face compared with drape A, region by region, with 90 % intervals.

    Lock exposure, white balance and focus, rest the camera on something, and change the drapes in turn: A, B, A, B.
    Hold the card flat beside the jaw, parallel to the face.

    Exit code 0: measured, which includes "cannot tell". 2: files or options cannot be used. 3: refused, and why.
    """
    with errors_said():
        from tenter.photo.cards import ChartKind  # --help stays fast
        from tenter.photo.series.measure import measure_series

        found = measure_series(photos, pattern.upper(), ChartKind(chart.value))
    if as_json:
        print_json(found.to_json())
    else:
        _show_series(found)
    end_unless(found.accepted)


def _show_series(found: "Series") -> None:
    if not found.accepted:
        typer.echo("This series is not measured.")
    for text in (*found.refusals, *found.notes):
        typer.echo(f"• {text}")
    for frame in found.frames:
        if frame.why is not None:
            typer.echo(f"• {frame.name} is left out. {frame.why}")
    if found.accepted:
        typer.echo(
            f"Drape B against drape A, Lab under D65/2°, {sum(f.why is None for f in found.frames)} photographs:"
        )
    for difference in found.differences:
        typer.echo(f"  {difference.text}")


def compare(
    photos: Annotated[list[Path], typer.Argument(help="Photographs of one face, or their --json measurements.")],
    as_json: JsonOption = False,
) -> None:
    """Say where photographs of the same face disagree beyond their intervals, and what they agree on.

    Exit code 0: compared. 2: a file cannot be used. 3: too few of the photographs give absolute colours.
    """
    from tenter.photo.together.compare import colours_at, compare_faces

    with errors_said():
        found = compare_faces([colours_at(path) for path in photos])
    if as_json:
        print_json(found.to_json())
    else:
        _show_comparison(found)


def _show_comparison(found: "Comparison") -> None:
    typer.echo(found.text)
    for disagreement in found.disagreements:
        typer.echo(f"  {disagreement.text}")
    for region, colour in found.combined.items():
        if colour is not None:
            pairs = zip(colour.lab, colour.half_width_90, strict=True)
            typer.echo(f"  {region}: " + ", ".join(f"{number(value)} ± {half:.1f}" for value, half in pairs))
