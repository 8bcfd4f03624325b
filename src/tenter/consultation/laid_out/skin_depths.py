"""What a pair of cloths does to light, middle and dark skin: the predicted difference at the chin and at the jaw.

The three skins are means of ten forearms each of 100 (NIST): the lightest, those about the median, the darkest.
"""

from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib.resources import files

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.colorimetry.difference import delta_e_1976, delta_e_2000
from tenter.colorimetry.measurement import D65_10
from tenter.colorimetry.reflectance import reflectance_to_lab, under_reflected_light
from tenter.consultation.cloths.reflection_factors import default_factors
from tenter.consultation.reflected.effect import LEAST_VISIBLE_LAB

_PLACES = ("chin", "jaw_left")  # in a room that nobody has measured both jaws have one factor
_DATA = "nist_skin_by_depth_380-780nm_5nm.csv"


class SkinDepth(StrEnum):
    """How light a skin is: light, middle or dark."""

    LIGHT = "light"
    MIDDLE = "middle"
    DARK = "dark"


@dataclass(frozen=True, slots=True)
class PairOnSkin:
    """How far apart one skin is predicted to look above two cloths.

    `chin` and `jaw` are ΔE00 at the default factors, in reflected light alone; `visible` says whether the jaw's
    difference reaches what half of observers could just see between skins side by side.
    """

    skin: SkinDepth
    chin: float
    jaw: float
    visible: bool


@cache
def skins_light_to_dark() -> FloatArray:
    """Return the reflectances of the skins in the order of `SkinDepth`, shape (3, 81). Source: see the file's head."""
    text = (files("tenter.consultation") / "data" / _DATA).read_text(encoding="utf-8")
    rows = [line.split(",") for line in text.splitlines() if line[:1].isdigit()]
    skins: FloatArray = np.array([[float(value) for value in row[1:]] for row in rows]).T
    skins.setflags(write=False)
    return skins


def faces_above(cloths: FloatArray) -> FloatArray:
    """Return the predicted Lab (D65/10°) of each skin at chin and jaw above cloths (n, 81), shape (3, 2, n, 3)."""
    factors = default_factors()
    seen = [
        [under_reflected_light(skin, cloths, factors[place].value, factors[place].sheen) for place in _PLACES]
        for skin in skins_light_to_dark()
    ]
    return reflectance_to_lab(np.array(seen), D65_10.illuminant, D65_10.observer)


def pair_on_skins(faces: FloatArray, first: int, second: int) -> tuple[PairOnSkin, ...]:
    """Return what a pair of cloths does to each skin, by `faces_above` (3, 2, n, 3) and the rows of the two cloths."""
    one, other = faces[:, :, first], faces[:, :, second]
    effect = steady(delta_e_2000(one, other))
    visible = steady(delta_e_1976(one, other))[:, 1] >= LEAST_VISIBLE_LAB
    return tuple(
        PairOnSkin(skin, float(effect[i, 0]), float(effect[i, 1]), bool(visible[i])) for i, skin in enumerate(SkinDepth)
    )
