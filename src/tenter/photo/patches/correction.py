"""What turns a photograph's code values into colours under D65, whatever it was learned from: a card, a grey, nothing.

    XYZ = terms(tone(code)) @ weights

Two maps are kept: one for dyes and other things, one for skin, where a card tells enough to know them apart.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tenter.arrays import ArrayLike, FloatArray
from tenter.colorimetry.illuminants import white_point
from tenter.colorimetry.measurement import D65_2
from tenter.colorimetry.spaces import SRGB_TO_XYZ, decode_srgb, encode_srgb, xyz_to_lab
from tenter.measured.basis import CalibrationBasis

LIGHTEST = 100.0  # L* of a perfect white: no surface in the light on the card reads lighter
_DARKEST = 1e-4  # luminance below which a colour's ratios are noise
D65_WHITE: FloatArray = white_point(D65_2.illuminant, D65_2.observer)


@dataclass(frozen=True, slots=True)
class ToneCurve:
    """How the camera's code values leave sRGB: coded' = coded + coded (1 − coded) (contrast (1 − 2 coded) + lift).

    contrast and lift: without unit; 0 is sRGB, and code values run from 0 to 1. by_luminance: which part of the curve
    works on luminance, so that colours keep their ratios, and not on each channel by itself.
    """

    contrast: float
    lift: float
    by_luminance: float = 0.0

    def linear(self, coded: ArrayLike) -> FloatArray:
        """Return linear light of code values 0-1 (...), in their shape; 0 and 1 stay where they are.

        Red, green and blue are the last axis where a part works on luminance.
        """
        return linear_light(coded, self.contrast, self.lift, self.by_luminance or None)


def linear_light(
    coded: ArrayLike, contrast: ArrayLike, lift: ArrayLike, by_luminance: ArrayLike | None = None
) -> FloatArray:
    """Return linear light (...) of code values 0-1 (...) by one tone curve or several: all that comes is broadcast.

    by_luminance: None where all of the curve works on each channel by itself. The equation is that of `ToneCurve`,
    ours.
    """
    c = np.asarray(coded, dtype=float)
    by_channel = decode_srgb(c + c * (1 - c) * (np.asarray(contrast) * (1 - 2 * c) + lift))
    if by_luminance is None:
        return by_channel
    as_written = decode_srgb(c)
    luminance = np.maximum(as_written @ SRGB_TO_XYZ[1], _DARKEST)[..., None]
    ratios_kept = as_written * linear_light(encode_srgb(luminance), contrast, lift) / luminance
    mixed: FloatArray = by_channel + np.asarray(by_luminance) * (ratios_kept - by_channel)
    return mixed


SRGB_TONE = ToneCurve(0.0, 0.0)  # contrast and lift of 0: sRGB itself


class Terms(StrEnum):
    """What is made of linear camera RGB before the weights.

    Root polynomials (G. D. Finlayson, M. Mackiewicz, A. Hurlbert 2015, IEEE Trans. Image Process. 24(5), 1460-1470)
    scale with exposure as the linear terms do.
    """

    LINEAR = "3×3"
    ROOT_POLYNOMIAL = "root polynomial, degree 2"

    def of(self, linear: FloatArray) -> FloatArray:
        """Return the terms (..., k) of linear RGB (..., 3): three linear ones, or six with the roots of products."""
        if self is Terms.LINEAR:
            return linear
        roots = np.sqrt(np.maximum(linear * np.roll(linear, -1, axis=-1), 0))  # √rg, √gb, √br
        return np.concatenate([linear, roots], axis=-1)


@dataclass(frozen=True, slots=True)
class ColourMap:
    """Linear camera RGB (..., 3) to XYZ under D65, 2°, Y = 1 for white; `weights` is (3, 3) or (6, 3)."""

    terms: Terms
    weights: FloatArray

    def xyz(self, linear: FloatArray) -> FloatArray:
        """Return XYZ (..., 3), D65/2°, of linear camera RGB (..., 3)."""
        found: FloatArray = self.terms.of(linear) @ self.weights
        return found


@dataclass(frozen=True, slots=True)
class Correction:
    """A camera as far as it is known: its tone curve, its map for dyes and for skin, and what the maps rest on.

    error: mean ΔE00 of the card's patches, each left out of the fit in turn; for a grey or a white, what such a neutral
    leaves on the whole; 0 without either. lost: part of the card's patches, `patches` of them, with a channel that the
    camera cut off at black. doubt: 90 % half-widths in L*, a*, b* that the card itself adds: how well its own values
    are known. uneven: the logarithm of light on the most lit patch over that on the least, where it was read.
    light_doubt: a step of light on the card, as a logarithm, that cannot be ruled out. poor_light: how likely the lamp
    is one by which cameras read skin less well, 0 to 1. jpeg_step: of the file, where 1 is the finest, as in `Photo`.
    otherwise: what would be as likely, where a veil of light lies on the card, or may; veil_taken_off: whether this
    correction is without it.
    """

    basis: CalibrationBasis
    tone: ToneCurve
    for_dyes: ColourMap
    for_skin: ColourMap
    error: float
    lost: float = 0.0
    doubt: tuple[float, float, float] = (0.0, 0.0, 0.0)
    uneven: float = 0.0
    light_doubt: float = 0.0
    poor_light: float = 0.0
    jpeg_step: float = 0.0
    otherwise: "Correction | None" = None
    veil_taken_off: bool = False
    patches: int = 0

    def lab(self, code: FloatArray, skin: bool) -> FloatArray:
        """Return Lab (3,), D65/2°, of the mean light of pixels (n, 3), code values 0-1."""
        linear = self.tone.linear(code).mean(axis=0)
        return xyz_to_lab((self.for_skin if skin else self.for_dyes).xyz(linear), D65_WHITE)

    def metamerism(self, code: FloatArray) -> FloatArray:
        """Return how far (3,) the two maps disagree in Lab about the mean light of pixels (n, 3)."""
        return np.abs(self.lab(code, skin=True) - self.lab(code, skin=False))

    def otherwise_by(self, code: FloatArray, skin: bool) -> FloatArray:
        """Return how far (3,) in Lab the mean light of pixels (n, 3) would be read otherwise; 0 without a veil."""
        if self.otherwise is None:
            return np.zeros(3)
        return np.abs(self.otherwise.lab(code, skin) - self.lab(code, skin))


_AS_WRITTEN = ColourMap(Terms.LINEAR, SRGB_TO_XYZ.T)
# The file's own colours, without a card.
TRUE_SRGB = Correction(CalibrationBasis.RELATIVE, SRGB_TONE, _AS_WRITTEN, _AS_WRITTEN, 0.0)
