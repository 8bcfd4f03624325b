"""`tenter camera`: learn a phone from photographs of the card, list what was learned, and forget it."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.shared.card_options import CardValuesOption, ValuesChoice
from tenter.cli.shared.inputs import JsonOption, end_unless, errors_said, print_json
from tenter.errors import TenterError
from tenter.numerals import how_many

if TYPE_CHECKING:
    from tenter.photo.card.learned_camera import LearnedCamera
    from tenter.photo.files.kept import Kept
    from tenter.photo.phones.learning import CameraLesson

_HELP = "Learn a phone once, from photographs of the 24-patch card. Its later photographs are then read better."
app = typer.Typer(help=_HELP, no_args_is_help=True)
NameArgument = Annotated[str, typer.Argument(help="What the phone is called: small letters, digits, - and _.")]


@app.callback(help=_HELP)
def camera() -> None:
    """A phone learned once."""


@app.command()
def learn(
    name: NameArgument,
    photos: Annotated[
        list[Path], typer.Argument(help="Three to six photographs of the 24-patch card by this phone, or a folder.")
    ],
    card_values: ValuesChoice = CardValuesOption.MEAN_OF_30,
    as_json: JsonOption = False,
) -> None:
    """Learn what stays the same in a phone, and keep it under a name. It replaces what had that name.

    Photograph the card by a window, in the shade, by a white LED and by a bulb, with the app and mode that faces are
    photographed with. No face is needed. Then: tenter face measure PHOTO --camera NAME. A file that cannot be read and
    a photograph that is refused are left out, with the reason; three have to remain. Exit code 0: learned. 2: no file
    can be read, or the options cannot be used. 3: too few of the photographs can be used, or they disagree, and why.
    """
    from datetime import date
    from functools import partial

    from tenter.cli.shared.batch import find_photographs
    from tenter.photo.files.loading import load_photo
    from tenter.photo.patches.reference import CardValues
    from tenter.photo.phones.kept import camera_path, keep_camera
    from tenter.photo.phones.learning import lesson

    with errors_said():
        files = find_photographs(photos).photographs
        _require_three_to_six(files)
        replaced = camera_path(name).is_file()
        found = lesson(name, [partial(load_photo, file) for file in files], date.today(), CardValues(card_values.value))
        _require_something_readable(found, files)
        path = None if found.camera is None else keep_camera(found.camera)
    if as_json:
        print_json(_document(found, files, path, replaced))
    else:
        for line in _told(found, files, path, replaced):
            typer.echo(line)
    end_unless(found.camera is not None)


@app.command("list")
def list_cameras(as_json: JsonOption = False) -> None:
    """List the cameras that were learned here: when, and from how many photographs.

    Exit code 0, also when there are none.
    """
    from tenter.photo.phones.kept import kept_cameras

    with errors_said():
        kept = kept_cameras()
    if as_json:
        print_json({"cameras": [_kept_document(one) for one in kept]})
        return
    if not kept:
        typer.echo("No camera was learned here yet. Photograph the card with it in three lights or more, and run:")
        typer.echo("tenter camera learn NAME PHOTO PHOTO PHOTO")
    for one in kept:
        typer.echo(_listed(one))


@app.command()
def forget(name: NameArgument, as_json: JsonOption = False) -> None:
    """Delete what was learned of a camera. Exit code 0: deleted. 2: no such camera is kept."""
    from tenter.photo.phones.kept import forget_camera

    with errors_said():
        path = forget_camera(name)
    if as_json:
        print_json({"name": name, "file": str(path), "forgotten": True})
    else:
        typer.echo(f"What was learned of camera {name} is deleted.")


def _require_three_to_six(photos: Sequence[Path]) -> None:
    from tenter.photo.card.learned_camera import MAX_PHOTOGRAPHS, MIN_PHOTOGRAPHS

    if not MIN_PHOTOGRAPHS <= len(photos) <= MAX_PHOTOGRAPHS:
        raise TenterError(
            f"{how_many(len(photos), 'photograph')} came; name {MIN_PHOTOGRAPHS} to {MAX_PHOTOGRAPHS} of the card "
            "by one phone, each in another light"
        )


def _require_something_readable(found: "CameraLesson", files: Sequence[Path]) -> None:
    if found.nothing_readable:
        said = [f"{file.name}: {reasons[0].text}" for file, reasons in zip(files, found.left_out, strict=True)]
        raise TenterError(f"none of the photographs can be read. {' '.join(said)}")


def _told(found: "CameraLesson", photos: Sequence[Path], path: Path | None, replaced: bool) -> list[str]:
    """Return what is said of a lesson: what was left out and why, then what came of it."""
    lines = []
    for photo, reasons in zip(photos, found.left_out, strict=True):
        if reasons:
            lines += [f"{photo} is left out:", *(f"• {reason.text}" for reason in reasons)]
    if found.camera is None:
        return [*lines, f"Nothing was learned: {found.problem}."]
    from tenter.report.words.tone_words import tone_words

    before = " It replaces what was kept with this name." if replaced else ""
    return [
        *lines,
        f"Camera {found.camera.name} is learned from {found.camera.photographs} photographs, and is in {path}.{before}",
        tone_words(found.camera.tone),
        f"Use it for its photographs: tenter face measure PHOTO --camera {found.camera.name}",
    ]


def _listed(one: "Kept[str, LearnedCamera]") -> str:
    from tenter.report.words.tone_words import tone_words

    if one.value is None:
        return f"{one.key}: {one.path} cannot be used: {one.problem}."
    learned = f"learned on {one.value.learned_on.isoformat()} from {one.value.photographs} photographs"
    return f"{one.key}: {learned}. {tone_words(one.value.tone)}"


def _document(found: "CameraLesson", photos: Sequence[Path], path: Path | None, replaced: bool) -> dict[str, object]:
    from tenter.photo.phones.kept import camera_json

    return {
        "accepted": found.camera is not None,
        "problem": found.problem or None,
        "reasons": [
            {"photo": str(photo), "code": str(reason.code), "text": reason.text}
            for photo, reasons in zip(photos, found.left_out, strict=True)
            for reason in reasons
        ],
        "file": None if path is None else str(path),
        "replaced": replaced and path is not None,
        "camera": None if found.camera is None else camera_json(found.camera),
    }


def _kept_document(one: "Kept[str, LearnedCamera]") -> dict[str, object]:
    camera = one.value
    return {
        "name": one.key,
        "file": str(one.path),
        "problem": one.problem or None,
        "learned_on": camera and camera.learned_on.isoformat(),
        "photographs": camera and camera.photographs,
    }
