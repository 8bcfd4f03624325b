"""Reflectance: to XYZ and Lab, resampled, and recovered from a single Lab value."""

from functools import lru_cache

import numpy as np

from tenter.arrays import ArrayLike, BoolArray, FloatArray, IntArray
from tenter.colorimetry.illuminants import WAVELENGTHS_NM, Observer, weighting_table, white_point
from tenter.colorimetry.spaces import lab_to_xyz, xyz_to_lab
from tenter.errors import TenterError
from tenter.language import _, as_written


class ImpossibleSurface(TenterError):
    """Colours that no surface has; `rows` says which."""

    def __init__(self, lab: FloatArray, rows: IntArray, conditions: str) -> None:
        self.rows = rows
        L, a, b = lab[rows[0]]
        super().__init__(
            _(
                "no surface has L* {lightness}, a* {a}, b* {b} under {conditions}; check the reading, and that the "
                "illuminant and observer are the ones it was taken with",
                lightness=as_written(f"{L:.1f}"),
                a=as_written(f"{a:.1f}"),
                b=as_written(f"{b:.1f}"),
                conditions=conditions,
            )
        )


class WavelengthMismatch(TenterError):
    """A spectrum that is not sampled on the wavelengths it is combined with."""

    def __init__(self, found: int, expected: int) -> None:
        super().__init__(
            f"a reflectance of {found} samples came where {expected} are needed (380-780 nm every 5 nm); "
            "resample it with tenter.colorimetry.reflectance.resample"
        )


def resample(values: ArrayLike, wavelengths_nm: ArrayLike) -> FloatArray:
    """Return spectra (..., n) on `WAVELENGTHS_NM`, shape (..., 81): linear between samples, flat beyond them.

    Raises `WavelengthMismatch` if there are not as many wavelengths, shape (n,), as samples, and `TenterError` if they
    do not rise.
    """
    source = np.asarray(wavelengths_nm, dtype=float)
    spectra = np.asarray(values, dtype=float)
    if spectra.shape[-1] != source.size:
        raise WavelengthMismatch(spectra.shape[-1], source.size)
    if np.any(np.diff(source) <= 0):
        raise TenterError("wavelengths must rise from sample to sample; sort the columns of the spectrum")
    flat = spectra.reshape(-1, source.size)
    resampled = np.array([np.interp(WAVELENGTHS_NM, source, row) for row in flat])
    return resampled.reshape(*spectra.shape[:-1], WAVELENGTHS_NM.size)


def reflectance_to_xyz(reflectance: ArrayLike, illuminant: str, observer: Observer) -> FloatArray:
    """Return the XYZ of a surface seen under a CIE illuminant.

    Parameters
    ----------
    reflectance : array_like, shape (..., 81)
        Reflectance factor on `WAVELENGTHS_NM`, 0 to 1 (above 1 where a brightener fluoresces).

    Returns
    -------
    ndarray, shape (..., 3)
        XYZ, with Y = 1 for a perfect white.

    Raises
    ------
    WavelengthMismatch
        If the reflectance is sampled otherwise.
    UnknownName
        If no illuminant of that name is bundled.

    References
    ----------
    CIE 15:2018, section 7: tristimulus values by summation at 5 nm.
    """
    values = np.asarray(reflectance, dtype=float)
    if values.shape[-1] != WAVELENGTHS_NM.size:
        raise WavelengthMismatch(values.shape[-1], WAVELENGTHS_NM.size)
    return values @ weighting_table(illuminant, observer)


def reflectance_to_lab(reflectance: ArrayLike, illuminant: str, observer: Observer) -> FloatArray:
    """Return the CIELAB, shape (..., 3), of reflectances (..., 81) under a CIE illuminant.

    Raises as `reflectance_to_xyz`. Source: CIE 15:2018, sections 7 and 8.2.
    """
    return xyz_to_lab(reflectance_to_xyz(reflectance, illuminant, observer), white_point(illuminant, observer))


