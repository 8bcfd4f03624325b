"""What spectra a book of readings has of the cloths of a kit."""

from collections.abc import Iterable

import numpy as np

from tenter.arrays import FloatArray
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.readings.cloth_reading import ClothReading, Ultraviolet


def measured_spectra(readings: Iterable[ClothReading], kit: Kit) -> dict[str, FloatArray]:
    """Return the reflectance (81,) of each cloth of a kit that was measured: the mean of its last day with a spectrum.

    Readings without ultraviolet count only where there are no others, as for the cloth's colour.
    """
    days: dict[str, list[ClothReading]] = {}
    for one in readings:
        if one.reflectance is not None and one.cloth in kit:
            kept = days.get(one.cloth, [])
            if not kept or one.day > kept[0].day:
                days[one.cloth] = [one]
            elif one.day == kept[0].day:
                kept.append(one)
    found = {}
    for cloth, of_day in days.items():
        with_uv = [one for one in of_day if one.how.uv is not Ultraviolet.WITHOUT] or of_day
        found[cloth] = np.array([one.reflectance for one in with_uv], dtype=float).mean(axis=0)
    return found
