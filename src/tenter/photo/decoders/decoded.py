"""What every decoder hands on, and the limits that are kept before anything is unpacked."""

import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from tenter.arrays import AnyArray, ByteArray, WordArray
from tenter.errors import TenterError, UnreadableInput
from tenter.language import N_, _

if TYPE_CHECKING:
    from tenter.photo.decoders.profiles import MatrixProfile

MAX_BYTES = 200_000_000  # of one file
MAX_PIXELS = 120_000_000  # of one picture
MAX_UNPACKED_BYTES = 200_000_000  # with the decoder's own copies this stays below 1 GB
MAX_WORKING_SIDE = 2400  # more pixels than this do not make a region's mean colour any better
MIN_SIDE = 64  # pixels: a face needs more
MAX_STRETCH = 20  # a longer strip is no photograph, and the card finder searches one of 50 to 1 without end

REMEDY = N_("Give a JPEG, PNG, WebP, TIFF, HEIC or DNG as it came from the camera")


class Space(StrEnum):
    """What the numbers of a decoded picture are; the value is the name an ICC profile has for it."""

    GREY = "GRAY"
    RGB = "RGB "
    CMYK = "CMYK"


@dataclass(frozen=True, slots=True)
class Decoded:
    """A picture as a decoder left it.

    values: (height, width) greys or (height, width, k) with three or four channels, 8 or 16 bits. profile: the ICC
    profile's bytes, or a profile built from what else the file says about its colours. orientation: EXIF's, 1 when the
    pixels are upright already. full_size: (width, height) before the decoder reduced anything. jpeg_step: mean step of
    a JPEG's luminance table, or of a lossy WebP's segments, where 1 is the finest; 0 for other files. focal_35mm:
    EXIF's focal length in 35 mm film, in millimetres, where there is one.
    """

    values: AnyArray
    space: Space
    full_size: tuple[int, int]
    profile: "bytes | MatrixProfile | None" = None
    orientation: int = 1
    notes: tuple[str, ...] = ()
    jpeg_step: float = 0.0
    focal_35mm: float | None = None


@dataclass(frozen=True, slots=True)
class Unpacked:
    """A picture as it is worked with: upright, in sRGB, and no larger than is of use.

    values: (height, width, 3), 8 or 16 bits. reduction, notes and jpeg_step: as a `Photo` has them, the first in
    pixels, the last as in `Decoded`. orientation: what EXIF said of it, and has been followed. focal_35mm: in
    millimetres, as in `Decoded`.
    """

    values: AnyArray
    reduction: float = 1.0
    notes: tuple[str, ...] = ()
    jpeg_step: float = 0.0
    orientation: int = 1
    focal_35mm: float | None = None


def require_sane_size(width: int, height: int, bytes_per_pixel: int, name: str) -> None:
    """Refuse a picture by what its header says, before memory is spent on it.

    Raises `UnreadableInput` for too many pixels or bytes, for fewer than `MIN_SIDE` along a side, and for a long strip.
    """
    if width * height > MAX_PIXELS:
        raise too_many_pixels(name, _("{width} × {height} pixels", width=width, height=height))
    require_room(width, height, bytes_per_pixel, name)
    if min(width, height) < MIN_SIDE:
        raise UnreadableInput(
            name,
            _("the picture has only {width} × {height} pixels", width=width, height=height),
            _("Give the photograph itself, not its thumbnail"),
        )
    if max(width, height) > MAX_STRETCH * min(width, height):
        raise UnreadableInput(
            name,
            _("the picture is a strip of {width} × {height} pixels", width=width, height=height),
            _("Give the photograph as it was taken"),
        )


def require_room(width: int, height: int, bytes_per_pixel: int, name: str) -> None:
    """Refuse to unpack more bytes than are ever unpacked; raises `UnreadableInput`."""
    if width * height * bytes_per_pixel > MAX_UNPACKED_BYTES:
        raise UnreadableInput(
            name,
            _(
                "the picture has {width} × {height} pixels of {bytes_per_pixel} bytes, and at most {most} "
                "million bytes are unpacked",
                width=width,
                height=height,
                bytes_per_pixel=bytes_per_pixel,
                most=MAX_UNPACKED_BYTES // 1_000_000,
            ),
            _("Export it smaller or with 8 bits; 12 million pixels are plenty"),
        )


def too_many_pixels(name: str, size: str) -> UnreadableInput:
    """Return the refusal of a picture with more pixels than are read; `size` says how many came."""
    return UnreadableInput(
        name,
        _("the picture has {size}, and at most {most} million are read", size=size, most=MAX_PIXELS // 1_000_000),
        _("Export it smaller; 12 million pixels are plenty"),
    )


@contextmanager
def refusing(name: str) -> Iterator[None]:
    """Turn whatever a decoder raises over a broken file into a plain refusal, an `UnreadableInput`.

    A `TenterError` passes as it is.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # odd metadata is no reason to refuse a picture that decodes
            yield
    except TenterError:
        raise
    except Image.DecompressionBombError:
        raise too_many_pixels(name, _("hundreds of millions of pixels")) from None
    except MemoryError:
        raise UnreadableInput(
            name, _("unpacking it takes more memory than a picture needs"), _("Export it smaller, as a JPEG")
        ) from None
    except Exception as problem:  # the decoders raise whatever a broken file makes them raise
        raise unreadable_file(name, problem) from None


def unreadable_file(name: str, problem: Exception) -> UnreadableInput:
    """Return what is said of a file whose decoder gave up; its own words may quote the file and are left out."""
    return cut_short(name, _("this is not a picture that can be read to its end ({kind})", kind=type(problem).__name__))


def cut_short(name: str, problem: str) -> UnreadableInput:
    """Return the refusal of a file that seems to have lost a part of itself on its way."""
    return UnreadableInput(
        name,
        problem,
        _("{remedy}; if it was sent to you, ask for it again, as the file may be cut short", remedy=_(REMEDY)),
    )


def eight_bits(words: WordArray) -> ByteArray:
    """Return 16-bit code values (...) in 8 bits, rounded, in their shape."""
    return ((words.astype(np.uint32) + 128) // 257).astype(np.uint8)


def without_alpha(values: AnyArray) -> tuple[AnyArray, tuple[str, ...]]:
    """Return the colours of a picture with alpha as its last channel, and a note when something is see-through.

    Of (height, width, 4) they are (height, width, 3); of a grey with alpha, (height, width, 2), they are
    (height, width).
    """
    alpha = values[..., -1]
    colours = values[..., :-1]
    if colours.shape[2] == 1:
        colours = colours[..., 0]
    if alpha.min() == np.iinfo(values.dtype).max:
        return colours, ()
    return colours, (_("Parts of the picture are transparent; the colours stored beneath were read."),)
