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

from tenter.errors import TenterError, UnknownName

if TYPE_CHECKING:
    from tenter.photo.baseline import Flush
    from tenter.photo.card import CardChoice
    from tenter.photo.request import FaceRequest
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


class CardValuesOption(StrEnum):
    """The values of --card-values; `tenter.photo.reference.CardValues` repeated for the same reason."""

    MEAN_OF_30 = "mean-of-30"
    OF_1976 = "1976"
    OF_2005 = "2005"
    BEFORE_2014_11 = "before-2014-11"
    FROM_2014_11 = "from-2014-11"


@app.callback()
def face() -> None:
    """Colours of a face from a photograph."""


@app.command()
def measure(
    photo: Annotated[Path, typer.Argument(help="A JPEG, PNG or TIFF as it came from the camera.")],
    chart: Annotated[ChartOption, typer.Option(help="The colour card in the picture.")] = ChartOption.CLASSIC24,
    card_values: Annotated[
        CardValuesOption, typer.Option(help="Which published figures the classic card has.")
    ] = CardValuesOption.MEAN_OF_30,
    grey: Annotated[float, typer.Option(help="Reflectance of the grey card, percent.")] = 18.0,
    card_at: Annotated[
        str | None,
        typer.Option(metavar="X,Y,W,H", help="Where the grey card or the paper lies, pixels of the upright picture."),
    ] = None,
    card: Annotated[
        Path | None,
        typer.Option(help="The values of our own card, written by 'card calibrate'; else those kept for its serial."),
    ] = None,
    exclude: Annotated[
        list[str] | None,
        typer.Option(
            metavar="KIND:X,Y X,Y X,Y",
            help="A scar, vitiligo, beard, glasses or other to leave out: corners, pixels of the upright picture.",
        ),
    ] = None,
    drop: Annotated[list[str] | None, typer.Option(metavar="REGION", help="A region not to read, as jaw_left.")] = None,
    hair: Annotated[
        bool | None, typer.Option("--hair/--no-hair", help="The proposed patch is hair, or no hair shows.")
    ] = None,
    hair_at: Annotated[
        str | None, typer.Option(metavar="X,Y,W,H", help="Where hair is, pixels of the upright picture.")
    ] = None,
    baseline: Annotated[
        Path | None, typer.Option(help="The --json output of an earlier photograph, to tell flush from.")
    ] = None,
    outlines: Annotated[bool, typer.Option("--outlines", help="Put the regions' outlines into the JSON.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print one JSON object.")] = False,
) -> None:
    """Read the colours of a face, each with its 90 % interval.

    Exit code 0: measured. 2: the file or the options cannot be used. 3: the photograph is refused, and why.
    """
    from tenter.photo.baseline import flush_since, read_baseline  # --help stays fast
    from tenter.photo.measure import measure_photo

    try:
        choice = card_choice(chart, card_values, grey, card_at, card)
        request = face_request(exclude or [], drop or [], hair, hair_at)
        earlier = None if baseline is None else read_baseline(baseline)
        with _native_noise_hidden():
            measured = measure_photo(photo, choice, request)
        flush = None if earlier is None or not measured.accepted else flush_since(earlier, measured)
    except TenterError as problem:
        typer.echo(str(problem), err=True)
        raise typer.Exit(_EXIT_USAGE) from None
    if as_json:
        compared = {} if baseline is None else {"flush": None if flush is None else flush.to_json()}
        sys.stdout.write(json.dumps({**measured.to_json(outlines), **compared}) + "\n")
    else:
        _show(measured)
        if flush is not None:
            _show_flush(flush)
    if not measured.accepted:
        raise typer.Exit(_EXIT_REFUSED)


def card_choice(
    chart: ChartOption, values: CardValuesOption, grey_percent: float, at: str | None, own: Path | None = None
) -> "CardChoice":
    """Return what the options say of the card; raises `TenterError` when they do not fit together."""
    from tenter.photo.card import CardChoice, ChartKind
    from tenter.photo.own_card_values import read_card_values
    from tenter.photo.reference import CardValues

    place = None if at is None else _box(at)
    of_print = None if own is None else read_card_values(own)
    return CardChoice(ChartKind(chart.value), CardValues(values.value), grey_percent / 100, place, of_print)


def face_request(exclude: list[str], drop: list[str], hair: bool | None, hair_at: str | None) -> "FaceRequest":
    """Return what the options wish of a face; raises `TenterError` for what cannot be understood."""
    from tenter.photo.regions import Region
    from tenter.photo.request import Exclusion, FaceRequest, HairChoice, box_corners

    unknown = sorted(set(drop) - set(Region))
    if unknown:
        raise UnknownName("region", unknown[0], Region)
    choice = {None: HairChoice.UNCONFIRMED, True: HairChoice.CONFIRMED, False: HairChoice.NONE}[hair]
    return FaceRequest(
        exclusions=tuple(Exclusion.parse(text) for text in exclude),
        dropped=frozenset(Region(name) for name in drop),
        hair=choice,
        hair_at=None if hair_at is None else box_corners(hair_at),
    )


def _box(text: str) -> tuple[float, float, float, float]:
    try:
        left, top, width, height = (float(part) for part in text.split(","))
    except ValueError:
        raise TenterError(
            f"--card-at came as {text!r}; give left, top, width and height in pixels, as in 820,310,120,160"
        ) from None
    return left, top, width, height


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


def _show_flush(flush: "Flush") -> None:
    (low, high), (darkest, lightest) = flush.redness_90, flush.lightness_90
    typer.echo(
        f"Cheeks against forehead since the baseline: redness {flush.redness:+.1f} ({low:+.1f} to {high:+.1f}), "
        f"{flush.redder}; lightness {flush.lightness:+.1f} ({darkest:+.1f} to {lightest:+.1f}), {flush.lighter}"
    )


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
    for line in _reading_lines(measured):
        console.print(line)


def _reading_lines(measured: "FaceMeasurement") -> Iterator[str]:
    for region, colour in measured.regions.items():
        if colour.caution:
            yield f"{region}: {colour.caution}"
    for region, reading in measured.readings.names.items():
        others = ", ".join(f"{name.name} {share:.0%}" for name, share in reading.others)
        yield f"{region}: {reading.name.name} ({reading.share:.0%}{'; or ' + others if others else ''})"
    for found in measured.readings.lightness_steps:
        low, high = found.interval_90
        yield f"{found.feature} against the skin: L* {found.step:+.0f} ({low:+.0f} to {high:+.0f})"
    for sides in measured.asymmetry:
        low, high = sides.delta_l_90
        said = sides.lighter if low <= 0 <= high else f"{sides.lighter} is lighter"
        yield f"{sides.left} against {sides.right}: L* {sides.delta_l:+.1f} ({low:+.1f} to {high:+.1f}), {said}"
    outlines = "; ".join(" ".join(f"{x:.0f},{y:.0f}" for x, y in outline) for outline in measured.hair.outlines)
    yield f"hair: {measured.hair.note}{': ' + outlines if outlines else ''}"
