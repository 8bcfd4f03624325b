"""What may be kept of a photograph: the picture alone. Place, time, camera and owner go with the file it came in.

A JPEG keeps its picture's bytes, so that it measures as it came; any other kind becomes a PNG of what is measured, of
16 bits where it held more than 8.
"""

import io

import cv2
import numpy as np
from PIL import Image, ImageOps

from tenter.arrays import AnyArray
from tenter.errors import TenterError
from tenter.photo.loading import Photo, photo_from_bytes
from tenter.photo.plain_jpeg import plain_jpeg

_THUMBNAIL = 480  # pixels along its longer side
_JPEG, _ORIENTATION = b"\xff\xd8", 0x0112


def kept_picture(upload: bytes) -> tuple[bytes, tuple[str, ...]]:
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
