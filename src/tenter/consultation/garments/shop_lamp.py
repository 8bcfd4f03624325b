"""A garment under the shop's lamp: how its colour looks there, and whether it would be judged as in daylight.

Only where the garment's spectrum was measured and the lamp's is stored: two garments of one colour in daylight may part
under another lamp (metamerism), so that a colour alone says nothing. The eye is taken as adapted to the lamp (CAT16).
"""

from dataclasses import dataclass

import numpy as np

from tenter.arrays import steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.illuminants import illuminant_names, illuminant_power
from tenter.colorimetry.lights.adapted_look import adapted_lab
from tenter.colorimetry.measurement import D65_10
from tenter.colorimetry.spaces import Lab
from tenter.consultation.axes import Axis
from tenter.consultation.colours.colours import PersonalPalette
from tenter.consultation.garments.garment import Garment, GarmentColour, KnownBy
from tenter.consultation.garments.measured_role import measured_role
from tenter.consultation.garments.role import GarmentAnswer
from tenter.consultation.personal.suitability import Known

# What a shop has overhead, by a plain name: from memory, common practice, no source.
LAMPS = {"bulb": "A", "tube": "FL2", "shop tube": "FL11", "led": "LED-B3", "warm led": "LED-B1", "cold led": "LED-B5"}


@dataclass(frozen=True, slots=True)
class UnderLamp:
    """How a garment looks under a lamp, beside how it looks in daylight.

    lamp: as it was asked for. illuminant: whose spectrum was used; empty where none is stored. lab: the look under the
    lamp, as a colour under D65/10° that looks the same; None where nothing can be said. delta_e: the ΔE00 between the
    two. moves: by how much the lamp moves it on each axis, in bench units. role: where it would seem to be worn.
    """

    lamp: str
    illuminant: str = ""
    lab: Lab | None = None
    delta_e: float | None = None
    moves: dict[Axis, float] | None = None
    role: GarmentAnswer | None = None


def under_lamp(palette: PersonalPalette, known: Known, garment: Garment, lamp: str) -> UnderLamp:
    """Return how a garment's largest colour looks under a lamp.

    Nothing but the lamp where its spectrum is not stored or the garment's reflectance was not measured.
    """
    illuminant = stored_lamp(lamp)
    colour = garment.colours[0]
    if not illuminant or colour.reflectance is None:
        return UnderLamp(lamp, illuminant)
    seen = adapted_lab(colour.reflectance, illuminant_power(illuminant), D65_10.observer)
    L, a, b = (float(v) for v in steady(seen))
    here = _exact(colour.lab)
    there = _exact((L, a, b))
    by_day, by_lamp = (measured_role(palette, known, [c]) for c in (here, there))
    step = by_lamp.places[0] - by_day.places[0]
    return UnderLamp(
        lamp,
        illuminant,
        (L, a, b),
        float(delta_e_2000(np.array(colour.lab), seen)),
        {axis: float(step[axis.column]) for axis in Axis},
        by_lamp.role,
    )


def stored_lamp(lamp: str) -> str:
    """Return the illuminant that a lamp's name stands for, or "" where no spectrum of it is stored."""
    wanted = " ".join(lamp.lower().split())
    by_name = {name.lower(): name for name in illuminant_names()}
    fluorescent = by_name.get(f"fl{wanted[1:]}", "") if wanted[:1] == "f" else ""  # F11 is FL11
    return by_name.get(wanted) or LAMPS.get(wanted) or fluorescent


def _exact(lab: Lab) -> GarmentColour:
    return GarmentColour((max(lab[0], 0.0), *lab[1:]), (0.0, 0.0, 0.0), 1.0, KnownBy.SPECTRUM)
