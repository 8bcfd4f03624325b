"""What the sheet of our own card may look like from printers nobody has measured: the prior of `printed.py`.

Whole sheets are invented, since the patches of one sheet share their printer: its paper, its inks, how its dots spread,
how much of its grey is black. A third of the printers have the inks of `ink.py`; the rest have dyes with bands of any
likely middle, width and shape, one half of them laid down in dots and the other in continuous tone. Each is driven
roughly as the sheet asks, since no driver knows its printer well. The ranges are made up; no printer was measured.
"""

from dataclasses import dataclass
from functools import cache
from typing import Protocol

import numpy as np
from scipy.optimize import least_squares

from tenter.arrays import ArrayLike, FloatArray
from tenter.colorimetry.illuminants import WAVELENGTHS_NM, weighting_table
from tenter.colorimetry.measurement import D65_2
from tenter.colorimetry.spaces import srgb_to_xyz, xyz_to_lab
from tenter.photo.own_card import layout
from tenter.photo.own_card.ink import Printer, ink_densities, paper_reflectance
from tenter.photo.patches.correction import D65_WHITE

# Invented prints of pigments and of dyes, and the seed that invents them.
_SHEETS_OF_INKS, _SHEETS_OF_DYES, _SEED = 600, 1000, 3
# Of the common part of cyan, magenta and yellow: where black begins to take its place, and how much of it.
_BLACK = ((0.0, 0.0), (0.15, 0.5), (0.3, 0.5), (0.0, 0.7))
_INK_GAIN, _PATCH_GAIN = 0.12, 0.04  # how far off a driver is: of an ink throughout, as a logarithm, and of each patch
_MEAN_OF = 200  # dyes whose mean a driver of dyes takes its printer for


class _Prints(Protocol):
    """Anything that makes reflectances (..., 81) of amounts (..., 4) of cyan, magenta, yellow and black."""

    def reflectance(self, coverage: ArrayLike) -> FloatArray: ...


@dataclass(frozen=True, slots=True)
class _ContinuousTone:
    """Paper (81,) dyed more or less deeply, and densities (4, 81) at the deepest.

    response: how depth follows what is asked. Light passes every dye in turn (Beer); a part, `surface`, never enters.
    """

    paper: FloatArray
    densities: FloatArray
    surface: float
    response: float

    def reflectance(self, coverage: ArrayLike) -> FloatArray:
        depth = np.clip(np.asarray(coverage, dtype=float), 0, 1.3) ** self.response
        found: FloatArray = self.surface + (1 - self.surface) * self.paper * 10 ** -(depth @ self.densities)
        return found


@cache
def likely_sheets() -> FloatArray:
    """Return reflectances, 0-1, (k, 36, 81) of the patches of k invented prints of our own card."""
    codes = np.array([patch.nominal_code for patch in layout.CARD_PATCHES])
    found = invented_prints(codes, _SHEETS_OF_INKS, _SHEETS_OF_DYES, _SEED)
    found.setflags(write=False)
    return found


def invented_prints(codes: FloatArray, of_inks: int, of_dyes: int, seed: int) -> FloatArray:
    """Return reflectances (k, n, 81) of prints of colours (n, 3), sRGB code 0-1, each by a printer of its own.

    The first `of_inks` of them are printed with inks, the other `of_dyes` with dyes; one seed gives the same again.
    """
    rng = np.random.default_rng(seed)
    inks, dyes, deep = (
        _amounts(thought, codes) for thought in (_halftone_mean_inks(), _halftone_mean_dyes(), _continuous_mean_dyes())
    )
    sheets = [_driven(_halftone(rng, _inks(rng)), inks, rng) for _ in range(of_inks)]
    for sheet in range(of_dyes):
        if sheet % 2:
            printer: _Prints = _ContinuousTone(
                _paper(rng), _dyes(rng), rng.uniform(0.003, 0.025), rng.uniform(0.9, 1.4)
            )
            sheets.append(_driven(printer, deep, rng))
        else:
            sheets.append(_driven(_halftone(rng, _dyes(rng)), dyes, rng))
    return np.array(sheets)


