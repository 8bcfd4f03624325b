"""A photograph of a client's thing measured, in the background, as cloths are; its file goes then unless it is kept.

One that was refused stays until its day, the next, so that the garment can be marked on it.
"""

from collections.abc import Mapping
from typing import Any

import numpy as np

from tenter.consultation.garments.garment import Garment, from_photo
from tenter.web.models import ThingPhotograph
from tenter.web.pictures import cloth_measuring, pictures
from tenter.web.pictures.cloth_measuring import ClothResult


def measure_thing(pk: int, turn: int) -> None:
    """Measure a photograph of a thing: try number `turn`."""
    cloth_measuring.measure_cloths(pk, turn, ThingPhotograph)
    row = ThingPhotograph.objects.filter(pk=pk).first()
    if row is not None and not row.has_picture:
        pictures.remove_picture(row.name)


def garment_of(result: ClothResult) -> Garment | None:
    """Return the garment that was read; None where the photograph was refused."""
    cloth, palette = result.document["cloth"], result.document["palette"]
    if cloth is not None:
        lab, half = _read(cloth)
        unlike = cloth.get("unlike", 0.0)  # what was measured by an older version has none
        return from_photo(lab, half, for_kit=cloth["converted"]["lab"], unlike=unlike)
    if palette:
        colours = [_read(colour) for colour in palette]
        return from_photo(
            [lab for lab, _ in colours], [half for _, half in colours], [colour["area"] for colour in palette]
        )
    return None


def _read(colour: Mapping[str, Any]) -> tuple[list[float], list[float]]:
    """Return a colour and the half-widths of its interval, as they were kept."""
    low, high = np.array(colour["lab_interval_90"], dtype=float).T
    return [float(v) for v in colour["lab"]], [float(v) for v in (high - low) / 2]
