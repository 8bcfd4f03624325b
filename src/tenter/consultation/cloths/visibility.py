"""How much a pair of cloths can show: the light each throws on the chin, predicted from its colour.

A dark pair sends so little light to the face that its undertone can hardly be seen, so that "nothing seen" on it says
almost nothing. Depth and clarity work by contrast and are not concerned.
"""

from functools import lru_cache

import numpy as np

from tenter.arrays import FloatArray, IntArray, steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_10
from tenter.colorimetry.reflectance import recover_nearest_reflectance, reflectance_to_lab, under_reflected_light
from tenter.colorimetry.typology import mean_skin_reflectance
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.cloths.reflection_factors import CHIN

# The effect (ΔE00 at the chin) from which an undertone pair counts as fully visible, and the least visibility. The
# scale is ours: a matched pair at L* 75 reaches it, one at L* 25 has about a sixth of it.
_FULL_EFFECT = 0.2
_LEAST_VISIBILITY = 0.25


@lru_cache(maxsize=4)
def cloth_reflectances(kit: Kit) -> FloatArray:
    """Return a reflectance of each cloth, recovered from its colour, shape (n, 81)."""
    cloths = recover_nearest_reflectance(kit.bench_colours.lab, D65_10.illuminant, D65_10.observer)
    cloths.setflags(write=False)
    return cloths


def chin_colours(kit: Kit) -> FloatArray:
    """Return the predicted Lab (n, 3) under D65/10° of a mean chin above each cloth.

    Our own model: the cloth's recovered reflectance, and `CHIN_FACTOR` of its light on mean skin.
    """
    apparent = under_reflected_light(mean_skin_reflectance(), cloth_reflectances(kit), CHIN.value)
    return reflectance_to_lab(apparent, D65_10.illuminant, D65_10.observer)


def visibility(chins: FloatArray, first: IntArray, second: IntArray) -> FloatArray:
    """Return how visible the difference of pairs of cloths is on the chin, 0.25 to 1, shape (p,).

    chins (n, 3): as `chin_colours` gives them. first, second (p,): the rows of each pair's cloths. Our own: 1 from a
    ΔE00 of 0.2 on, below it in proportion.
    """
    effect = steady(delta_e_2000(chins[first], chins[second]))
    return np.clip(effect / _FULL_EFFECT, _LEAST_VISIBILITY, 1.0)
