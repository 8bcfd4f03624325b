"""Read a photograph into upright sRGB. What else the file says (place, time, camera, owner) is never kept.

The file is unpacked in a process of its own (`apart.py`, by `unpacking.py`): in this one its bytes are only looked at.
Of the lens its focal length is kept, by which it is told how a card is turned.
"""

import stat
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tenter.arrays import BoolArray, ByteArray, FloatArray, WordArray
from tenter.errors import UnreadableInput
from tenter.language import _, local_whole
from tenter.photo.decoders.decoded import MAX_BYTES, MAX_WORKING_SIDE, REMEDY, Unpacked, eight_bits
from tenter.photo.decoders.signature import FileKind, kind_of
from tenter.photo.files.apart import unpack_apart

FORMATS = tuple(FileKind)


@dataclass(frozen=True, slots=True)
class Photo:
    """An upright photograph.

    rgb: (height, width, 3), sRGB code values 0-255. fine: the same in 16 bits where the file held more than 8, and then
    what colours are read from. reduction: how many pixels of the upright original one pixel stands for, along each
    side. notes: what a reader of the result should know of the file, in whole sentences. jpeg_step: how coarsely a JPEG
    or a lossy WebP keeps light and dark, the mean step of its table, where 1 is the finest; 0 for other files.
    focal_35mm: the focal length in millimetres that gives the same view on 35 mm film, where the file tells it.

    Raises `UnreadableInput` where the arrays are of another shape or type.
    """

    rgb: ByteArray
    reduction: float = 1.0
    fine: WordArray | None = None
    notes: tuple[str, ...] = ()
    jpeg_step: float = 0.0
    focal_35mm: float | None = None

    def __post_init__(self) -> None:
        if self.rgb.ndim != 3 or self.rgb.shape[2] != 3 or self.rgb.dtype != np.uint8:
            raise UnreadableInput(
                _("picture"),
                _("an array of shape {shape} came, not (height, width, 3)", shape=self.rgb.shape),
                _(REMEDY),
            )
        if self.fine is not None and (self.fine.shape != self.rgb.shape or self.fine.dtype != np.uint16):
            raise UnreadableInput(
                _("picture"),
                _(
                    "16-bit values of shape {shape} came beside {other}",
                    shape=self.fine.shape,
                    other=self.rgb.shape,
                ),
                _(REMEDY),
            )
        self.rgb.setflags(write=False)

    @classmethod
    def of(cls, found: Unpacked) -> "Photo":
        """Return the photograph that was unpacked."""
        if found.values.dtype == np.uint8:
            return cls(found.values, found.reduction, None, found.notes, found.jpeg_step, found.focal_35mm)
        return cls(eight_bits(found.values), found.reduction, found.values, found.notes, focal_35mm=found.focal_35mm)

    def code(self, where: BoolArray | tuple[slice, slice]) -> FloatArray:
        """Return code values, 0-1: (n, 3) of a mask (height, width), or (height, width, 3) of a window of slices."""
        return self.rgb[where] / 255.0 if self.fine is None else self.fine[where] / 65535.0


def load_photo(path: Path) -> Photo:
    """Return the photograph at `path`, upright and in sRGB.

    Raises
    ------
    UnreadableInput
        If there is no such file, it is no picture, is cut short, or is too large or too small.
    TenterError
        If no process can be started to unpack it.
    """
    try:
        found = path.stat()
        if not (stat.S_ISREG(found.st_mode) or stat.S_ISDIR(found.st_mode)):  # a pipe or a device may never end
            raise UnreadableInput(
                path.name, _("this is a pipe or a device, not a file"), _("Save the picture as a file")
            )
        if found.st_size > MAX_BYTES:
            raise _too_long(path.name, found.st_size)
        return photo_from_bytes(path.read_bytes(), path.name)
    except OSError as problem:
        raise UnreadableInput(
            str(path),
            _("the file cannot be opened ({reason})", reason=problem.strerror or problem),
            _("Check the path and the name"),
        ) from None


def photo_from_bytes(content: bytes, name: str) -> Photo:
    """Return the photograph that a file's bytes hold; `name` is only used in messages. Raises as `load_photo`."""
    return Photo.of(unpacked(content, name))


def unpacked(content: bytes, name: str, longest: int = MAX_WORKING_SIDE) -> Unpacked:
    """Return the picture that a file's bytes hold, with at most `longest` pixels a side.

    Raises as `load_photo`, such as `UnreadableInput` for a file that is too long.
    """
    if len(content) > MAX_BYTES:
        raise _too_long(name, len(content))
    return unpack_apart(content, name, kind_of(content, name), longest)


def _too_long(name: str, size: int) -> UnreadableInput:
    return UnreadableInput(
        name,
        _(
            "the file has {size} bytes, more than {most}",
            size=local_whole(size),
            most=local_whole(MAX_BYTES),
        ),
        _("Export a smaller picture"),
    )
