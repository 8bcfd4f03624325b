"""Colours of dyeable cloth that a palette may be made of: a fixed grid in L*, C*, h under D65/10°, with plain names.

Only colours as strong as real surfaces are: Pointer's gamut (`colorimetry/real_surfaces.py`). The grid is ours: fine
enough that a colour is never more than about ΔE00 5 away, and the same for every client, so that two palettes share.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np

from tenter.arrays import BoolArray, FloatArray, steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.real_surfaces import is_real_surface
from tenter.colorimetry.spaces import lab_to_lch, lch_to_lab
from tenter.consultation.cloths.hue_families import HueFamily, hue_family
from tenter.consultation.colours.names import base_names, colour_names

# Near-neutrals lie closer, as they are told apart closer: chroma with the step of hue in degrees.
_QUIET = ((1.0, 180.0), (3.5, 60.0), (6.5, 30.0), (10.0, 24.0), (13.5, 20.0))
_CHROMAS = (18.0, 23.0, 28.5, 35.0, 42.5, 51.0, 61.0)
_HUE_STEP, _LIGHTNESS_STEP = 10.0, 5.0
_DARKEST, _LIGHTEST = 16.0, 96.0
_KEPT = 1000  # colours whose distances to all others are kept, 24 kB each: palettes choose the same ones again


@dataclass(frozen=True, eq=False)
class Candidates:
    """Colours (n, 3), D65/10°, each with its hue family, its plain name, and what it may be called, best first."""

    lab: FloatArray
    families: tuple[HueFamily, ...]
    bases: tuple[str, ...]
    names: tuple[tuple[str, ...], ...]

    @property
    def lch(self) -> FloatArray:
        """L*, C* and h, shape (n, 3)."""
        return lab_to_lch(self.lab)

    def of(self, families: Sequence[HueFamily]) -> BoolArray:
        """Tell which colours are of some hue families, shape (n,)."""
        return np.array([f in families for f in self.families], dtype=bool)


@cache
def candidates() -> Candidates:
    """Return the colours that every palette is chosen from: real surfaces on a fixed grid, Lab to a tenth."""
    lab = lch_to_lab(_grid())
    lab = np.round(lab[is_real_surface(lab)], 1) + 0.0
    families = [hue_family(colour) for colour in lab]
    lab.setflags(write=False)
    return Candidates(lab, tuple(families), base_names(lab, families), tuple(colour_names(lab, families)))


@lru_cache(maxsize=_KEPT)
def apart_from(row: int) -> FloatArray:
    """Return how far every one of the candidates is from one of them, ΔE00, steady, shape (n,).

    The array is shared and cannot be written to.
    """
    lab = candidates().lab
    apart = steady(np.asarray(delta_e_2000(lab, lab[row])))
    apart.setflags(write=False)
    return apart


def _grid() -> FloatArray:
    """Return L*, C*, h (n, 3); every other lightness is turned by half a step of hue, so that the grid is closer."""
    rows = []
    for level, L in enumerate(np.arange(_DARKEST, _LIGHTEST + 0.1, _LIGHTNESS_STEP)):
        for C, step in (*_QUIET, *((C, _HUE_STEP) for C in _CHROMAS)):
            start = step / 2 if level % 2 else 0.0
            rows += [(L, C, h) for h in np.arange(start, 360.0, step)]
    return np.array(rows)
