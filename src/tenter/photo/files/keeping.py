"""What may be kept of a photograph: the picture alone. Place, time, camera and owner go with the file it came in.

A JPEG keeps its picture's bytes, so that it measures as it came; any other kind becomes a PNG of what is measured, of
16 bits where it held more than 8.
"""

from collections.abc import Sequence

import cv2
import numpy as np

from tenter.arrays import AnyArray
from tenter.errors import TenterError
from tenter.language import _
from tenter.photo.decoders.decoded import Unpacked
from tenter.photo.files.loading import Photo, unpacked
from tenter.photo.files.plain_jpeg import plain_jpeg

_THUMBNAIL = 480  # pixels along its longer side
_JPEG, _QUALITY = b"\xff\xd8", 80  # first bytes of a JPEG, and the quality of a small picture of it


def kept_picture(upload: bytes) -> tuple[bytes, tuple[str, ...]]:
    """Return the picture in an uploaded file, as a file that says nothing else, and what is to be known of the upload.

    What is kept gives the very same pixels. Raises as `photo_from_bytes`.
    """
    found = unpacked(upload, _("the picture"))
    return _stripped(upload, found) or encoded(Photo.of(found)), found.notes


def _stripped(upload: bytes, found: Unpacked) -> bytes | None:
    """Return a JPEG without its metadata, if it is one and reads as it did before."""
    if not upload.startswith(_JPEG):
        return None
    plain = plain_jpeg(upload, found.orientation)
    if plain is None:
        return None
    try:
        again = unpacked(plain, _("the picture"))
    except TenterError:
        return None
    return plain if np.array_equal(again.values, found.values) else None


def encoded(photo: Photo) -> bytes:
    """Return a photograph as a PNG, of 16 bits where it holds more than 8.

    Raises `TenterError` if it cannot be written.
    """
    return _written(_finest(photo), ".png", ())


def _written(values: AnyArray, ending: str, options: Sequence[int]) -> bytes:
    done, content = cv2.imencode(ending, cv2.cvtColor(np.array(values), cv2.COLOR_RGB2BGR), options)
    if not done:
        raise TenterError(_("the picture could not be written down; export it as a JPEG and try again"))
    return bytes(np.asarray(content).tobytes())


def _finest(photo: Photo) -> AnyArray:
    return photo.rgb if photo.fine is None else photo.fine


def media_type(picture: bytes) -> str:
    """Return what a browser is told that a picture is."""
    return "image/jpeg" if picture.startswith(_JPEG) else "image/png"


def thumbnail(picture: bytes) -> bytes:
    """Return a small JPEG of a picture, 480 pixels along its longer side.

    Raises `TenterError` if it cannot be written, and what `load_photo` raises of a picture.
    """
    small = Photo.of(unpacked(picture, _("the picture"), _THUMBNAIL)).rgb
    return _written(small, ".jpg", (cv2.IMWRITE_JPEG_QUALITY, _QUALITY))
