"""`tenter face`: the colours of a face in a photograph."""

import json
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from enum import StrEnum
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.face_show import show_flush, show_measurement
from tenter.errors import TenterError, UnknownName

if TYPE_CHECKING:
    from tenter.photo.card import CardChoice
    from tenter.photo.loading import Photo
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
    photos: Annotated[
        list[Path],
        typer.Argument(
            help="A photograph as it came from the camera; several, or a folder of them.", show_default=False
        ),
    ],
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
    picture: Annotated[
        Path | None,
        typer.Option(help="Draw what was measured here: a .png or .pdf file; for a folder, a folder of PNG files."),
    ] = None,
    out: Annotated[Path | None, typer.Option(help="For a folder: where results go; else beside it.")] = None,
    jobs: Annotated[int, typer.Option(min=1, max=64, help="For a folder: how many processes measure.")] = 2,
    again: Annotated[bool, typer.Option("--again", help="For a folder: measure what was measured before.")] = False,
    outlines: Annotated[bool, typer.Option("--outlines", help="Put the regions' outlines into the JSON.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print one JSON object.")] = False,
) -> None:
    """Read the colours of a face, each with its 90 % interval.

    Exit code 0: measured. 2: the file or the options cannot be used. 3: the photograph is refused, and why; of a
    folder, some are. A folder's results are one JSON file a photograph, and a table.
    """
    from tenter.photo.baseline import flush_since, read_baseline  # --help stays fast
    from tenter.photo.loading import load_photo
    from tenter.photo.measure import measure_face

    try:
        choice = card_choice(chart, card_values, grey, card_at, card)
        request = face_request(exclude or [], drop or [], hair, hair_at)
        if len(photos) > 1 or photos[0].is_dir():
            _require_alone(baseline, outlines)
            _measure_folder(photos, choice, request, picture, out, jobs, again, as_json)
            return
        earlier = None if baseline is None else read_baseline(baseline)
        with _native_noise_hidden():
            photo = load_photo(photos[0])
            measured = measure_face(photo, choice, request)
        if picture is not None:
            _draw(measured, photo, picture)
        flush = None if earlier is None or not measured.accepted else flush_since(earlier, measured)
    except TenterError as problem:
        typer.echo(str(problem), err=True)
        raise typer.Exit(_EXIT_USAGE) from None
    if as_json:
        compared = {} if baseline is None else {"flush": None if flush is None else flush.to_json()}
        sys.stdout.write(json.dumps({**measured.to_json(outlines), **compared}) + "\n")
    else:
        show_measurement(measured)
        if flush is not None:
            show_flush(flush)
    if not measured.accepted:
        raise typer.Exit(_EXIT_REFUSED)


def _require_alone(baseline: Path | None, outlines: bool) -> None:
    for option, given in (("--baseline", baseline is not None), ("--outlines", outlines)):
        if given:
            raise TenterError(f"{option} came with several photographs; give it with one")


def _measure_folder(
    photos: list[Path],
    choice: "CardChoice",
    request: "FaceRequest",
    pictures: Path | None,
    out: Path | None,
    jobs: int,
    again: bool,
    as_json: bool,
) -> None:
    from tenter.cli.batch import find_photographs, measure_one
    from tenter.cli.face_folder import measure_folder

    place = out or photos[0].absolute().parent / f"{photos[0].stem}-measured"
    found = find_photographs(photos, leave_out=place)
    if pictures is not None:
        pictures.mkdir(parents=True, exist_ok=True)
    measure = partial(measure_one, choice=choice, request=request, pictures=pictures)
    measure_folder(found, measure, repr((choice, request, pictures)), place, jobs, again, as_json)


def _draw(measured: "FaceMeasurement", photo: "Photo", path: Path) -> None:
    from tenter.report.face_picture import Form, draw_face_picture, face_picture

    form = path.suffix.lower().lstrip(".")
    if form not in set(Form):
        raise TenterError(
            f"--picture came as {path.name!r}; give a name that ends in {' or '.join('.' + f for f in Form)}"
        )
    try:
        path.write_bytes(draw_face_picture(face_picture(measured, photo), photo, Form(form)))
    except OSError as problem:
        raise TenterError(f"{path} cannot be written ({problem.strerror}); name a folder that is there") from None


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
