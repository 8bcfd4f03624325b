"""`tenter face measure`: the colours of a face in a photograph."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.photo.face_show import show_flush, show_measurement
from tenter.cli.shared.card_options import (
    CalledEven,
    CameraName,
    CardFile,
    CardPlace,
    CardValuesOption,
    ChartChoice,
    ChartOption,
    GreyChoice,
    ValuesChoice,
    card_choice,
)
from tenter.cli.shared.inputs import JsonOption, end_unless, errors_said, print_json
from tenter.cli.shared.output_files import ReplaceOption, make_folder, require_place
from tenter.errors import TenterError, UnknownName

if TYPE_CHECKING:
    from tenter.cli.photo.face_folder import FolderRun
    from tenter.photo.cards import CardChoice
    from tenter.photo.face.result import FaceMeasurement
    from tenter.photo.files.loading import Photo
    from tenter.photo.regions.request import FaceRequest
    from tenter.photo.together.baseline import Flush

app = typer.Typer(help="Colours of a face from a photograph.", no_args_is_help=True)

PhotosArgument = Annotated[
    list[Path],
    typer.Argument(
        help="A photograph as it came from the camera; several, or a folder of them. Two of one face, the card moved "
        "between them, are surer: see --same-face.",
        show_default=False,
    ),
]
ExcludeOption = Annotated[
    list[str] | None,
    typer.Option(
        metavar="KIND:X,Y X,Y X,Y",
        help="A scar, vitiligo, beard, glasses or other to leave out: corners, pixels of the upright picture.",
    ),
]
DropOption = Annotated[list[str] | None, typer.Option(metavar="REGION", help="A region not to read, such as jaw_left.")]
HairOption = Annotated[
    bool | None, typer.Option("--hair/--no-hair", help="The proposed patch is hair, or no hair shows.")
]
HairPlace = Annotated[str | None, typer.Option(metavar="X,Y,W,H", help="Where hair is, pixels of the upright picture.")]
BaselineOption = Annotated[
    Path | None, typer.Option(help="The --json output of an earlier photograph, to look for a flush.")
]
PictureOption = Annotated[
    Path | None,
    typer.Option(help="Draw what was measured here: a .png or .pdf file; for several, a folder of PNG files."),
]
OutOption = Annotated[Path | None, typer.Option(help="For a folder: where to write the results. Left out: beside it.")]
JobsOption = Annotated[int, typer.Option(min=1, max=64, help="For a folder: how many processes measure.")]
AgainOption = Annotated[bool, typer.Option("--again", help="For a folder: measure again what was measured before.")]
SameFaceOption = Annotated[
    bool,
    typer.Option(
        "--same-face",
        help="All photographs show one face: measure them together. Move or turn the card between them.",
    ),
]
OutlinesOption = Annotated[bool, typer.Option("--outlines", help="Put the regions' outlines into the JSON.")]


@app.callback()
def face() -> None:
    """Colours of a face from a photograph."""


@app.command()
def measure(
    photos: PhotosArgument,
    chart: ChartChoice = ChartOption.CLASSIC24,
    card_values: ValuesChoice = CardValuesOption.MEAN_OF_30,
    grey: GreyChoice = 18.0,
    card_at: CardPlace = None,
    card: CardFile = None,
    card_is_evenly_lit: CalledEven = False,
    camera: CameraName = None,
    exclude: ExcludeOption = None,
    drop: DropOption = None,
    hair: HairOption = None,
    hair_at: HairPlace = None,
    baseline: BaselineOption = None,
    picture: PictureOption = None,
    out: OutOption = None,
    jobs: JobsOption = 2,
    again: AgainOption = False,
    outlines: OutlinesOption = False,
    same_face: SameFaceOption = False,
    replace: ReplaceOption = False,
    as_json: JsonOption = False,
) -> None:
    """Read the colours of a face, each with its 90 % interval.

    Hold the card flat beside the jaw, parallel to the face, in the same light and unshaded.

    Exit code 0: measured. 2: the file or the options cannot be used. 3: the photograph is refused, and why; of a
    folder, some are. For a folder, there is one JSON file for each photograph, and a table.

    Take two photographs, and move or turn the card between them. With --same-face they are measured together, and the
    result says whether the card got the same light as the face. One photograph cannot show that.
    """
    from tenter.cli.photo.face_folder import FolderRun  # --help stays fast

    with errors_said():
        choice = card_choice(chart, card_values, grey, card_at, card, card_is_evenly_lit, camera)
        request = face_request(exclude or [], drop or [], hair, hair_at)
        if same_face:
            _require_for_one_face(chart, out, again, outlines)
            _measure_same_face(photos, choice, request, baseline, picture, as_json)
            return
        if len(photos) > 1 or photos[0].is_dir():
            _require_alone(baseline, outlines)
            place = out or _beside(photos[0])
            _measure_folder(photos, choice, request, picture, FolderRun(place, jobs, again, as_json))
            return
        if picture is not None:
            _require_form(picture)
            require_place(picture, replace)
        measured, flush = _measure_one(photos[0], choice, request, baseline, picture)
    if as_json:
        compared = {} if baseline is None else {"flush": None if flush is None else flush.to_json()}
        print_json({**measured.to_json(outlines), **compared})
    else:
        show_measurement(measured)
        if flush is not None:
            show_flush(flush)
    end_unless(measured.accepted)


def _require_alone(baseline: Path | None, outlines: bool) -> None:
    for option, given in (("--baseline", baseline is not None), ("--outlines", outlines)):
        if given:
            raise TenterError(f"{option} came with several photographs; give it with one")


def _require_for_one_face(chart: ChartOption, out: Path | None, again: bool, outlines: bool) -> None:
    if chart is ChartOption.NONE:
        raise TenterError(
            "--same-face was given with --chart none; without a card nothing shows whether photographs agree. "
            "Photograph the face beside a card"
        )
    for option, given in (("--out", out is not None), ("--again", again), ("--outlines", outlines)):
        if given:
            raise TenterError(f"{option} came with --same-face, which gives one result and no files; leave it out")


def _measure_same_face(
    photos: list[Path],
    choice: "CardChoice",
    request: "FaceRequest",
    baseline: Path | None,
    pictures: Path | None,
    as_json: bool,
) -> None:
    from tenter.cli.photo.face_together import measure_same_face
    from tenter.cli.shared.batch import measured_and_drawn
    from tenter.photo.together.baseline import read_baseline

    earlier = None if baseline is None else read_baseline(baseline)
    if pictures is not None:
        if pictures.suffix.lower() in {".png", ".pdf"} and not pictures.is_dir():
            raise TenterError(f"--picture came as {pictures.name!r}; with --same-face give it a folder")
        make_folder(pictures, "--picture")

    def measure(path: Path) -> "FaceMeasurement":
        with _native_noise_hidden():
            return measured_and_drawn(path, choice, request, pictures)

    measure_same_face(photos, measure, earlier, [] if pictures is None else [pictures], as_json)


def _measure_one(
    path: Path, choice: "CardChoice", request: "FaceRequest", baseline: Path | None, picture: Path | None
) -> "tuple[FaceMeasurement, Flush | None]":
    """Measure one photograph, draw it where a picture is wished for, and hold it against an earlier one."""
    from tenter.photo.face.measure import measure_face
    from tenter.photo.files.loading import load_photo
    from tenter.photo.together.baseline import flush_since, read_baseline

    earlier = None if baseline is None else read_baseline(baseline)
    with _native_noise_hidden():
        photo = load_photo(path)
        measured = measure_face(photo, choice, request)
    if picture is not None:
        _draw(measured, photo, picture)
    return measured, None if earlier is None or not measured.accepted else flush_since(earlier, measured)


def _beside(first: Path) -> Path:
    """Return the folder for the results of photographs: beside the folder, or the first of the files, that is named."""
    there = (first.resolve() if first.name in {"", ".."} else first).absolute()
    return there.with_name(f"{there.name if there.is_dir() else there.stem}-measured")


def _measure_folder(
    photos: list[Path], choice: "CardChoice", request: "FaceRequest", pictures: Path | None, run: "FolderRun"
) -> None:
    from tenter.cli.photo.face_folder import measure_folder
    from tenter.cli.shared.batch import find_photographs, measure_one

    found = find_photographs(photos, leave_out=[run.out] if pictures is None else [run.out, pictures])
    if pictures is not None:
        make_folder(pictures, "--picture")
    measure = partial(measure_one, choice=choice, request=request, pictures=pictures)
    measure_folder(found, measure, repr((choice, request, pictures)), run)


def _require_form(picture: Path) -> None:
    from tenter.report.pictures.face_drawing import DrawingForm

    if picture.suffix.lower().lstrip(".") not in set(DrawingForm):
        raise TenterError(
            f"--picture came as {picture.name!r}; give a name that ends in {' or '.join('.' + f for f in DrawingForm)}"
        )


def _draw(measured: "FaceMeasurement", photo: "Photo", path: Path) -> None:
    from tenter.report.pictures.face_drawing import DrawingForm, draw_face_picture
    from tenter.report.pictures.face_picture import face_picture

    form = DrawingForm(path.suffix.lower().lstrip("."))
    try:
        path.write_bytes(draw_face_picture(face_picture(measured, photo), photo, form))
    except OSError as problem:
        raise TenterError(
            f"{path} cannot be written ({problem.strerror}); give --picture a file in a folder that is there"
        ) from None


def face_request(exclude: list[str], drop: list[str], hair: bool | None, hair_at: str | None) -> "FaceRequest":
    """Return what the options wish of a face.

    Raises `UnknownName` for another region, and `TenterError` for a place that cannot be read.
    """
    from tenter.photo.places import box_corners, read_box
    from tenter.photo.regions.regions import Region
    from tenter.photo.regions.request import Exclusion, FaceRequest, HairChoice

    unknown = sorted(set(drop) - set(Region))
    if unknown:
        raise UnknownName("region", unknown[0], Region)
    choice = {None: HairChoice.UNCONFIRMED, True: HairChoice.CONFIRMED, False: HairChoice.NONE}[hair]
    return FaceRequest(
        exclusions=tuple(Exclusion.parse(text) for text in exclude),
        dropped=frozenset(Region(name) for name in drop),
        hair=choice,
        hair_at=None if hair_at is None else box_corners(read_box(hair_at, "--hair-at")),
    )


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