def _smoothest(xyz: FloatArray, weights: FloatArray) -> tuple[FloatArray, BoolArray]:
    """Return the smoothest reflectances (m, 81) with the given XYZ (m, 3), and which of them were found.

    Newton's method on the Lagrangian of sum (z[i+1] - z[i])^2 with reflectance (tanh z + 1) / 2, which keeps every
    value between 0 and 1. S. A. Burns (2020), "Numerical methods for smoothest reflectance reconstruction", Color
    Research and Application 45(1), 8-21: least hyperbolic tangent slope squared.
    """
    m, n = len(xyz), len(weights)
    slope = 4 * np.eye(n) - 2 * np.eye(n, k=1) - 2 * np.eye(n, k=-1)
    slope[0, 0] = slope[-1, -1] = 2
    z, multipliers = np.zeros((m, n)), np.zeros((m, 3))
    done = np.zeros(m, dtype=bool)
    for _step in range(40):
        reflectance = (np.tanh(z) + 1) / 2
        d1 = (1 - np.tanh(z) ** 2) / 2
        d2 = -2 * np.tanh(z) * d1
        along = multipliers @ weights.T
        residual = np.concatenate([z @ slope + d1 * along, reflectance @ weights - xyz], axis=1)
        done = np.abs(residual).max(axis=1) < 1e-10  # even at black less than 1e-6 in L*, a* and b*
        todo = np.flatnonzero(~done)
        if not todo.size:
            break
        hessian = np.zeros((todo.size, n + 3, n + 3))
        hessian[:, :n, :n] = slope
        hessian[:, np.arange(n), np.arange(n)] += d2[todo] * along[todo]
        hessian[:, :n, n:] = d1[todo][:, :, None] * weights
        hessian[:, n:, :n] = hessian[:, :n, n:].transpose(0, 2, 1)
        hessian[:, np.arange(n + 3), np.arange(n + 3)] += 1e-14
        step = np.linalg.solve(hessian, -residual[todo][:, :, None])[:, :, 0]
        limited = step * np.minimum(1.0, 4.0 / np.abs(step[:, :n]).max(axis=1))[:, None]
        z[todo] = np.clip(z[todo] + limited[:, :n], -15, 15)
        multipliers[todo] += limited[:, n:]
    return (np.tanh(z) + 1) / 2, done


def recover_reflectance(lab: ArrayLike, illuminant: str, observer: Observer) -> FloatArray:
    """Return a smooth reflectance (..., 81) that has the given CIELAB (..., 3): a plausible one, not a measurement.

    A colour too light for any surface (a brightened white) is first darkened until a surface can have it, and the
    reflectance scaled back, so that its factor may exceed 1. Beyond black there is no such help.

    Raises
    ------
    ImpossibleSurface
        If a colour has no reflectance even so.
    UnknownName
        If no illuminant of that name is bundled.

    References
    ----------
    S. A. Burns (2020), Color Research and Application 45(1), 8-21; the darkening is ours.
    """
    values = np.asarray(lab, dtype=float)
    flat = values.reshape(-1, 3)
    known = _recovered_once if len(flat) <= _KIT_SIZED else _recovered
    reflectance = known(flat.tobytes(), illuminant, observer)
    return reflectance.reshape(*values.shape[:-1], reflectance.shape[-1]).copy()


def _recovered(lab: bytes, illuminant: str, observer: Observer) -> FloatArray:
    """Return the reflectances (n, 81) of colours (n, 3), given as the bytes of their doubles."""
    values = np.frombuffer(lab).reshape(-1, 3)
    xyz = lab_to_xyz(values, white_point(illuminant, observer))
    weights = weighting_table(illuminant, observer)
    reflectance = np.zeros((len(xyz), len(weights)))
    missing = np.ones(len(xyz), dtype=bool)
    for scale in (1.0, 0.9, 0.7, 0.4):
        found, done = _smoothest(xyz[missing] * scale, weights)
        rows = np.flatnonzero(missing)[done]
        reflectance[rows] = found[done] / scale
        missing[rows] = False
        if not missing.any():
            return reflectance
    raise ImpossibleSurface(values, np.flatnonzero(missing), f"{illuminant}/{observer}°")


