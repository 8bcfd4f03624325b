"""The pair that teaches the eye: the one whose effect on the face is predicted to be the largest."""

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from tenter.arrays import steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.consultation.laid_out.bench import Bench
from tenter.consultation.laid_out.coverage import countable
from tenter.consultation.laid_out.pair_quality import is_brightened
from tenter.errors import TenterError
from tenter.language import _


class NoTeachingPair(TenterError):
    """Fewer than two cloths of a kit can be used to teach."""

    def __init__(self) -> None:
        super().__init__(_("a teaching pair needs two measured cloths that are no metals; look for the ones set aside"))


@dataclass(frozen=True, slots=True)
class TeachingPair:
    """Two cloths by which an eye is taught.

    Above `brighter` the chin is the lighter of the two. effect: how far apart the chin is predicted to look, in ΔE00.
    """

    brighter: str
    darker: str
    effect: float


def teaching_pair(bench: Bench, missing: Collection[str] = ()) -> TeachingPair:
    """Return the pair with the largest predicted effect on a mean chin; raises `NoTeachingPair` where there is none.

    It shows where to look and tests nothing, so that it may differ in lightness as well. Metals shine and brightened
    whites change with the lamp: neither is used, nor a cloth that is missing or unmeasured.
    """
    rows = np.array([row for row in np.flatnonzero(countable(bench)) if _usable(bench, int(row), missing)], dtype=int)
    if rows.size < 2:
        raise NoTeachingPair
    chins = bench.chins[rows]
    effects = delta_e_2000(chins[:, None, :], chins[None, :, :])
    one, other = np.unravel_index(int(np.argmax(steady(effects))), effects.shape)
    first, second = sorted((int(one), int(other)), key=lambda place: -steady(float(chins[place, 0])))
    ids = bench.kit.ids
    return TeachingPair(ids[rows[first]], ids[rows[second]], float(effects[one, other]))


def _usable(bench: Bench, row: int, missing: Collection[str]) -> bool:
    return bench.kit.ids[row] not in missing and not is_brightened(bench, row)
