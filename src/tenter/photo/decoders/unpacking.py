"""From a file's bytes to an upright picture in sRGB; runs in a process of its own (`apart.py`).

A picture without a profile is taken as sRGB. One that is larger than is of use is reduced by the mean of each area.
"""

from collections.abc import Callable
from functools import partial

import cv2
import numpy as np

from tenter.arrays import AnyArray
from tenter.errors import UnreadableInput
from tenter.language import N_, _
from tenter.photo.decoders.decoded import Decoded, Space, Unpacked, eight_bits, refusing
from tenter.photo.decoders.heif import decode_heif
from tenter.photo.decoders.profiles import MatrixProfile, UnusableProfile, to_srgb
from tenter.photo.decoders.raster import decode_jpeg, decode_png, decode_tiff
from tenter.photo.decoders.raw import decode_raw
from tenter.photo.decoders.signature import FileKind
from tenter.photo.decoders.webp import decode_webp

DECODERS: dict[FileKind, Callable[[bytes, str], Decoded]] = {
    FileKind.JPEG: decode_jpeg,
    FileKind.PNG: decode_png,
    FileKind.WEBP: decode_webp,
    FileKind.TIFF: decode_tiff,
    FileKind.HEIC: decode_heif,
    FileKind.DNG: decode_raw,
}
_BROKEN_PROFILE = N_(
    "The colour profile in the file cannot be used, so the picture was read as sRGB; its colours may be off by more "
    "than the intervals say."
)
_TABLE_PROFILE = N_("The file's colour profile is made of tables, which were applied in 8 bits.")


def unpack(content: bytes, name: str, kind: str, longest: int) -> Unpacked:
    """Return the picture in a file of a kind, with at most `longest` pixels a side.

    Raises
    ------
    UnreadableInput
        If it cannot be read, is cut short, or is too large or too small.
    """
    decode = DECODERS[FileKind(kind)]
    if decode is decode_jpeg:
        decode = partial(decode_jpeg, longest=longest)
    with refusing(name):
        return _finished(decode(content, name), longest, name)


def _finished(decoded: Decoded, longest: int, name: str) -> Unpacked:
    reduced = _reduced(decoded.values, decoded.full_size, longest)
    coded, notes = _in_srgb(reduced, decoded, name)
    upright = np.ascontiguousarray(_upright(coded, decoded.orientation))
    reduction = max(1.0, max(decoded.full_size) / max(upright.shape[:2]))
    said = decoded.notes + notes
    return Unpacked(upright, reduction, said, decoded.jpeg_step, decoded.orientation, decoded.focal_35mm)


def _reduced(values: AnyArray, full_size: tuple[int, int], longest: int) -> AnyArray:
    """Return the picture with at most `longest` pixels a side, each the mean of what it covers."""
    reduction = max(full_size) / longest
    if reduction <= 1 or max(values.shape[:2]) <= longest:
        return values
    size = (max(1, round(full_size[0] / reduction)), max(1, round(full_size[1] / reduction)))
    smaller: AnyArray = cv2.resize(np.ascontiguousarray(values), size, interpolation=cv2.INTER_AREA)
    return smaller


def _in_srgb(values: AnyArray, decoded: Decoded, name: str) -> tuple[AnyArray, tuple[str, ...]]:
    """Return sRGB (height, width, 3) and what there is to say about the way there."""
    plain = np.repeat(values[..., None], 3, axis=2) if values.ndim == 2 else values
    profile = decoded.profile
    if isinstance(profile, MatrixProfile):
        words = plain if plain.dtype == np.uint16 else plain.astype(np.uint16) * 257
        seen = profile.apply(words)
        return (seen if plain.dtype == np.uint16 else eight_bits(seen)), ()
    if profile:
        try:
            seen = to_srgb(values, decoded.space, profile)
        except UnusableProfile:
            pass
        else:
            return seen, () if seen.dtype == values.dtype else (_(_TABLE_PROFILE),)
    if decoded.space is Space.CMYK:
        raise UnreadableInput(
            name, _("the picture is in CMYK, and no usable profile says what its inks look like"), _("Export it as RGB")
        )
    return plain, (_(_BROKEN_PROFILE),) if profile else ()


def _upright(values: AnyArray, orientation: int) -> AnyArray:
    """Return the picture as the camera was held (EXIF 2.32, tag 274)."""
    if orientation >= 5:
        values = values.swapaxes(0, 1)
    if orientation in {3, 4, 7, 8}:
        values = values[::-1]
    return values[:, ::-1] if orientation in {2, 3, 6, 7} else values
