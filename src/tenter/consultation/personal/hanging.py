"""The order of a palette: as a shop hangs colours, and never by how each is known."""

from collections.abc import Sequence

import numpy as np

from tenter.arrays import steady
from tenter.colorimetry.spaces import lab_to_lch
from tenter.consultation.colours.colours import PaletteColour, Part
from tenter.consultation.conventions.palette_quotas import AccentGroup

_RAILS = (
    AccentGroup.REDS_AND_PINKS,
    AccentGroup.YELLOWS_AND_ORANGES,
    AccentGroup.GREENS,
    AccentGroup.TEALS,
    AccentGroup.BLUES,
    AccentGroup.PURPLES,
)


def as_hung(colours: Sequence[PaletteColour]) -> tuple[PaletteColour, ...]:
    """Return colours as a shop hangs them: whites, neutrals, then hue by hue, each light to dark."""
    return tuple(sorted(colours, key=_hanging))


def rail(colour: PaletteColour) -> int:
    """Return the rail that a colour hangs on: 0 whites, 1 neutrals, then hue by hue."""
    if colour.part is Part.WHITE:
        return 0
    if colour.part is Part.NEUTRAL:
        return 1
    places = (at for at, group in enumerate(_RAILS) if colour.hue_family in group.families)
    return 2 + next(places, len(_RAILS))


def _hanging(colour: PaletteColour) -> tuple[int, float, float, str]:
    L, _, h = lab_to_lch(np.array(colour.lab))
    return rail(colour), -steady(float(L)), steady(float(h)), colour.name
