"""Colour spaces: XYZ, CIELAB, LCh and sRGB, one function per arrow.

Arrays have shape (..., 3). L* runs 0-100, hue angles are in degrees [0, 360), XYZ has Y = 1 for white, and sRGB runs
0-1. Sources: CIE 15:2018 section 8.2 (CIELAB), IEC 61966-2-1:1999 (sRGB).
"""

import numpy as np

from tenter.arrays import ArrayLike, BoolArray, FloatArray

_EPSILON = (6 / 29) ** 3  # where the cube root gives way to the line, CIE 15:2018 eq. 8.6
_KAPPA = (29 / 3) ** 3  # slope of L* near black, CIE 15:2018, 8.2.1

# IEC 61966-2-1 gives this matrix to four digits. Here it is taken from the primaries and white of Rec. BT.709 in full,
# so that white maps to exactly (1, 1, 1); the two agree within half the last printed digit.
_PRIMARIES_XY = np.array([[0.64, 0.33], [0.30, 0.60], [0.15, 0.06]])
_SRGB_WHITE_XY = np.array([0.3127, 0.3290])

Lab = tuple[float, float, float]  # one colour: L*, a*, b*


def _xy_to_xyz(xy: FloatArray) -> FloatArray:
    x, y = xy[..., 0], xy[..., 1]
    return np.stack([x / y, np.ones_like(y), (1 - x - y) / y], axis=-1)


def _rgb_to_xyz_matrix() -> FloatArray:
    primaries = _xy_to_xyz(_PRIMARIES_XY).T
    return primaries * np.linalg.solve(primaries, _xy_to_xyz(_SRGB_WHITE_XY))


SRGB_TO_XYZ: FloatArray = _rgb_to_xyz_matrix()
XYZ_TO_SRGB = np.linalg.inv(SRGB_TO_XYZ)
SRGB_WHITE: FloatArray = _xy_to_xyz(_SRGB_WHITE_XY)
for _table in (_PRIMARIES_XY, _SRGB_WHITE_XY, SRGB_TO_XYZ, XYZ_TO_SRGB, SRGB_WHITE):
    _table.setflags(write=False)


def xyz_to_lab(xyz: ArrayLike, white: ArrayLike) -> FloatArray:
    """Return CIELAB (..., 3) of XYZ (..., 3) seen under a white point (3,) given in the same units."""
    ratio = np.asarray(xyz, dtype=float) / np.asarray(white, dtype=float)
    f = np.where(ratio > _EPSILON, np.cbrt(ratio), (_KAPPA * ratio + 16) / 116)
    x, y, z = f[..., 0], f[..., 1], f[..., 2]
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def lab_to_xyz(lab: ArrayLike, white: ArrayLike) -> FloatArray:
    """Return the XYZ (..., 3) of CIELAB colours (..., 3), in the units of the white point (3,)."""
    values = np.asarray(lab, dtype=float)
    y = (values[..., 0] + 16) / 116
    f = np.stack([y + values[..., 1] / 500, y, y - values[..., 2] / 200], axis=-1)
    ratio = np.where(f > 6 / 29, f**3, (116 * f - 16) / _KAPPA)
    xyz: FloatArray = ratio * np.asarray(white, dtype=float)
    return xyz


def chroma(lab: ArrayLike) -> FloatArray:
    """Return C*ab, shape (...), of CIELAB (..., 3)."""
    values = np.asarray(lab, dtype=float)
    length: FloatArray = np.hypot(values[..., 1], values[..., 2])
    return length


def hue_angle(lab: ArrayLike) -> FloatArray:
    """Return h_ab in degrees, 0 <= h < 360, shape (...), of CIELAB (..., 3); 0 for a grey."""
    values = np.asarray(lab, dtype=float)
    # + 0.0 turns -0.0 into 0.0, whose arctangent would be 180 degrees.
    degrees = np.degrees(np.arctan2(values[..., 2] + 0.0, values[..., 1] + 0.0)) % 360.0
    return np.where(degrees >= 360.0, 0.0, degrees)  # a tiny negative angle rounds up to 360


