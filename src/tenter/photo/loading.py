"""Read a photograph into upright sRGB. What else the file says (place, time, camera) is never kept.

Sources: EXIF 2.32 (orientation), ICC.1 profiles through LittleCMS. A picture without a profile is taken as sRGB.
"""

import io
import warnings
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image, ImageCms, ImageOps

from tenter.arrays import BoolArray, ByteArray, FloatArray, WordArray
from tenter.errors import UnreadableInput

FORMATS = ("JPEG", "PNG", "TIFF")
MAX_BYTES = 200_000_000
MAX_PIXELS = 120_000_000
MAX_WORKING_SIDE = 2400  # more pixels than this do not make a region's mean colour any better
MIN_SIDE = 64

_REMEDY = "Give a JPEG, PNG or TIFF as it came from the camera"


@dataclass(frozen=True, slots=True)
class Photo:
    """An upright photograph.

    rgb: (height, width, 3), sRGB code values 0-255. fine: the same in 16 bits where the file held more than 8, and
    then what colours are read from. reduction: how many pixels of the upright original one pixel stands for, along
    each side.
    """

    rgb: ByteArray
    reduction: float = 1.0
    fine: WordArray | None = None

    def __post_init__(self) -> None:
        if self.rgb.ndim != 3 or self.rgb.shape[2] != 3 or self.rgb.dtype != np.uint8:
            raise UnreadableInput(
                "picture", f"an array of shape {self.rgb.shape} came, not (height, width, 3)", _REMEDY
            )
        if self.fine is not None and (self.fine.shape != self.rgb.shape or self.fine.dtype != np.uint16):
            raise UnreadableInput(
                "picture", f"16-bit values of shape {self.fine.shape} came beside {self.rgb.shape}", _REMEDY
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
        size = path.stat().st_size
        if size > MAX_BYTES:
            raise UnreadableInput(
                path.name, f"the file has {size:,} bytes, more than {MAX_BYTES:,}", "Export a smaller picture"
            )
        return photo_from_bytes(path.read_bytes(), path.name)
    except OSError as problem:
        raise UnreadableInput(
            str(path), f"the file cannot be opened ({problem.strerror or problem})", "Check the path and the name"
        ) from None


def photo_from_bytes(content: bytes, name: str) -> Photo:
    """Return the photograph that a file's bytes hold; `name` is only used in messages. Raises as `load_photo`."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # odd metadata is no reason to refuse a picture that decodes
        picture = _decoded(content, name)
    reduction = max(1.0, max(picture.size) / MAX_WORKING_SIDE)
    if reduction > 1:
        smaller = (round(picture.width / reduction), round(picture.height / reduction))
        picture = picture.resize(smaller, Image.Resampling.BOX)
    return Photo(np.array(picture), reduction)


def _decoded(content: bytes, name: str) -> Image.Image:
    try:
        with Image.open(io.BytesIO(content), formats=FORMATS) as picture:
            _require_sane_size(picture, name)
            picture.load()
            profile = picture.info.get("icc_profile")
            upright = ImageOps.exif_transpose(picture)
            return _in_srgb(upright, profile)
    except UnreadableInput:
        raise
    except Image.DecompressionBombError:
        raise _too_large(name, "hundreds of millions of pixels") from None
    except Exception as problem:  # the decoders raise whatever a broken file makes them raise
        raise UnreadableInput(
            name,
            f"this is not a picture that can be read to its end ({type(problem).__name__})",
            f"{_REMEDY}; if it was sent to you, ask for it again, as the file may be cut short",
        ) from None


def _require_sane_size(picture: Image.Image, name: str) -> None:
    width, height = picture.size
    if width * height > MAX_PIXELS:
        raise _too_large(name, f"{width} × {height} pixels")
    if min(width, height) < MIN_SIDE:
        raise UnreadableInput(
            name, f"the picture has only {width} × {height} pixels", "Give the photograph itself, not its thumbnail"
        )


def _too_large(name: str, size: str) -> UnreadableInput:
    return UnreadableInput(
        name,
        f"the picture has {size}, and at most {MAX_PIXELS // 1_000_000} million are read",
        "Export it smaller; 12 million pixels are plenty",
    )


def _in_srgb(picture: Image.Image, profile: bytes | None) -> Image.Image:
    """Return an 8-bit RGB picture; a profile that cannot be used is read as sRGB."""
    if picture.mode.startswith(("I", "F")):
        picture = _eight_bit_grey(picture)
    if picture.mode in {"P", "PA", "LA", "RGBA", "L", "1"}:
        picture = picture.convert("RGB")
    if profile:
        try:
            source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            converted = ImageCms.profileToProfile(
                picture, source, ImageCms.createProfile("sRGB"), ImageCms.Intent.RELATIVE_COLORIMETRIC, outputMode="RGB"
            )
            if converted is not None:
                return converted
        except (ImageCms.PyCMSError, OSError):
            pass
    return picture.convert("RGB")


def _eight_bit_grey(picture: Image.Image) -> Image.Image:
    """Return 16-bit or float greys as 8-bit; Pillow's own conversion would cut them off at 255."""
    values = np.asarray(picture, dtype=float)
    full = 255.0 if values.max(initial=0) <= 255 else 65535.0
    return Image.fromarray(np.clip(values / full * 255 + 0.5, 0, 255).astype(np.uint8))
