"""Photographs of garments whose spectra are known, beside a card: what was read of each, or why nothing was.

Garments: the 41 clothes of Vrhel, Gershon and Iwan (tests/data/vrhel). Six hang in each picture, flat or with up to six
folds, matt or with a little gloss, turned from the card by a normal angle of 4°; lights and cameras go round by turns.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from studies.cloths.cloth_study import Tally, apart, beside_card
from studies.scenes.cameras import CAMERAS, LIGHTS
from studies.scenes.cloth_scene import Drapery, cloth_reflectances
from tenter.arrays import FloatArray
from tenter.colorimetry.illuminants import Observer
from tenter.colorimetry.reflectance import reflectance_to_lab
from tenter.consultation.garments.garment import Garment, from_photo
from tenter.photo.cloth.colour import ClothReason, cloth_pixels, read_cloth
from tenter.photo.cloth.measure import light_doubt
from tenter.photo.cloth.print_palette import print_palette

GARMENTS = 41
_BOXES = [(330 + 185 * column, 40 + 320 * row, 165, 290) for row in range(2) for column in range(3)]


@dataclass(frozen=True, eq=False)
class Read:
    """One garment in one photograph. true: its colours (n, 3) as an instrument reads them, D65/10°, with their areas.

    garment: which of the garments it is; each print is one of its own. seen: what the photograph told; None where it
    was refused, and why.
    """

    garment: int
    light: str
    camera: str
    true: FloatArray
    areas: tuple[float, ...]
    seen: Garment | None
    refused: str = ""


def true_lab(reflectance: FloatArray) -> FloatArray:
    """Return what an instrument would read of surfaces (..., 81): Lab (..., 3), D65/10°."""
    return reflectance_to_lab(reflectance, "D65", Observer.CIE_1964_10)


def photographed_garments(pictures: int, seed: int) -> Iterator[Read]:
    """Yield six garments of each picture; every garment comes in its turn."""
    surfaces = cloth_reflectances()[:GARMENTS]
    for turn in range(pictures):
        rng = np.random.default_rng([seed, turn])
        chosen = [(turn * len(_BOXES) + k) % GARMENTS for k in range(len(_BOXES))]
        cloths = [_hung(box, surfaces[k], rng) for box, k in zip(_BOXES, chosen, strict=True)]
        taken = _of_turn(turn)
        shown = beside_card(cloths, turn, rng, Tally([], Counter(), Counter()))
        for place, k in enumerate(chosen):
            true = true_lab(surfaces[k])[None]
            if shown is None:
                yield Read(k, *taken, true, (1.0,), None, "card")
                continue
            pixels = cloth_pixels(shown.photo, shown.where(place), shown.correction)
            found = read_cloth(pixels, shown.correction, light_error=light_doubt(shown.card), strong=True)
            if isinstance(found, ClothReason):
                yield Read(k, *taken, true, (1.0,), None, str(found.code))
            else:
                yield Read(k, *taken, true, (1.0,), from_photo(found.lab, found.half_width_90, for_kit=found.for_kit))


def photographed_prints(pictures: int, seed: int) -> Iterator[Read]:
    """Yield three prints of each picture, of two to four colours 15 ΔE00 apart or more."""
    for turn in range(pictures):
        rng = np.random.default_rng([seed, turn, 1])
        cloths = [_print((330 + 185 * column, 40, 165, 600), rng) for column in range(3)]
        shown = beside_card(cloths, turn, rng, Tally([], Counter(), Counter()))
        for place, cloth in enumerate(cloths):
            colours = () if shown is None else print_palette(shown.photo, shown.where(place), shown.correction)
            told = (3 * turn + place, *_of_turn(turn), true_lab(cloth.reflectances), cloth.areas)
            if not colours:
                yield Read(*told, None, "card" if shown is None else "print")
            else:
                lab, half = np.array([c.lab for c in colours]), np.array([c.half_width_90 for c in colours])
                yield Read(*told, from_photo(lab, half, [c.area for c in colours]))


def _of_turn(turn: int) -> tuple[str, str]:
    return LIGHTS[turn % len(LIGHTS)], CAMERAS[turn // len(LIGHTS) % len(CAMERAS)]


def _hung(box: tuple[int, int, int, int], reflectance: FloatArray, rng: np.random.Generator) -> Drapery:
    folds, slope = int(rng.integers(0, 7)), float(rng.uniform(5, 35))
    return Drapery(box, reflectance, folds, slope, float(rng.choice([0, 0, 0.03, 0.08])), float(rng.normal(0, 4)))


def _print(box: tuple[int, int, int, int], rng: np.random.Generator) -> Drapery:
    surfaces = apart(rng, int(rng.integers(2, 5)))
    areas = tuple(map(float, rng.dirichlet(np.full(len(surfaces), 6.0))))
    return Drapery(box, surfaces, int(rng.integers(0, 3)), 10.0, 0.0, float(rng.normal(0, 4)), areas)
