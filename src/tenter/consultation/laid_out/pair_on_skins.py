"""What a pair of cloths does to light and to dark skin: the predicted difference at the chin and at the jaw.

Three mean skins stand for all: the lightest and the darkest class of the typology angle that was measured, and the one
between them.
"""

from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.colorimetry.difference import delta_e_1976, delta_e_2000
from tenter.colorimetry.measurement import D65_10
from tenter.colorimetry.reflectance import reflectance_to_lab, under_reflected_light
from tenter.colorimetry.typology import ItaClass, skins_by_ita_class
from tenter.consultation.cloths.reflection_factors import default_factors
from tenter.consultation.reflected.effect import LEAST_VISIBLE_LAB

_PLACES = ("chin", "jaw_left")  # in a room that nobody has measured both jaws have one factor
PAIR_SKINS = (ItaClass.VERY_LIGHT, ItaClass.INTERMEDIATE, ItaClass.BROWN)


@dataclass(frozen=True, slots=True)
class PairOnSkin:
    """How far apart one skin is predicted to look above two cloths.

    `chin` and `jaw` are ΔE00 at the default factors, in reflected light alone; `visible` says whether the jaw's
    difference reaches what half of observers could just see between skins side by side.
    """

    skin: ItaClass
    chin: float
    jaw: float
    visible: bool


def faces_above(cloths: FloatArray) -> FloatArray:
    """Return the predicted Lab (D65/10°) of `PAIR_SKINS` at chin and jaw above cloths (n, 81), shape (3, 2, n, 3)."""
    factors, skins = default_factors(), skins_by_ita_class()
    seen = [
        [under_reflected_light(skin, cloths, factors[place].value, factors[place].sheen) for place in _PLACES]
        for skin in (skins[name] for name in PAIR_SKINS)
    ]
    return reflectance_to_lab(np.array(seen), D65_10.illuminant, D65_10.observer)


def pair_on_skins(faces: FloatArray, first: int, second: int) -> tuple[PairOnSkin, ...]:
    """Return what a pair of cloths does to each skin, by `faces_above` (3, 2, n, 3) and the rows of the two cloths."""
    one, other = faces[:, :, first], faces[:, :, second]
    effect = steady(delta_e_2000(one, other))
    visible = steady(delta_e_1976(one, other))[:, 1] >= LEAST_VISIBLE_LAB
    return tuple(
        PairOnSkin(skin, float(effect[i, 0]), float(effect[i, 1]), bool(visible[i]))
        for i, skin in enumerate(PAIR_SKINS)
    )
