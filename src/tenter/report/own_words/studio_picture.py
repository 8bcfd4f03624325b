"""A studio's logo or signature as its papers print it: read as carefully as a photograph, on white, and small."""

from pathlib import Path

import cv2
import numpy as np

from tenter.arrays import AnyArray
from tenter.errors import TenterError, UnreadableInput
from tenter.language import N_, _
from tenter.photo.decoders.decoded import MIN_SIDE
from tenter.photo.decoders.on_white import UNPACK_ON_WHITE
from tenter.photo.decoders.signature import FileKind, kind_of
from tenter.photo.files.apart import unpack_apart
from tenter.report.own_words.studio_words import Logo

MOST_BYTES = 5_000_000  # of the file that comes in
LONGEST_SIDE = 1000  # pixels: 300 to the inch on a logo as wide as a hand
_LARGEST_PNG = 600_000  # bytes; beyond it a photograph stands in the logo, and a JPEG of it does as well
_JPEG_QUALITY = 92  # of 100
_REMEDY = N_("Send a PNG or a JPEG of {side} pixels a side or more, {most} MB at most")
_DRAWN = (b"<svg", b"<?xml", b"<!doctype svg")


def read_studio_picture(path: Path) -> Logo:
    """Return the picture of a file, as `studio_picture` does.

    Raises `UnreadableInput` where it is no file, cannot be opened, or is no picture that can be printed.
    """
    if path.exists() and not path.is_file():
        raise UnreadableInput(str(path), _("this is a folder or a device, not a file"), _remedy())
    try:
        with path.open("rb") as file:
            return studio_picture(file.read(MOST_BYTES + 1), path.name)
    except OSError as error:
        problem = _("the file cannot be opened ({error})", error=error.strerror)
        raise UnreadableInput(str(path), problem, _("Check the path")) from None


def _remedy() -> str:
    return _(_REMEDY, side=MIN_SIDE, most=MOST_BYTES // 1_000_000)


def studio_picture(content: bytes, name: str = "the picture") -> Logo:
    """Return a PNG or JPEG as it is printed: upright, in sRGB, on white, and nothing else of the file.

    Raises
    ------
    TenterError
        If it cannot be written down again.
    UnreadableInput
        If it is a drawing (SVG), another kind of file, too large, or broken; `name` is used in the message.
    """
    if len(content) > MOST_BYTES:
        raise UnreadableInput(name, _("the file has more than {most} MB", most=MOST_BYTES // 1_000_000), _remedy())
    if content[:1000].lstrip(b"\xef\xbb\xbf \t\r\n").lower().startswith(_DRAWN):
        raise UnreadableInput(
            name,
            _("this is a drawing (SVG), which may carry scripts and fetch other files, so it is not taken"),
            _("Export it as a PNG, 1000 pixels wide"),
        )
    try:
        kind = kind_of(content, name)
        if kind not in (FileKind.PNG, FileKind.JPEG):
            raise UnreadableInput(name, _("this is a {kind} file", kind=kind), _remedy())
        found = unpack_apart(content, name, kind, LONGEST_SIDE, by=UNPACK_ON_WHITE)
    except UnreadableInput as error:
        raise UnreadableInput(name, error.problem, _remedy()) from None
    values: AnyArray = found.values if found.values.dtype == np.uint8 else (found.values // 257).astype(np.uint8)
    return Logo(_written(values), (values.shape[1], values.shape[0]))


def _written(values: AnyArray) -> bytes:
    """Return a picture's bytes, the same for the same picture."""
    turned = cv2.cvtColor(np.ascontiguousarray(values), cv2.COLOR_RGB2BGR)
    for ending, options in ((".png", ()), (".jpg", (cv2.IMWRITE_JPEG_QUALITY, _JPEG_QUALITY))):
        done, content = cv2.imencode(ending, turned, options)
        if not done:
            raise TenterError(_("the picture could not be written down; export it as a PNG and try again"))
        if len(content) <= _LARGEST_PNG:
            break
    return bytes(np.asarray(content).tobytes())
