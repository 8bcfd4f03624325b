"""What a kit covers: its cloths by lightness, strength, hue family and category, and the places it leaves empty."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, lru_cache

import numpy as np

from tenter.arrays import AnyArray, BoolArray, FloatArray, IntArray, steady
from tenter.colorimetry.measurement import D65_10, Colours
from tenter.colorimetry.real_surfaces import is_real_surface
from tenter.colorimetry.spaces import lch_to_lab
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.hue_families import HueFamily, hue_families
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.conventions.method import Method
from tenter.consultation.laid_out.bench import MIDDLE_CUTS, Bench
from tenter.language import N_, _, pgettext

# Common practice, no source. A place is a category in one hue family; it counts as reachable when a real surface comes
# this close to the category's prototype, and as a gap when the kit's nearest cloth is further than that.
_NEAR = 1.0
_OTHER_HUE = 1.8  # bench units by which a cloth of another hue stands further away: it fills the place only badly
_MOST_GAPS = 3
# Steps of L*, C* and h between the surfaces tried: those within Pointer's gamut of real surfaces, so that no gap is
# named that nobody could buy.
_LIGHTNESSES, _CHROMAS, _HUES = np.arange(15.0, 96.0, 4.0), np.arange(0.0, 91.0, 4.0), np.arange(0.0, 360.0, 8.0)


class LightnessLevel(StrEnum):
    """How light a cloth is: dark, middle or light, in rising order."""

    DARK = "dark"
    MIDDLE = "middle"
    LIGHT = "light"


class Strength(StrEnum):
    """How clear a cloth is: soft, medium or bright, in rising order."""

    SOFT = "soft"
    MEDIUM = "medium"
    BRIGHT = "bright"


@dataclass(frozen=True, slots=True)
class HueCount:
    """How many measured cloths of a hue family there are, by lightness and by strength; metals apart."""

    hue_family: HueFamily
    levels: dict[LightnessLevel, int]
    strengths: dict[Strength, int]
    total: int


@dataclass(frozen=True, slots=True)
class Gap:
    """A place that the kit leaves empty.

    The place is that of `hue_family` in `category`; `lab` (D65/10°) is the surface there that lies nearest to the
    category's prototype, and `nearest` the cloth that comes closest to it, `distance` bench units away (a cloth of
    another hue counts as 1.8 further). `traits`: what marks it out. `shown_truly`: whether a screen can show that
    colour (sRGB, as seen under D65 by the 2 degree observer).
    """

    category: str
    hue_family: HueFamily
    lab: tuple[float, float, float]
    nearest: str
    distance: float
    traits: tuple[str, ...]
    shown_truly: bool

    @property
    def words(self) -> str:
        """The gap in words, in the language that is written: "no soft dark green"."""
        return _("no {cloth}", cloth=cloth_words(self.traits, self.hue_family))


@dataclass(frozen=True, slots=True)
class KitCoverage:
    """The counts of a kit: by hue family with lightness and strength, and by the category that each colour is in."""

    hues: tuple[HueCount, ...]
    categories: dict[str, int]


def lightness_level(depth: float) -> LightnessLevel:
    """Return the level of a depth in bench units: dark to -0.5, light above 0.5. Common practice, no source."""
    return list(LightnessLevel)[int(np.searchsorted(MIDDLE_CUTS, steady(depth)))]


def _strength_of(clarity: float) -> Strength:
    return list(Strength)[int(np.searchsorted(MIDDLE_CUTS, steady(clarity)))]


def countable(bench: Bench) -> BoolArray:
    """Return which cloths have a colour to count on: measured, and no metal, shape (n,)."""
    return np.array([d.measured and not d.is_metal for d in bench.kit.drapes])


def kit_coverage(bench: Bench) -> KitCoverage:
    """Return what a kit holds, counted."""
    rows = np.flatnonzero(countable(bench))
    found = [_hue_count(bench, family, rows) for family in HueFamily if family is not HueFamily.METAL]
    return KitCoverage(tuple(found), {category: len(cloths) for category, cloths in cloths_by_category(bench).items()})


def cloths_by_category(bench: Bench) -> dict[str, tuple[str, ...]]:
    """Return the ids of the measured cloths, metals apart, in the category whose place their colour lies in."""
    ids: dict[str, tuple[str, ...]] = dict.fromkeys(bench.method.categories, ())
    for row in np.flatnonzero(countable(bench)):
        ids[bench.method.category_at(bench.coordinates[row])] += (bench.kit.ids[row],)
    return ids


def _hue_count(bench: Bench, family: HueFamily, rows: IntArray) -> HueCount:
    own = [bench.coordinates[row] for row in rows if bench.kit.drapes[row].hue_family is family]
    levels = [lightness_level(x[Axis.DEPTH.column]) for x in own]
    strengths = [_strength_of(x[Axis.CLARITY.column]) for x in own]
    return HueCount(
        family,
        {level: levels.count(level) for level in reversed(LightnessLevel)},
        {strength: strengths.count(strength) for strength in Strength},
        len(own),
    )


# -- gaps ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class _Places:
    """The reachable places of a method: of each its category, hue family, surface and coordinates."""

    categories: tuple[str, ...]
    families: tuple[HueFamily, ...]
    lab: FloatArray
    coordinates: FloatArray


def gaps(bench: Bench) -> tuple[Gap, ...]:
    """Return up to three gaps, the widest first; each later one is what stays open once the earlier are filled."""
    rows = np.flatnonzero(countable(bench))
    places = _reachable_places(bench.method)
    if not rows.size or not places.families:
        return ()
    families = np.array([str(f) for f in places.families])
    own = np.array([str(bench.kit.drapes[row].hue_family) for row in rows])
    apart = _apart(places.coordinates, families, bench.coordinates[rows], own)
    between = _apart(places.coordinates, families, places.coordinates, families)
    nearest, open_by = rows[apart.argmin(axis=1)], apart.min(axis=1)
    found: list[Gap] = []
    while len(found) < _MOST_GAPS and open_by.max() > _NEAR:
        widest = int(open_by.argmax())
        found.append(_gap(bench, places, widest, int(nearest[widest]), float(open_by[widest])))
        open_by = np.minimum(open_by, between[:, widest])
    return tuple(found)


def _apart(first: FloatArray, families: AnyArray, second: FloatArray, others: AnyArray) -> FloatArray:
    distance: FloatArray = steady(np.linalg.norm(first[:, None] - second[None], axis=2))
    return distance + np.where(families[:, None] == others[None], 0.0, _OTHER_HUE)


def _gap(bench: Bench, places: _Places, place: int, nearest: int, distance: float) -> Gap:
    category, family = places.categories[place], places.families[place]
    prototype = np.array(bench.method.region(category).prototype)
    L, a, b = (round(float(v), 1) for v in places.lab[place])
    shown_truly = Colours(places.lab[place], D65_10).on_screen()[1][0]
    return Gap(category, family, (L, a, b), bench.kit.ids[nearest], distance, traits_of(prototype), shown_truly)


_ENDS = ((Axis.CLARITY, "soft", "bright"), (Axis.DEPTH, "dark", "light"), (Axis.UNDERTONE, "cool", "warm"))
CLOTH_TRAITS = tuple(word for _axis, *both in _ENDS for word in both)


def traits_of(place: FloatArray) -> tuple[str, ...]:
    """Return what marks out a place (3,), in bench units, as words said of a cloth: soft, dark, warm."""
    low, high = MIDDLE_CUTS
    said = ((lower if place[axis.column] <= low else upper, place[axis.column]) for axis, lower, upper in _ENDS)
    return tuple(word for word, value in said if not low < value < high)


# A cloth by its hue and by none to three traits, which a language may set apart from the hue and from each other.
_CLOTH_WORDS = ("{hue}", N_("{trait} {hue}"), N_("{first} {second} {hue}"), N_("{first} {second} {third} {hue}"))
_TRAIT_PLACES = ((), ("trait",), ("first", "second"), ("first", "second", "third"))


def cloth_words(traits: Sequence[str], family: str) -> str:
    """Return a cloth to look for in words, in the language that is written: "soft dark warm green"."""
    said = [pgettext("of a cloth to look for", word) for word in traits]
    named = dict(zip(_TRAIT_PLACES[len(said)], said, strict=True))
    return _(_CLOTH_WORDS[len(said)], hue=pgettext("hue", family), **named)


@dataclass(frozen=True, eq=False)
class PlainSurfaces:
    """Colours that surfaces can have, D65/10° (n, 3), whose hue family nobody doubts, and their coordinates (n, 3)."""

    lab: FloatArray
    families: AnyArray
    coordinates: FloatArray


@lru_cache(maxsize=4)
def plain_surfaces(method: Method) -> PlainSurfaces:
    """Return colours in even steps that real surfaces have, as places of a method, in bench units."""
    surfaces = _surfaces()
    return PlainSurfaces(surfaces.lab, np.array(surfaces.hue_families, dtype=str), method.coordinates(surfaces))


@cache
def _surfaces() -> Kit:
    """Return the plain surfaces as a kit, which is the same for every method."""
    grid = lch_to_lab(np.stack(np.meshgrid(_LIGHTNESSES, _CHROMAS, _HUES, indexing="ij"), axis=-1))
    lab = grid.reshape(-1, 3)
    families = np.array(hue_families(lab), dtype=str)
    plain = _of_plain_hue(families.reshape(grid.shape[:-1])).ravel() & is_real_surface(lab)
    return Kit.from_lab([str(row) for row in np.flatnonzero(plain)], lab[plain], families[plain].tolist())


@lru_cache(maxsize=4)
def _reachable_places(method: Method) -> _Places:
    """Return each category in each hue family that a real surface can bring near its prototype."""
    surfaces = plain_surfaces(method)
    lab, families, coordinates = surfaces.lab, surfaces.families, surfaces.coordinates
    distance = steady(np.linalg.norm(coordinates[:, None] - method.prototypes[None], axis=2))
    cell, away = distance.argmin(axis=1), distance.min(axis=1)
    best: dict[tuple[int, str], int] = {}
    for row in np.argsort(away, kind="stable"):
        if away[row] <= _NEAR:
            best.setdefault((int(cell[row]), families[row]), int(row))
    rows = list(best.values())
    return _Places(
        tuple(method.categories[cell[row]] for row in rows),
        tuple(HueFamily(families[row]) for row in rows),
        lab[rows],
        coordinates[rows],
    )


def _of_plain_hue(families: AnyArray) -> BoolArray:
    """Return which surfaces of a grid in L*, C* and h keep their family a step away, so that nobody doubts its name."""
    plain = np.ones(families.shape, dtype=bool)
    for dimension, size in enumerate(families.shape):
        for step in (-1, 1):
            around = np.arange(size) + step
            nextdoor = around % size if dimension == 2 else np.clip(around, 0, size - 1)
            plain &= families == np.take(families, nextdoor, axis=dimension)
    return plain