def _driven(printer: _Prints, amounts: FloatArray, rng: np.random.Generator) -> FloatArray:
    """Return the sheet (36, 81) of a printer whose driver asks for about these amounts, one choice of black or more."""
    share = rng.dirichlet(np.full(len(amounts), 0.5))
    asked = np.tensordot(share, amounts, axes=1)
    asked = asked * np.exp(rng.normal(0, _INK_GAIN, 4)) + rng.normal(0, _PATCH_GAIN, asked.shape) * (asked > 0.005)
    return printer.reflectance(np.clip(asked, 0, 1.3))


def _paper(rng: np.random.Generator) -> FloatArray:
    return paper_reflectance(rng.uniform(0.82, 0.94), rng.uniform(-0.04, 0.12))


def _halftone(rng: np.random.Generator, inks: FloatArray) -> Printer:
    return Printer(_paper(rng), inks, rng.uniform(0.005, 0.03), rng.uniform(0.04, 0.2), rng.uniform(1.5, 3))


def _inks(rng: np.random.Generator) -> FloatArray:
    return np.stack([ink_densities(rng.normal(0, 6), rng.uniform(0.8, 1.2))[ink] for ink in range(4)])


def _dyes(rng: np.random.Generator) -> FloatArray:
    """Return densities (4, 81) of dyes: a main band each, and what most dyes have beside it."""
    between, near = rng.uniform, rng.normal
    cyan = _band(near(632, 12), between(35, 65), between(45, 110), between(1.7, 2.6))
    cyan += between(0, 0.25) * _band(near(410, 12), 35, 45) + between(0, 0.15) * _band(near(540, 20), 40, 40)
    magenta = _band(near(547, 9), between(24, 42), between(18, 34), between(1.7, 2.8))
    magenta += between(0, 0.5) * _band(near(515, 10), between(20, 40), between(20, 30))
    magenta += between(0.1, 0.45) * _band(near(415, 15), 40, between(30, 50))
    yellow = _band(near(440, 10), between(40, 80), between(22, 40), between(1.8, 3.2))
    black = 1 - between(-0.1, 0.2) * (WAVELENGTHS_NM - 550) / 200
    deepest = np.array([between(1.0, 1.9), between(1.0, 1.9), between(0.9, 1.7), between(1.2, 2.0)])
    curves = np.stack([cyan, magenta, yellow, black])
    found: FloatArray = deepest[:, None] * curves / curves.max(axis=1, keepdims=True) + between(0, 0.05)
    return found


def _band(middle: float, below: float, above: float, steepness: float = 2.0) -> FloatArray:
    """Return a band of absorption, 1 at its middle in nm, with a width below and one above; a bell at steepness 2."""
    off = WAVELENGTHS_NM - middle
    band: FloatArray = np.exp(-0.5 * np.abs(off / np.where(off < 0, below, above)) ** steepness)
    return band


def _halftone_mean_inks() -> _Prints:
    return Printer(paper_reflectance(), ink_densities())


def _halftone_mean_dyes() -> _Prints:
    return Printer(paper_reflectance(), _mean_dyes())


def _continuous_mean_dyes() -> _Prints:
    return _ContinuousTone(paper_reflectance(), _mean_dyes(), 0.012, 1.15)


def _mean_dyes() -> FloatArray:
    rng = np.random.default_rng(_SEED)
    return np.asarray(np.mean([_dyes(rng) for _ in range(_MEAN_OF)], axis=0))


def _amounts(printer: _Prints, codes: FloatArray) -> FloatArray:
    """Return what drivers ask for colours (n, 3), (choices of black, n, 4), who take theirs for `printer`."""
    weights = weighting_table(D65_2.illuminant, D65_2.observer)
    paper = printer.reflectance(np.zeros(4)) @ weights

    def separated(code: FloatArray, start: float, share: float) -> FloatArray:
        target = xyz_to_lab(srgb_to_xyz(code), D65_WHITE)

        def inks(cmy: FloatArray) -> FloatArray:
            return np.append(cmy, share * max(0.0, float(cmy.min()) - start))

        def misses(cmy: FloatArray) -> FloatArray:
            return np.asarray(
                xyz_to_lab(printer.reflectance(inks(cmy)) @ weights / paper * D65_WHITE, D65_WHITE) - target
            )

        bare = bool((code == 1).all())
        return np.zeros(4) if bare else inks(least_squares(misses, 1 - 0.9 * code, bounds=(0, 1)).x)

    return np.array([[separated(code, *black) for code in codes] for black in _BLACK])
