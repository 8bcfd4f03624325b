"""The pictures' files: sealed, named by nothing that anybody knows, and never the file that was uploaded.

What is kept is the picture alone; place, time and camera go with the upload. A JPEG keeps its picture's bytes, so that
it measures as it came; any other kind becomes a PNG of what is measured, of 16 bits where it held more than 8.
"""

import io
import os
import re
import time
from pathlib import Path

import cv2
import numpy as np
from PIL import Image, ImageOps

from tenter.arrays import AnyArray
from tenter.errors import TenterError
from tenter.photo.loading import Photo, photo_from_bytes
from tenter.web import vault
from tenter.web.data_dir import data_dir
from tenter.web.plain_jpeg import plain_jpeg

LARGEST_UPLOAD = 100_000_000  # bytes: a raw file of a large sensor
_FOLDER, _PRIVATE_FOLDER, _PRIVATE_FILE = "photographs", 0o700, 0o600
_YOUNG_SECONDS = 600  # a file without a row may be about to have one
_THUMBNAIL = 480  # pixels along its longer side
_NAME = re.compile("[0-9a-f]{32}")
_JPEG, _ORIENTATION = b"\xff\xd8", 0x0112


class Missing(TenterError):
    """There is no file."""

    def __init__(self) -> None:
        super().__init__("the photograph’s file is not in the data folder; erase it here and take another")


# -- what is kept of an upload -----------------------------------------------------------------------------------------


def picture_of(upload: bytes) -> tuple[bytes, tuple[str, ...]]:
    """Return the picture in an uploaded file, as a file that says nothing else, and what is to be known of the upload.

    What is kept gives the very same pixels. Raises as `photo_from_bytes`.
    """
    photo = photo_from_bytes(upload, "the picture")
    return _stripped(upload, photo) or encoded(photo), photo.notes


def _stripped(upload: bytes, photo: Photo) -> bytes | None:
    """Return a JPEG without its metadata, if it is one and reads as it did before."""
    if not upload.startswith(_JPEG):
        return None
    with Image.open(io.BytesIO(upload)) as opened:
        plain = plain_jpeg(upload, int(opened.getexif().get(_ORIENTATION) or 1))
    if plain is None:
        return None
    try:
        again = photo_from_bytes(plain, "the picture")
    except TenterError:
        return None
    return plain if np.array_equal(again.rgb, photo.rgb) else None


def encoded(photo: Photo) -> bytes:
    """Return a photograph as a PNG, of 16 bits where it holds more than 8."""
    done, content = cv2.imencode(".png", cv2.cvtColor(np.array(_finest(photo)), cv2.COLOR_RGB2BGR))
    if not done:
        raise TenterError("the picture could not be written down; export it as a JPEG and try again")
    return bytes(np.asarray(content).tobytes())


def _finest(photo: Photo) -> AnyArray:
    return photo.rgb if photo.fine is None else photo.fine


def media_type(picture: bytes) -> str:
    """Return what a browser is told that a picture is."""
    return "image/jpeg" if picture.startswith(_JPEG) else "image/png"


def thumbnail(picture: bytes) -> bytes:
    """Return a small JPEG of a picture."""
    with Image.open(io.BytesIO(picture)) as full:
        if full.mode == "RGB":
            full.draft("RGB", (_THUMBNAIL, _THUMBNAIL))
            small = ImageOps.exif_transpose(full)
        else:
            small = Image.fromarray(np.array(photo_from_bytes(picture, "the picture").rgb))
    small.thumbnail((_THUMBNAIL, _THUMBNAIL))
    buffer = io.BytesIO()
    small.convert("RGB").save(buffer, "JPEG", quality=80)
    return buffer.getvalue()


# -- the files ---------------------------------------------------------------------------------------------------------


def folder() -> Path:
    """Return where the sealed pictures lie, made if need be."""
    found = data_dir() / _FOLDER
    found.mkdir(exist_ok=True)
    found.chmod(_PRIVATE_FOLDER)
    return found


def is_name(name: str) -> bool:
    """Whether a word may name a file here, as those do that rows are made with."""
    return _NAME.fullmatch(name) is not None


def keep(name: str, picture: bytes) -> None:
    """Seal a picture and keep it under a record's name; raises `Locked` where there is no key."""
    put(name, vault.seal(picture, _record(name)))


def shown(name: str) -> bytes:
    """Return a record's picture, in memory alone; raises `Missing`, `Tampered` or `Locked`."""
    return vault.unseal(sealed(name), _record(name))


def sealed(name: str) -> bytes:
    """Return a record's file as it lies there; raises `Missing`."""
    try:
        return (folder() / name).read_bytes()
    except FileNotFoundError:
        raise Missing from None


def put(name: str, content: bytes) -> None:
    """Write a file that is sealed already, whole or not at all; one that is there stays as it is."""
    place = folder() / name
    half = place.with_name(f"{name}.half")
    with os.fdopen(os.open(half, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, _PRIVATE_FILE), "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    half.replace(place)


def remove(name: str) -> None:
    """Remove a record's file."""
    (folder() / name).unlink(missing_ok=True)


def forget_strays(known: set[str]) -> int:
    """Remove the files that belong to no record, unless they have only just come; return how many."""
    latest = time.time() - _YOUNG_SECONDS
    strays = [path for path in folder().iterdir() if path.name not in known and path.stat().st_mtime < latest]
    for path in strays:
        path.unlink(missing_ok=True)
    return len(strays)


def _record(name: str) -> str:
    return f"{name} picture"
