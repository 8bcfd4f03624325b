"""The cameras that were learned here: each by its name, in a file of its own."""

import json
from datetime import date
from pathlib import Path
from typing import Any

from tenter import durable
from tenter.errors import TenterError, UnknownName, UnreadableInput
from tenter.language import N_, _, as_typed
from tenter.photo.camera.tone_prior import TonePrior
from tenter.photo.card.learned_camera import LearnedCamera, require_name
from tenter.photo.files.kept import Kept, folder_of, looked_into

_FORMAT = "tenter camera 1"
_REMEDY = N_("Learn the phone again")


def camera_path(name: str) -> Path:
    """Return where a camera is kept; TenterError if none can have that name."""
    require_name(name)
    return _folder() / f"{name}.json"


def camera_json(camera: LearnedCamera) -> dict[str, Any]:
    """Return a camera as it is kept."""
    return {
        "format": _FORMAT,
        "name": camera.name,
        "learned_on": camera.learned_on.isoformat(),
        "photographs": camera.photographs,
        "tone": _prior_json(camera.tone),
        "tone_alone": _prior_json(camera.alone),
    }


def keep_camera(camera: LearnedCamera) -> Path:
    """Keep a camera under its name, in place of one that was there; return where.

    Raises `UnreadableInput` where the file cannot be written.
    """
    path = camera_path(camera.name)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        durable.write(path, (json.dumps(camera_json(camera), indent=1) + "\n").encode())
    except OSError as problem:
        raise UnreadableInput(
            str(path),
            _("the file cannot be written ({reason})", reason=problem.strerror),
            _("Check the place, and its free space"),
        ) from None
    return path


def kept_camera(name: str) -> LearnedCamera:
    """Return the camera kept under a name.

    Raises
    ------
    UnknownName
        If there is none; it names those that are kept.
    UnreadableInput
        If its file cannot be read, or holds something else.
    TenterError
        If no camera can have that name.
    """
    path = camera_path(name)
    if not path.is_file():
        raise UnknownName(_("camera"), name, kept_names(), _("there is none yet; see tenter camera learn"))
    try:
        content = path.read_bytes()
    except OSError as problem:
        raise UnreadableInput(
            str(path), _("the file cannot be opened ({reason})", reason=problem.strerror), _("Check whose it is")
        ) from None
    camera = camera_in(content, str(path))
    if camera.name != name:
        raise UnreadableInput(str(path), _("it holds the camera {name}", name=as_typed(camera.name)), _(_REMEDY))
    return camera


def kept_names() -> tuple[str, ...]:
    """Return the names of the cameras that are kept, without reading them."""
    return tuple(sorted(path.stem for path in _folder().glob("*.json"))) if _folder().is_dir() else ()


def kept_cameras() -> tuple[Kept[str, LearnedCamera], ...]:
    """Return every camera that is kept, by its name."""
    return tuple(looked_into(name, _folder() / f"{name}.json", kept_camera) for name in kept_names())


def forget_camera(name: str) -> Path:
    """Delete what was learned of a camera, whatever its file holds; return where it was.

    Raises `UnknownName` if there is none of that name, `TenterError` if none can have it, and `UnreadableInput` where
    the file cannot be deleted.
    """
    path = camera_path(name)
    if not path.is_file():
        raise UnknownName(_("camera"), name, kept_names(), _("none is kept"))
    try:
        path.unlink()
    except OSError as problem:
        raise UnreadableInput(
            str(path), _("the file cannot be deleted ({reason})", reason=problem.strerror), _("Check whose it is")
        ) from None
    return path


def _prior_json(prior: TonePrior) -> dict[str, Any]:
    return {"mean": [round(value, 5) for value in prior.mean], "sd": [round(value, 5) for value in prior.sd]}


def camera_in(content: bytes, source: str) -> LearnedCamera:
    """Return the camera in a file's bytes; `source` is what errors call the file. Raises `UnreadableInput`."""
    try:
        return camera_of(json.loads(content.decode("utf-8")), source)
    except (ValueError, RecursionError):
        raise UnreadableInput(source, _("this is not a file of a learned camera"), _(_REMEDY)) from None


def camera_of(content: Any, source: str) -> LearnedCamera:
    """Return a camera from what `camera_json` made of it; `source` is what errors call it. Raises `UnreadableInput`."""
    if not isinstance(content, dict) or content.get("format") != _FORMAT:
        raise UnreadableInput(
            source, _("this is not a file of a learned camera ({format})", format=as_typed(_FORMAT)), _(_REMEDY)
        )
    try:
        return LearnedCamera(
            str(content["name"]),
            date.fromisoformat(content["learned_on"]),
            int(content["photographs"]),
            _prior(content["tone"]),
            _prior(content["tone_alone"]),
        )
    except UnreadableInput:
        raise
    except (KeyError, TypeError, ValueError, OverflowError, TenterError) as problem:
        raise UnreadableInput(
            source, _("a value is missing or is none ({problem})", problem=problem), _(_REMEDY)
        ) from None


def _prior(content: Any) -> TonePrior:
    return TonePrior(tuple(float(value) for value in content["mean"]), tuple(float(value) for value in content["sd"]))


def _folder() -> Path:
    return folder_of("cameras")
