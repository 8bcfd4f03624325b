"""What a file gives of a colour, made into Lab or a reflectance: the same rules for every format.

Percent or parts of one is told by the rows of a file, as no cloth sends back more than twice the light that falls on it
and hardly a cloth is darker than 2 % throughout. Most rows decide, so that one slip does not darken a whole file.
"""

from collections.abc import Iterable, Sequence

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.illuminants import white_point
from tenter.colorimetry.measurement import Conditions
from tenter.colorimetry.reflectance import resample
from tenter.colorimetry.spaces import Lab, lch_to_lab, xyz_to_lab
from tenter.consultation.readings.cloth_reading import MOST_REFLECTANCE, GivenAs, plausible_lab
from tenter.errors import TenterError
from tenter.given import given_number
from tenter.language import _, as_written

OF_PERCENT = 0.01  # what percent are multiplied by
SEEN_NM = (400.0, 700.0)  # what a spectrum has to cover; beyond it is held flat
_WIDEST_STEP_NM = 20.0  # CIE 15:2018 allows tables of 20 nm at the most
_OF_XYZ = 3  # numbers of a row
_LARGEST = 1e6  # more than any number here, so that what is infinite is refused


def scale_of(values: Iterable[float]) -> float:
    """Return what the XYZ or reflectances of a file are to be multiplied by.

    values: 1 is the brightest they come to, and the answer then 1; they are percent where they go far beyond, and it is
    0.01.
    """
    return OF_PERCENT if max(values, default=0.0) > MOST_REFLECTANCE else 1.0


def shared_scale(rows: Sequence[Sequence[float]]) -> float:
    """Return what the XYZ or reflectances of a whole file are to be multiplied by, as `scale_of` does, row by row.

    A row is percent where two of its numbers, or one of three, are beyond what parts of one come to. The file is
    percent where at least half of its rows are.
    """
    percent = sum(scale_of(sorted(row)[:-1] if len(row) > _OF_XYZ else row) == OF_PERCENT for row in rows)
    return OF_PERCENT if percent and 2 * percent >= len(rows) else 1.0


def lab_given(space: GivenAs, values: Sequence[float], conditions: Conditions, scale: float = 1.0) -> Lab:
    """Return CIELAB of three numbers that are Lab, LCh or XYZ.

    values: L*, a*, b*, or L*, C*, h in degrees, or XYZ. scale: the factor of XYZ, as `scale_of` has it.

    Raises
    ------
    TenterError
        If a number is no cloth's: below 0 where nothing can be, a hue angle outside 0 to 360, a Lab value beyond dyes.
    """
    first, second, third = values
    if space is GivenAs.LCH:
        given_number(second, "C*", 0, _LARGEST)
        given_number(third, _("the hue angle h"), 0, 360)
        return plausible_lab(tuple(lch_to_lab((first, second, third))))
    if space is GivenAs.XYZ:
        xyz = [given_number(v, name, 0, _LARGEST) * scale for v, name in zip(values, "XYZ", strict=True)]
        lab = xyz_to_lab(xyz, white_point(conditions.illuminant, conditions.observer))
        return plausible_lab(tuple(np.maximum(lab, (0.0, -_LARGEST, -_LARGEST))))  # a black of -1e-15 is black
    return plausible_lab((first, second, third))


def reflectance_words(nm: float) -> str:
    """Return what a reflectance at a wavelength in nm is called where one is refused."""
    return _("the reflectance at {nm} nm", nm=as_written(f"{nm:g}"))


def check_wavelengths(wavelengths_nm: Sequence[float]) -> None:
    """Raise `TenterError` unless a spectrum's wavelengths rise, cover 400 to 700 nm and leave no wide gap."""
    nm = np.asarray(wavelengths_nm, dtype=float)
    if nm.size < 2 or nm.min() > SEEN_NM[0] or nm.max() < SEEN_NM[1]:
        least, most = (as_written(f"{end:g}") for end in SEEN_NM)
        if not nm.size:
            raise TenterError(
                _("the spectrum covers nothing; it has to cover {least} to {most} nm", least=least, most=most)
            )
        raise TenterError(
            _(
                "the spectrum covers {first} to {last} nm; it has to cover {least} to {most} nm",
                first=as_written(f"{nm.min():g}"),
                last=as_written(f"{nm.max():g}"),
                least=least,
                most=most,
            )
        )
    steps = np.diff(nm)
    if np.any(steps <= 0):
        raise TenterError(
            _("the wavelengths do not rise after {nm} nm", nm=as_written(f"{nm[int(np.argmax(steps <= 0))]:g}"))
        )
    inside = (nm[1:] > SEEN_NM[0]) & (nm[:-1] < SEEN_NM[1])
    if np.any(steps[inside] > _WIDEST_STEP_NM):
        raise TenterError(
            _(
                "the spectrum has steps of {steps} nm; at most {most} nm will do",
                steps=as_written(f"{steps[inside].max():g}"),
                most=as_written(f"{_WIDEST_STEP_NM:g}"),
            )
        )


def reflectance_given(values: Sequence[float], wavelengths_nm: Sequence[float], scale: float) -> tuple[float, ...]:
    """Return a reflectance (81,) on `WAVELENGTHS_NM` of one that a file gives.

    values: reflectance by `wavelengths_nm`, to be multiplied by the factor `scale`, which `scale_of` has.

    Raises
    ------
    TenterError
        If the wavelengths will not do (`check_wavelengths`), or a reflectance is below 0 or beyond any cloth's.
    """
    check_wavelengths(wavelengths_nm)
    if len(values) != len(wavelengths_nm):
        raise TenterError(
            _("{count} values came for {expected} wavelengths", count=len(values), expected=len(wavelengths_nm))
        )
    scaled: FloatArray = np.asarray(values, dtype=float) * scale
    for value, nm in zip(scaled, wavelengths_nm, strict=True):
        given_number(value, reflectance_words(nm), 0, MOST_REFLECTANCE)
    return tuple(resample(scaled, wavelengths_nm).tolist())
