"""What inks on paper reflect: an invented printer, four inks, as much of one as our own card needs.

No printer was measured: the curves are plausible and made up. They serve to choose colours whose print comes near the
spectra of skin, and to guess the spectrum of a printed patch of which only the colour is known. Nothing that is said of
a person rests on them alone.

Dots of four inks lie on the paper at random (Demichel); each of the sixteen overprints reflects what its inks let
through (Beer), light wanders under the dots (Yule and Nielsen), and dots spread.

References
----------
H. E. J. Neugebauer (1937), Z. wiss. Photogr. 36, 73-89; J. A. C. Yule, W. J. Nielsen (1951), TAGA Proc. 3, 65-76.
"""

from dataclasses import dataclass
from functools import cache
from itertools import product

import numpy as np

from tenter.arrays import ArrayLike, BoolArray, FloatArray
from tenter.colorimetry.illuminants import WAVELENGTHS_NM

_SEEN_NM = (430, 680)  # where cameras see most of what tells skins apart
_PRINTERS, _PRINTS_EACH = 60, 120  # of which `likely_prints` is made; each printer has inks of its own
_OVERPRINTS = np.array(list(product((0, 1), repeat=4)), dtype=float)  # (16, 4): which inks lie on the paper


@dataclass(frozen=True, slots=True)
class Printer:
    """Inks and paper: paper (81,), densities (4, 81) of full cyan, magenta, yellow and black, and how dots behave.

    surface: part of the light that never enters. spread: by which part of the paper a half-tone of a half gains in
    area. nielsen: Yule and Nielsen's n, 1 is for light that leaves where it came in.
    """

    paper: FloatArray
    densities: FloatArray
    surface: float = 0.018
    spread: float = 0.12
    nielsen: float = 2.0

    def reflectance(self, coverage: ArrayLike) -> FloatArray:
        """Return the reflectance (..., 81) of areas covered (..., 4) by cyan, magenta, yellow and black, each 0-1."""
        asked = np.clip(np.asarray(coverage, dtype=float), 0, 1)
        covered = (asked + 4 * self.spread * asked * (1 - asked))[..., None, :]
        part = np.prod(np.where(_OVERPRINTS > 0, covered, 1 - covered), axis=-1)
        through = self.surface + (1 - self.surface) * self.paper * 10 ** -(_OVERPRINTS @ self.densities)
        mixed: FloatArray = (np.clip(part, 0, 1) @ through ** (1 / self.nielsen)) ** self.nielsen
        return mixed


def ink_densities(shift_nm: float = 0.0, strength: float = 1.0) -> FloatArray:
    """Return the densities (4, 81) of the invented inks, their bands moved by `shift_nm`.

    strength: a factor on all of them, 1 for inks as they are.
    """
    nm = WAVELENGTHS_NM - shift_nm

    def rises(at: float, width: float) -> FloatArray:
        edge: FloatArray = 1 / (1 + np.exp(-(nm - at) / width))
        return edge

    def bump(at: float, width: float) -> FloatArray:
        bell: FloatArray = np.exp(-0.5 * ((nm - at) / width) ** 2)
        return bell

    cyan = 1.45 * rises(572, 19) * (1 - 0.75 * rises(740, 22)) + 0.1 * bump(405, 35) + 0.08 * bump(520, 40) + 0.03
    magenta = 1.1 * bump(533, 28) + 0.75 * bump(567, 16) + 0.42 * bump(430, 45) + 0.02
    yellow = 1.25 * (1 - rises(492, 10)) * (1 - 0.25 * bump(385, 25)) + 0.02
    black = 1.75 - 0.1 * (nm - 550) / 200
    return strength * np.stack([cyan, magenta, yellow, black])


def paper_reflectance(level: float = 0.9, warmth: float = 0.05) -> FloatArray:
    """Return the reflectance (81,) of matt paper, 0-1.

    level: what it reflects of long waves, 0 to 1. warmth: the part of that which it lacks at 400 nm.
    """
    paper: FloatArray = level * (1 - warmth * np.exp(-(WAVELENGTHS_NM - 400) / 55.0)).clip(0.2, 1)
    return paper


@cache
def assumed_printer() -> Printer:
    """Return the printer that the card's colours are chosen for."""
    return Printer(paper_reflectance(), ink_densities())


@cache
def likely_prints() -> FloatArray:
    """Return reflectances (n, 81) that prints of many printers may have: what a patch's spectrum is guessed from."""
    rng = np.random.default_rng(24)
    prints = []
    for _ in range(_PRINTERS):
        inks = np.stack([ink_densities(rng.normal(0, 6), rng.uniform(0.8, 1.2))[ink] for ink in range(4)])
        printer = Printer(
            paper_reflectance(rng.uniform(0.82, 0.94), rng.uniform(-0.04, 0.12)),
            inks,
            rng.uniform(0.01, 0.03),
            rng.uniform(0.04, 0.2),
            rng.uniform(1.5, 3),
        )
        coverage = rng.uniform(0, 1, (_PRINTS_EACH, 4)) ** np.array([1, 1, 1, 2.5])
        coverage[rng.random((_PRINTS_EACH, 4)) < 0.15] = 0
        prints.append(printer.reflectance(coverage))
    spectra = np.concatenate(prints)
    spectra.setflags(write=False)
    return spectra


def _within(band_nm: tuple[float, float]) -> BoolArray:
    inside: BoolArray = (band_nm[0] <= WAVELENGTHS_NM) & (band_nm[1] >= WAVELENGTHS_NM)
    return inside
