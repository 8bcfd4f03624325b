"""What to wear between a garment and the face, and what to wear with it: colours of the client's own palette.

Common practice, no source: between a garment and the face goes one of the best colours, a neutral or a white of the
client's own, in a scarf, a collar or a shirt. It has to be seen beside the garment, so that it is not its colour again.
"""

from collections.abc import Callable, Iterable

import numpy as np

from tenter.arrays import steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import Lab
from tenter.consultation.colours.colours import PaletteColour, Part, PersonalPalette
from tenter.consultation.colours.matching import TOLD_APART


def layer_between(palette: PersonalPalette, lab: Lab) -> tuple[PaletteColour, ...]:
    """Return a white, a neutral and the nearest best colour, to wear between a garment and the face.

    lab (3,): of the garment, CIELAB under D65/10°. Common practice, no source.
    """
    whites, neutrals = palette.of_part(Part.WHITE), palette.of_part(Part.NEUTRAL)
    others = palette.of_part(Part.NEAR_FACE)
    found = (_best(whites, lab, _suited), _best(neutrals, lab, _suited), _best(others, lab, _to(lab)))
    return tuple(c for c in found if c is not None)


def goes_with(palette: PersonalPalette, lab: Lab) -> tuple[PaletteColour, ...]:
    """Return a neutral and a white of the palette to wear with a garment.

    lab (3,): of the garment, CIELAB under D65/10°. Common practice, no source.
    """
    neutrals = palette.of_part(Part.NEUTRAL)
    found = (_best(neutrals, lab, _suited), _best(palette.of_part(Part.WHITE), lab, _suited))
    return tuple(c for c in found if c is not None)


def _best(among: Iterable[PaletteColour], lab: Lab, worth: Callable[[PaletteColour], float]) -> PaletteColour | None:
    apart = [c for c in among if delta_e_2000(np.array(c.lab), np.array(lab)) >= TOLD_APART]
    return max(apart, key=lambda c: (steady(worth(c)), c.name), default=None)


def _suited(colour: PaletteColour) -> float:
    return colour.suitability


def _to(lab: Lab) -> Callable[[PaletteColour], float]:
    def nearness(colour: PaletteColour) -> float:
        return -float(delta_e_2000(np.array(colour.lab), np.array(lab)))

    return nearness