# The colours of a kit are asked for again and again, on every page that shows it; a whole kit's take 60 kB.
_KIT_SIZED, _KITS = 256, 32
_recovered_once = lru_cache(maxsize=_KITS)(_recovered)


def recover_nearest_reflectance(lab: ArrayLike, illuminant: str, observer: Observer) -> FloatArray:
    """Return smooth reflectances (n, 81) of colours (n, 3), each drawn toward grey as far as a surface demands.

    For predictions that must answer for any colour on paper; a measured colour goes through `recover_reflectance`. Each
    step takes a tenth of the way to L* 50 without chroma. Raises `TenterError` if 40 of them do not suffice.
    """
    values = np.array(lab, dtype=float)
    for _step in range(40):
        try:
            return recover_reflectance(values, illuminant, observer)
        except ImpossibleSurface as error:
            values[error.rows, 1:] *= 0.9
            values[error.rows, 0] += 0.1 * (50 - values[error.rows, 0])
    raise TenterError(_("no surface is near these colours; check the readings"))


def recoloured(reflectance: ArrayLike, xyz: ArrayLike, illuminant: str, observer: Observer) -> FloatArray:
    """Return the surfaces (n, 81) that have the given XYZ (n, 3) and otherwise differ least from others (n, 81).

    The old reflectance is multiplied by exp(u), where u has the least slope squared, with hardly any weight on its
    size: a change of colour without new bumps, and never below 0. The method is ours.

    Raises
    ------
    ImpossibleSurface
        If a colour cannot be reached so.
    UnknownName
        If no illuminant of that name is bundled.
    """
    weights = weighting_table(illuminant, observer)
    targets = np.asarray(xyz, dtype=float)
    n = len(weights)
    steps = np.diff(np.eye(n), axis=0)
    compliance = np.linalg.inv(steps.T @ steps + 1e-3 * np.eye(n))
    found = np.array(reflectance, dtype=float)
    for row, (start, target) in enumerate(zip(found.copy(), targets, strict=True)):
        change = np.zeros(n)
        for _step in range(30):  # Newton on the constraint, with the least change each time
            found[row] = start * np.exp(change)
            missing = target - found[row] @ weights
            if np.abs(missing).max() < 1e-12:
                break
            by_change = (found[row][:, None] * weights).T
            held = by_change @ compliance @ by_change.T
            change = compliance @ by_change.T @ np.linalg.solve(held, missing + by_change @ change)
    missed = np.abs(found @ weights - targets).max(axis=-1) > 1e-9
    if missed.any():
        lab = xyz_to_lab(targets, white_point(illuminant, observer))
        raise ImpossibleSurface(lab, np.flatnonzero(missed), f"{illuminant}/{observer}°")
    return found


def under_reflected_light(skin: ArrayLike, cloth: ArrayLike, factor: float, sheen: float = 0.0) -> FloatArray:
    """Return the apparent reflectance (..., n) of skin lit directly and by light thrown back from a cloth.

    One bounce: the skin receives E (1 + F ρ_cloth), so it looks like a surface of ρ_skin (1 + F ρ_cloth) under E alone.
    Both reflectances, 0-1, have shape (..., n) and broadcast. `factor` is F, 0 or above: what a white cloth would add
    to the light, as a part of it, which depends on the place on the face and on the room. `sheen` is what glances off
    the skin without taking on its colour, 0 to 1, of the cloth's light alone: that of the direct light is in the skin
    as it is measured.
    """
    thrown = factor * np.asarray(cloth, dtype=float)
    own = np.asarray(skin, dtype=float)
    apparent: FloatArray = own * (1 + thrown) + sheen * thrown
    return apparent
