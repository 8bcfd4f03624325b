"""From the colours an embedded profile speaks of to sRGB, in 8 bits through LittleCMS and in 16 by the arithmetic.

Source: ICC.1:2022, sections 7 (header and tag table), 10.6 curveType, 10.18 parametricCurveType, F.3 (matrix and
curves). LittleCMS as Pillow offers it has no 16-bit RGB, so a profile of a matrix and curves is worked out here; one
made of tables is used in 8 bits.
"""

import io
import struct
from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageCms

from tenter.arrays import AnyArray, ByteArray, Float32Array, FloatArray, WordArray
from tenter.colorimetry.spaces import XYZ_TO_SRGB, encode_srgb

# Columns of sRGB adapted to D50 by the Bradford transform, IEC 61966-2-1 in ICC's own characterisation (2015).
_SRGB_D50 = np.array([[0.43607, 0.38515, 0.14307], [0.22249, 0.71687, 0.06061], [0.01392, 0.09708, 0.71410]])
_WORDS = np.arange(65536) / 65535
_P3_XY = np.array([[0.680, 0.320], [0.265, 0.690], [0.150, 0.060]])  # SMPTE EG 432-1, white D65
_BT2020_XY = np.array([[0.708, 0.292], [0.170, 0.797], [0.131, 0.046]])  # ITU-R BT.2020
_D65_XY = np.array([0.3127, 0.3290])


class UnusableProfile(ValueError):
    """A profile that is broken, or that is not one for this kind of picture."""


@dataclass(frozen=True, slots=True)
class MatrixProfile:
    """Curves (k, 65536), from code to linear light, and the matrix (3, 3) from there to linear sRGB."""

    curves: Float32Array
    to_srgb: Float32Array

    def apply(self, words: WordArray) -> WordArray:
        """Return 16-bit sRGB (height, width, 3) of 16-bit codes in that shape, or (height, width) of a grey."""
        planes = [words] * 3 if words.ndim == 2 else [words[..., k] for k in range(3)]
        linear = np.stack([self.curves[k % len(self.curves)][plane] for k, plane in enumerate(planes)], axis=-1)
        seen = np.clip(linear @ self.to_srgb.T, 0, 1)
        coded: WordArray = _ENCODED[np.rint(np.sqrt(seen) * 65535).astype(np.uint16)]
        return coded


# sRGB codes of squares of even steps: fine enough in the dark, where even steps of light would not be.
_ENCODED: WordArray = np.rint(encode_srgb(_WORDS**2) * 65535).astype(np.uint16)


def of_primaries(number: int) -> MatrixProfile | None:
    """Return the profile of a picture that names its primaries by number (ITU-T H.273, table 2), with sRGB's curve."""
    primaries = {9: _BT2020_XY, 12: _P3_XY}.get(number)
    if primaries is None:
        return None  # BT.709 has the primaries of sRGB; anything else is read as if it were
    columns = np.stack([_xyz(xy) for xy in primaries], axis=1)
    to_xyz = columns * np.linalg.solve(columns, _xyz(_D65_XY))
    curve = np.where(_WORDS <= 0.04045, _WORDS / 12.92, ((_WORDS + 0.055) / 1.055) ** 2.4)
    return MatrixProfile(curve[None].astype(np.float32), (XYZ_TO_SRGB @ to_xyz).astype(np.float32))


def _xyz(xy: FloatArray) -> FloatArray:
    return np.array([xy[0] / xy[1], 1.0, (1 - xy.sum()) / xy[1]])


def space_of(profile: bytes) -> str:
    """Return the four letters for the colour space that a profile describes.

    Raises `UnusableProfile` for what is no profile.
    """
    if len(profile) < 132 or profile[36:40] != b"acsp":
        raise UnusableProfile
    return profile[16:20].decode("latin-1")


def in_eight_bits(values: ByteArray, space: str, profile: bytes) -> ByteArray:
    """Return 8-bit sRGB (height, width, 3) of a picture of `space` through its profile, relative colorimetric.

    The picture is (height, width) or (height, width, k), of 8 bits. Raises `UnusableProfile` where the profile is of
    another space, or LittleCMS cannot use it.
    """
    if space == "GRAY" and space_of(profile) == "RGB ":
        values, space = np.repeat(values[..., None], 3, axis=2), "RGB "
    if space_of(profile) != space:
        raise UnusableProfile
    try:
        picture = Image.fromarray(np.ascontiguousarray(values), {"GRAY": "L", "RGB ": "RGB", "CMYK": "CMYK"}[space])
        converted = ImageCms.profileToProfile(
            picture,
            ImageCms.ImageCmsProfile(io.BytesIO(profile)),
            ImageCms.createProfile("sRGB"),
            ImageCms.Intent.RELATIVE_COLORIMETRIC,
            outputMode="RGB",
        )
    except (ImageCms.PyCMSError, OSError, ValueError):
        raise UnusableProfile from None
    if converted is None:
        raise UnusableProfile
    return np.array(converted)


