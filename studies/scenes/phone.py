"""What a phone does to its own linear picture before it writes the file."""

from dataclasses import dataclass

import cv2
import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.spaces import SRGB_TO_XYZ, decode_srgb, encode_srgb

_DARKEST = 1e-3
_EDGE = 0.15  # variance of the logarithm of light from which a change is an edge and is kept
_LUMA = np.array([0.299, 0.587, 0.114])  # of JPEG, ITU-R BT.601


@dataclass(frozen=True)
class Phone:
    """How one photograph was rendered.

    warmth: logarithm by which red is raised and blue lowered, beyond the white balance; green: the same for green. What
    was white stays white, as phones see to it.
    local: how much of the large steps of light is taken out.
    saturation: 1 leaves it.
    gamma: power of the code; below 1 it lifts the middle tones.
    contrast: of an S-curve.
    shoulder: how much of the highlights is rolled off.
    toe: code that becomes black.
    by_luminance: how much of this curve works on luminance, colours keeping their ratios, and not on each channel.
    sharpening: amount of an unsharp mask on lightness, `sharp_px` wide.
    chroma_px: blur of the colours.
    """

    warmth: float = 0.0
    green: float = 0.0
    local: float = 0.0
    saturation: float = 1.0
    gamma: float = 1.0
    contrast: float = 0.0
    shoulder: float = 0.0
    toe: float = 0.0
    by_luminance: float = 0.0
    sharpening: float = 0.0
    sharp_px: float = 1.0
    chroma_px: float = 0.0

    def rendered(self, linear: FloatArray) -> FloatArray:
        """Return the picture (height, width, 3) whose sRGB code is what the phone writes."""
        gains = np.exp([self.warmth, self.green, -self.warmth])
        balanced = np.minimum(linear * (gains / gains.min()), 1)
        mapped = tone_mapped_locally(balanced, self.local) if self.local else balanced
        luminance = (mapped @ SRGB_TO_XYZ[1])[..., None]
        coloured = np.clip(luminance + self.saturation * (mapped - luminance), 0, 1)
        return decode_srgb(np.clip(self._detailed(self._curved(coloured)), 0, 1))

    def _curved(self, linear: FloatArray) -> FloatArray:
        """Return code values of linear light through the tone curve."""
        by_channel = self.toned(encode_srgb(linear))
        luminance = np.maximum(linear @ SRGB_TO_XYZ[1], _DARKEST)
        ratio = decode_srgb(self.toned(encode_srgb(luminance))) / luminance
        kept = encode_srgb(np.clip(linear * ratio[..., None], 0, 1))
        curved: FloatArray = by_channel + self.by_luminance * (kept - by_channel)
        return curved

    def toned(self, code: FloatArray) -> FloatArray:
        """Return code values 0-1 after the tone curve, the same for every place and channel; 0 and 1 stay."""
        rolled = code * (1 + self.shoulder) / (1 + self.shoulder * code)
        lifted = np.maximum(rolled - self.toe, 0) / (1 - self.toe)
        powered = lifted**self.gamma
        toned: FloatArray = powered + self.contrast * (powered**2 * (3 - 2 * powered) - powered)
        return toned

    def _detailed(self, coded: FloatArray) -> FloatArray:
        luma = (coded @ _LUMA)[..., None]
        colour = coded - luma
        if self.chroma_px:
            colour = np.asarray(cv2.GaussianBlur(colour, (0, 0), self.chroma_px))
        if self.sharpening:
            soft = np.asarray(cv2.GaussianBlur(luma, (0, 0), self.sharp_px))[..., None]
            luma = luma + self.sharpening * (luma - soft)
        detailed: FloatArray = luma + colour
        return detailed


def tone_mapped_locally(linear: FloatArray, strength: float, radius: float = 0.08) -> FloatArray:
    """Return linear sRGB (height, width, 3) whose large steps of light are made smaller by a part, `strength`.

    The light of a neighbourhood (`radius`, a part of the longer side) is told by a guided filter of its logarithm
    (K. He, J. Sun, X. Tang 2013, IEEE Trans. Pattern Anal. Mach. Intell. 35(6), 1397-1409; from memory), which keeps
    edges. The mean of the picture's logarithm stays where it is.
    """
    log_light = np.log(np.maximum(linear @ SRGB_TO_XYZ[1], _DARKEST))
    base = _guided(log_light, max(1, round(radius * max(log_light.shape))))
    mapped: FloatArray = linear * np.exp(-strength * (base - base.mean()))[..., None]
    return mapped


def _guided(values: FloatArray, radius: int) -> FloatArray:
    def mean(of: FloatArray) -> FloatArray:
        return np.asarray(cv2.blur(of, (2 * radius + 1,) * 2, borderType=cv2.BORDER_REFLECT))

    middle = mean(values)
    variance = np.maximum(mean(values**2) - middle**2, 0)
    kept = variance / (variance + _EDGE)
    filtered: FloatArray = mean(kept) * values + mean((1 - kept) * middle)
    return filtered
