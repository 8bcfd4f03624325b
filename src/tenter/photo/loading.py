"""Read a photograph into upright sRGB. What else the file says (place, time, camera, owner) is never kept.

A picture without a profile is taken as sRGB. One that is larger than is of use is reduced by the mean of each area.
"""

import stat
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np

from tenter.arrays import AnyArray, BoolArray, ByteArray, FloatArray, WordArray
from tenter.errors import UnreadableInput
from tenter.photo.apart import decode_apart
from tenter.photo.decoded import MAX_BYTES, MAX_WORKING_SIDE, REMEDY, Decoded, Space, refusing
from tenter.photo.heif import decode_heif
from tenter.photo.profiles import MatrixProfile, UnusableProfile, to_srgb
from tenter.photo.raster import decode_jpeg, decode_png, decode_tiff
from tenter.photo.raw import decode_raw
from tenter.photo.signature import FileKind, kind_of

FORMATS = tuple(FileKind)
_DECODERS: dict[FileKind, Callable[[bytes, str], Decoded]] = {
    FileKind.JPEG: decode_jpeg,
    FileKind.PNG: decode_png,
    FileKind.TIFF: decode_tiff,
    FileKind.HEIC: decode_heif,
    FileKind.DNG: decode_raw,
}
_APART = frozenset({FileKind.TIFF, FileKind.HEIC, FileKind.DNG})  # their decoders are large and little tried
_BROKEN_PROFILE = (
    "The colour profile in the file cannot be used, so the picture was read as sRGB; its colours may be off by more "
    "than the intervals say."
)
_TABLE_PROFILE = "The file's colour profile is made of tables, which were applied in 8 bits."


@dataclass(frozen=True, slots=True)
class Photo:
    """An upright photograph.

    rgb: (height, width, 3), sRGB code values 0-255. fine: the same in 16 bits where the file held more than 8, and
    then what colours are read from. reduction: how many pixels of the upright original one pixel stands for, along
    each side. notes: what a reader of the result should know of the file, in whole sentences. jpeg_step: how
    coarsely a JPEG keeps light and dark, the mean step of its table; 0 for other files.
    """

    rgb: ByteArray
    reduction: float = 1.0
    fine: WordArray | None = None
    notes: tuple[str, ...] = ()
    jpeg_step: float = 0.0

    def __post_init__(self) -> None:
        if self.rgb.ndim != 3 or self.rgb.shape[2] != 3 or self.rgb.dtype != np.uint8:
            raise UnreadableInput("picture", f"an array of shape {self.rgb.shape} came, not (height, width, 3)", REMEDY)
        if self.fine is not None and (self.fine.shape != self.rgb.shape or self.fine.dtype != np.uint16):
            raise UnreadableInput(
                "picture", f"16-bit values of shape {self.fine.shape} came beside {self.rgb.shape}", REMEDY
            )
        self.rgb.setflags(write=False)

    def code(self, where: BoolArray | tuple[slice, slice]) -> FloatArray:
        """Return the code values 0-1 of a mask (height, width) or a window of slices: (n, 3) or (h, w, 3)."""
        return self.rgb[where] / 255.0 if self.fine is None else self.fine[where] / 65535.0


def load_photo(path: Path) -> Photo:
    """Return the photograph at `path`, upright and in sRGB.

    Raises
    ------
    UnreadableInput
        If there is no such file, it is no picture, is cut short, or is too large or too small.
    """
    try:
        found = path.stat()
        if not (stat.S_ISREG(found.st_mode) or stat.S_ISDIR(found.st_mode)):  # a pipe or a device may never end
            raise UnreadableInput(path.name, "this is a pipe or a device and no file", "Save the picture as a file")
        if found.st_size > MAX_BYTES:
            raise _too_long(path.name, found.st_size)
        return photo_from_bytes(path.read_bytes(), path.name)
    except OSError as problem:
        raise UnreadableInput(
            str(path), f"the file cannot be opened ({problem.strerror or problem})", "Check the path and the name"
        ) from None


def photo_from_bytes(content: bytes, name: str) -> Photo:
    """Return the photograph that a file's bytes hold; `name` is only used in messages. Raises as `load_photo`."""
    if len(content) > MAX_BYTES:
        raise _too_long(name, len(content))
    kind = kind_of(content, name)
    decode = _DECODERS[kind]
    with refusing(name):
        return _finished(decode_apart(decode, content, name) if kind in _APART else decode(content, name), name)


def _too_long(name: str, size: int) -> UnreadableInput:
    return UnreadableInput(name, f"the file has {size:,} bytes, more than {MAX_BYTES:,}", "Export a smaller picture")


def _finished(decoded: Decoded, name: str) -> Photo:
    reduced = _reduced(decoded.values, decoded.full_size)
    coded, notes = _in_srgb(reduced, decoded, name)
    upright = np.ascontiguousarray(_upright(coded, decoded.orientation))
    reduction = max(1.0, max(decoded.full_size) / max(upright.shape[:2]))
    notes = decoded.notes + notes
    if upright.dtype == np.uint8:
        return Photo(upright, reduction, None, notes, decoded.jpeg_step)
    return Photo(_in_eight_bits(upright), reduction, upright, notes)


def _in_eight_bits(words: WordArray) -> ByteArray:
    return ((words.astype(np.uint32) + 128) // 257).astype(np.uint8)


def _reduced(values: AnyArray, full_size: tuple[int, int]) -> AnyArray:
    """Return the picture with at most MAX_WORKING_SIDE pixels a side, each the mean of what it covers."""
    reduction = max(full_size) / MAX_WORKING_SIDE
    if reduction <= 1 or max(values.shape[:2]) <= MAX_WORKING_SIDE:
        return values
    size = (max(1, round(full_size[0] / reduction)), max(1, round(full_size[1] / reduction)))
    smaller: AnyArray = cv2.resize(np.ascontiguousarray(values), size, interpolation=cv2.INTER_AREA)
    return smaller


def _in_srgb(values: AnyArray, decoded: Decoded, name: str) -> tuple[AnyArray, tuple[str, ...]]:
    """Return sRGB (h, w, 3) and what there is to say about the way there."""
    plain = np.repeat(values[..., None], 3, axis=2) if values.ndim == 2 else values
    profile = decoded.profile
    if isinstance(profile, MatrixProfile):
        words = plain if plain.dtype == np.uint16 else plain.astype(np.uint16) * 257
        seen = profile.apply(words)
        return (seen if plain.dtype == np.uint16 else _in_eight_bits(seen)), ()
    if profile:
        try:
            seen = to_srgb(values, decoded.space, profile)
        except UnusableProfile:
            pass
        else:
            return seen, () if seen.dtype == values.dtype else (_TABLE_PROFILE,)
    if decoded.space is Space.CMYK:
        raise UnreadableInput(
            name, "the picture is in CMYK, and no usable profile says what its inks look like", "Export it as RGB"
        )
    return plain, (_BROKEN_PROFILE,) if profile else ()


def _upright(values: AnyArray, orientation: int) -> AnyArray:
    """Return the picture as the camera was held (EXIF 2.32, tag 274)."""
    if orientation >= 5:
        values = values.swapaxes(0, 1)
    if orientation in {3, 4, 7, 8}:
        values = values[::-1]
    return values[:, ::-1] if orientation in {2, 3, 6, 7} else values
