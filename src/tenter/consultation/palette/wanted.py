"""A wanted colour that is not the client's: the nearest of their own in the same hue, and the step to it in words.

Common practice, no source: whoever loves a colour outside their palette has a near neighbour of it inside.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.conventions.method import Method, Use
from tenter.consultation.palette.palette_parts import PaletteEntry
from tenter.consultation.words.answers import Relative

_STEP, _MOST_STEPS = 0.4, 2  # bench units from which a difference is a step; the largest steps are named
_ENDS = {
    Axis.UNDERTONE: (Relative.COOLER, Relative.WARMER),
    Axis.DEPTH: (Relative.DEEPER, Relative.LIGHTER),
    Axis.CLARITY: (Relative.SOFTER, Relative.BRIGHTER),
}


@dataclass(frozen=True, slots=True)
class NearOwn:
    """The nearest own cloth to a wanted one. steps: how it differs, the largest first; empty where hardly at all."""

    entry: PaletteEntry
    steps: tuple[Relative, ...]
    same_hue: bool


def nearest_own(kit: Kit, method: Method, wanted: str, own: Sequence[PaletteEntry]) -> NearOwn | None:
    """Return the nearest of one's own cloths to a wanted cloth of the kit, of its hue family where there is one."""
    hue = kit[wanted].hue_family
    same = [e for e in own if e.drape.hue_family is hue and e.drape.id != wanted]
    among = same or [e for e in own if e.drape.id != wanted]
    if not among:
        return None
    lab = kit.bench_colours.lab
    apart = steady(np.asarray(delta_e_2000(lab[[kit.row(e.drape.id) for e in among]], lab[kit.row(wanted)])))
    entry = among[int(np.argmin(apart))]
    places = method.coordinates(kit, Use.WEAR)
    return NearOwn(entry, _steps(places[kit.row(entry.drape.id)] - places[kit.row(wanted)]), bool(same))


def _steps(step: FloatArray) -> tuple[Relative, ...]:
    largest = sorted(Axis, key=lambda a: -steady(abs(float(step[a.column]))))[:_MOST_STEPS]
    return tuple(_ENDS[a][int(step[a.column] > 0)] for a in largest if steady(abs(float(step[a.column]))) >= _STEP)