def lab_to_lch(lab: ArrayLike) -> FloatArray:
    """Return L*, C*ab and h_ab in degrees, shape (..., 3), of CIELAB (..., 3)."""
    values = np.asarray(lab, dtype=float)
    return np.stack([values[..., 0], chroma(values), hue_angle(values)], axis=-1)


def lch_to_lab(lch: ArrayLike) -> FloatArray:
    """Return CIELAB (..., 3) of L*, C*ab and h_ab (..., 3); any number of turns of the hue angle is the same hue."""
    values = np.asarray(lch, dtype=float)
    h = np.radians(values[..., 2] % 360.0)
    return np.stack([values[..., 0], values[..., 1] * np.cos(h), values[..., 1] * np.sin(h)], axis=-1)


def encode_srgb(linear: ArrayLike) -> FloatArray:
    """Return sRGB code values, 0-1, of linear light (...), in its shape; beyond, they keep their sign, unclipped."""
    values = np.asarray(linear, dtype=float)
    size = np.abs(values)
    coded: FloatArray = np.sign(values) * np.where(size <= 0.0031308, 12.92 * size, 1.055 * size ** (1 / 2.4) - 0.055)
    return coded


def decode_srgb(coded: ArrayLike) -> FloatArray:
    """Return linear light, 0-1, of sRGB code values (...), in their shape; beyond, it keeps its sign, unclipped."""
    values = np.asarray(coded, dtype=float)
    size = np.abs(values)
    linear: FloatArray = np.sign(values) * np.where(size <= 0.04045, size / 12.92, ((size + 0.055) / 1.055) ** 2.4)
    return linear


def xyz_to_srgb(xyz: ArrayLike) -> FloatArray:
    """Return sRGB (..., 3) of XYZ (..., 3) under D65, 2 degree observer. Unclipped: outside the gamut it leaves 0-1."""
    return encode_srgb(np.asarray(xyz, dtype=float) @ XYZ_TO_SRGB.T)


def srgb_to_xyz(rgb: ArrayLike) -> FloatArray:
    """Return XYZ (..., 3) under D65, 2 degree observer, Y = 1 for white, of sRGB code values (..., 3), 0-1."""
    return decode_srgb(rgb) @ SRGB_TO_XYZ.T


def lab_to_srgb(lab: ArrayLike) -> FloatArray:
    """Return unclipped sRGB (..., 3) of CIELAB (..., 3) under D65, 2 degree observer."""
    # sRGB's white is D65 rounded to four digits; rescaling makes L* 100 exactly white on the screen.
    return encode_srgb(lab_to_xyz(lab, SRGB_WHITE) @ XYZ_TO_SRGB.T)


def srgb_to_lab(rgb: ArrayLike) -> FloatArray:
    """Return CIELAB (..., 3) under D65, 2 degree observer, of sRGB code values (..., 3), 0-1."""
    return xyz_to_lab(srgb_to_xyz(rgb), SRGB_WHITE)


def in_srgb_gamut(lab: ArrayLike, tolerance: float = 1e-6) -> BoolArray:
    """Tell whether CIELAB colours (..., 3), D65 and 2 degree observer, lie within sRGB, shape (...).

    `tolerance` is how far a code value may leave 0 to 1: by default what arithmetic leaves.
    """
    rgb = lab_to_srgb(lab)
    inside: BoolArray = np.all((rgb >= -tolerance) & (rgb <= 1 + tolerance), axis=-1)
    return inside


def srgb_hex(lab: ArrayLike) -> list[str]:
    """Return '#rrggbb' for each row of CIELAB (n, 3), D65, 2 degree observer; clipped to the gamut."""
    codes = np.round(np.clip(np.atleast_2d(lab_to_srgb(lab)), 0, 1) * 255).astype(int)
    return [f"#{r:02x}{g:02x}{b:02x}" for r, g, b in codes]
