"""Lights and cameras for the rendered scenes of studies/scenes/rendered, on the program's own wavelengths.

Two cameras are measured (NPL, through colour-science 0.4.7), two are invented phones.
"""

from functools import cache
from typing import Any

import colour
import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.adaptation import Transform, adapt
from tenter.colorimetry.illuminants import WAVELENGTHS_NM, Observer, colour_matching_functions, illuminant_power
from tenter.colorimetry.spaces import XYZ_TO_SRGB
from tenter.photo.patches.reference import classic24

LIGHTS = ("D65", "D50", "A", "FL2", "FL11", "LED-B3", "LED-B5", "LED-RGB1")
CAMERAS = ("nikon", "sigma", "phone-a", "phone-b")
CMFS: FloatArray = colour_matching_functions(Observer.CIE_1931_2)  # (81, 3)
_MEASURED = {"nikon": "Nikon 5100 (NPL)", "sigma": "Sigma SDMerill (NPL)"}


@cache
def light_power(name: str) -> FloatArray:
    """Return the spectral power (81,) of a CIE illuminant, of "DAY5500" or of "BB2900", with Y = 1 for a perfect white.

    The number is the correlated colour temperature of a daylight phase, or the temperature of a black body, in kelvin.
    """
    power = _made(name) if name.startswith(("DAY", "BB")) else illuminant_power(name)
    scaled: FloatArray = power / (power @ CMFS[:, 1])
    return scaled


def _made(name: str) -> FloatArray:
    if name.startswith("DAY"):
        xy = colour.temperature.CCT_to_xy_CIE_D(float(name[3:]) * 1.4388 / 1.438)
        return _on_grid(colour.sd_CIE_illuminant_D_series(xy).wavelengths, colour.sd_CIE_illuminant_D_series(xy).values)
    body = colour.sd_blackbody(float(name[2:]), colour.SpectralShape(380, 780, 5))
    return _on_grid(body.wavelengths, body.values)


def _on_grid(nm: Any, values: Any) -> FloatArray:
    found: FloatArray = np.interp(WAVELENGTHS_NM, nm, values, left=0, right=0)
    return found


@cache
def sensitivities(camera: str) -> FloatArray:
    """Return the spectral sensitivities (81, 3) of a camera, the largest 1.

    "nikon@8nm" is that camera with its curves shifted by 8 nm, "nikon@x1.2" with each a fifth broader about its peak.
    """
    if "@" in camera:
        return _changed(*camera.split("@"))
    rgb = _measured(camera) if camera in _MEASURED else {"phone-a": _phone_a, "phone-b": _phone_b}[camera]()
    scaled: FloatArray = rgb / rgb.max()
    return scaled


def _changed(camera: str, change: str) -> FloatArray:
    curves, nm = sensitivities(camera), WAVELENGTHS_NM
    if change.endswith("nm"):
        shift = float(change.removesuffix("nm"))
        return np.stack([_on_grid(nm + shift, curve) for curve in curves.T], axis=1)
    factor = float(change.removeprefix("x"))
    peaks = nm[curves.argmax(axis=0)]
    return np.stack([_on_grid(p + (nm - p) * factor, c) for p, c in zip(peaks, curves.T, strict=True)], axis=1)


def _measured(camera: str) -> FloatArray:
    curves = colour.MSDS_CAMERA_SENSITIVITIES[_MEASURED[camera]]
    return np.stack([_on_grid(curves.wavelengths, curves.values[:, i]) for i in range(3)], axis=1)


def _bell(centre: float, width: float) -> FloatArray:
    bell: FloatArray = np.exp(-0.5 * ((WAVELENGTHS_NM - centre) / width) ** 2)
    return bell


def _edge(centre: float, width: float) -> FloatArray:
    edge: FloatArray = 1 / (1 + np.exp(-(WAVELENGTHS_NM - centre) / width))
    return edge


def _phone_a() -> FloatArray:
    rgb = np.stack([0.95 * _bell(598, 32) + 0.06 * _bell(440, 30), _bell(533, 38), 0.85 * _bell(462, 27)], axis=1)
    return rgb * ((1 - _edge(676, 6)) * _edge(405, 6))[:, None]


def _phone_b() -> FloatArray:
    red, green = 0.9 * _bell(610, 28) + 0.10 * _bell(520, 30), _bell(540, 44) + 0.05 * _bell(460, 25)
    return np.stack([red, green, 0.95 * _bell(452, 24)], axis=1) * ((1 - _edge(655, 7)) * _edge(410, 7))[:, None]


@cache
def camera_to_srgb(camera: str) -> FloatArray:
    """Return the matrix (3, 3) from white-balanced camera RGB to linear sRGB that a maker would fit.

    Least squares on the 24 patches in daylight of 5500 K, neutrals kept: the rows sum to one.
    """
    patches, curves, day = classic24().reflectances, sensitivities(camera), light_power("DAY5500")
    raw = patches @ (curves * day[:, None]) / (day @ curves)
    xyz = adapt(patches @ (CMFS * day[:, None]), CMFS.T @ day, CMFS.T @ light_power("D65"), Transform.BRADFORD)
    target = xyz @ XYZ_TO_SRGB.T
    free = np.linalg.lstsq(raw[:, :2] - raw[:, 2:], target - raw[:, 2:], rcond=None)[0].T
    return np.column_stack([free, 1 - free.sum(axis=1)])