def matrix_profile(profile: bytes) -> MatrixProfile | None:
    """Return the matrix and curves of a profile, or None when it is made of tables.

    Raises
    ------
    UnusableProfile
        If it breaks off, or a part that it must have is missing.
    """
    grey = space_of(profile) == "GRAY"
    try:
        tags = tags_of(profile)
        if b"A2B0" in tags:
            return None
        names = (b"kTRC",) if grey else (b"rTRC", b"gTRC", b"bTRC")
        curves = np.stack([curve_table(tags[name]) for name in names]).astype(np.float32)
        if grey:
            return MatrixProfile(curves, np.eye(3, dtype=np.float32))
        columns = [struct.unpack(">3i", tags[name][8:20]) for name in (b"rXYZ", b"gXYZ", b"bXYZ")]
    except (KeyError, struct.error, IndexError, ValueError):
        raise UnusableProfile from None
    to_xyz = np.array(columns, dtype=float).T / 65536
    return MatrixProfile(curves, np.linalg.solve(_SRGB_D50, to_xyz).astype(np.float32))


def tags_of(profile: bytes) -> dict[bytes, bytes]:
    """Return the tags of a profile by their four letters, at most a hundred. Source: ICC.1:2022, section 7.3."""
    (count,) = struct.unpack(">I", profile[128:132])
    entries = [struct.unpack(">4sII", profile[132 + 12 * k : 144 + 12 * k]) for k in range(min(count, 100))]
    return {name: profile[start : start + size] for name, start, size in entries}


def curve_table(tag: bytes) -> FloatArray:
    """Return the linear light (65536,), 0-1, of every 16-bit code by a tag of type curv or para.

    Raises `UnusableProfile` where it is of another type or ends early. What reading a broken one raises besides,
    `matrix_profile` turns into the same. Source: ICC.1:2022, 10.6 and 10.18.
    """
    if tag[:4] == b"curv":
        (count,) = struct.unpack(">I", tag[8:12])
        if count == 0:
            return _WORDS
        table = np.frombuffer(tag[12 : 12 + 2 * count], dtype=">u2").astype(float)
        if len(table) != count:
            raise UnusableProfile
        return _WORDS ** (table[0] / 256) if count == 1 else np.interp(_WORDS, np.linspace(0, 1, count), table / 65535)
    if tag[:4] != b"para":
        raise UnusableProfile
    (kind,) = struct.unpack(">H", tag[8:10])
    needed = {0: 1, 1: 3, 2: 4, 3: 5, 4: 7}[kind]
    given = np.array(struct.unpack(f">{needed}i", tag[12 : 12 + 4 * needed])) / 65536
    return np.clip(np.nan_to_num(_parametric(kind, given)), 0, 1)


def _parametric(kind: int, given: FloatArray) -> FloatArray:
    """Return a parametric curve (65536,), ICC.1:2022 table 68; its five kinds are one formula with parts left out."""
    g, a, b, c, d, e, f = np.pad(given, (0, 7 - len(given))).tolist()
    if kind == 0:
        a = 1.0
    if kind in {1, 2}:
        c, d, e, f = 0.0, (-b / a if a else 0.0), c, c  # the constant stands third there, and holds on both sides
    curve: FloatArray = np.where(d <= _WORDS, np.maximum(a * _WORDS + b, 0) ** g + e, c * _WORDS + f)
    return curve


def to_srgb(values: AnyArray, space: str, profile: bytes) -> AnyArray:
    """Return sRGB (height, width, 3) in as many bits as the profile can be used in.

    The picture is (height, width) or (height, width, k); its 16 bits stay 16 unless the profile is made of tables.
    Raises `UnusableProfile` where the profile is of another space, or cannot be used.
    """
    if values.dtype == np.uint8:
        return in_eight_bits(values, space, profile)
    matrix = matrix_profile(profile)
    if matrix is None:
        return in_eight_bits((values // 257).astype(np.uint8), space, profile)
    if space_of(profile) != space and not (space == "GRAY" and space_of(profile) == "RGB "):
        raise UnusableProfile
    return matrix.apply(values)
