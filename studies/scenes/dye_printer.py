"""An invented printer of another kind: three dyes in continuous tone, with no dots and no black.

The bench's other prints have the inks of the program's own invention (ink.py). This one dyes the paper more or less
deeply, as a dye-sublimation printer does, with absorption bands of a shape of its own: it was written before the
program knew of dyes. A card calibrated from such a print tells how far the program leans on what it invented.
"""

from dataclasses import dataclass

import numpy as np

from tenter.arrays import ArrayLike, FloatArray
from tenter.colorimetry.illuminants import WAVELENGTHS_NM

_Band = tuple[int, int, int]
_Bands = tuple[_Band, _Band, float]
# Of each dye: middle in nm, width below and above it, and the same of a side band with its part of the main one.
_BANDS: tuple[_Bands, ...] = (
    ((636, 52, 70), (418, 30, 40), 0.16),
    ((541, 34, 26), (402, 30, 45), 0.22),
    ((446, 48, 30), (360, 20, 20), 0.30),
)
_DEEPEST = 1.7  # density of the deepest dye at its middle


@dataclass(frozen=True)
class DyePrinter:
    """Paper (81,), densities (3, 81) of the dyes at their deepest, surface reflection, and each dye's response (3,)."""

    paper: FloatArray
    densities: FloatArray
    surface: float
    response: FloatArray

    def reflectance(self, coverage: ArrayLike) -> FloatArray:
        """Return the reflectance (..., 81) of areas dyed (..., 4) 0-1; what is asked of black deepens all three."""
        asked = np.clip(np.asarray(coverage, dtype=float), 0, 1)
        depth = np.clip(asked[..., :3] + asked[..., 3:], 0, 1.3) ** self.response
        through: FloatArray = self.surface + (1 - self.surface) * self.paper * 10 ** -(depth @ self.densities)
        return through


def dye_printer(rng: np.random.Generator | None = None) -> DyePrinter:
    """Return a printer as its driver thinks of it, or one that differs from that at random."""
    vary = rng.uniform if rng else _middle
    densities = np.stack([_density(bands, vary(-7, 7), vary(0.9, 1.1), vary(0.85, 1.1)) for bands in _BANDS])
    paper = vary(0.83, 0.92) * (1 - vary(-0.02, 0.08) * np.exp(-(((WAVELENGTHS_NM - 390) / 60.0) ** 2)))
    return DyePrinter(paper, densities, vary(0.004, 0.02), np.array([vary(1.2, 1.6) for _ in range(3)]))


def _middle(low: float, high: float) -> float:
    return (low + high) / 2


def _density(bands: _Bands, shift: float, width: float, deep: float) -> FloatArray:
    main, side, part = bands
    curve = _band(main, shift, width) + part * _band(side, shift, width)
    found: FloatArray = _DEEPEST * deep * curve + 0.02
    return found


def _band(band: _Band, shift: float, width: float) -> FloatArray:
    """Return a band that is flatter than a bell at its top and differs on its two sides."""
    middle, below, above = band
    off = WAVELENGTHS_NM - middle - shift
    spread = np.where(off < 0, below, above) * width
    found: FloatArray = np.exp(-0.5 * np.abs(off / spread) ** 2.3)
    return found
