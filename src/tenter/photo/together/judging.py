"""Where photographs of one face differ beyond chance: in the mean of the skin, or region by region beside that."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.photo.regions.interval_parts import ColourInParts
from tenter.photo.regions.regions import SKIN, Region
from tenter.photo.together.combining import Spread, at_lightness, own_deviations, spread_between, spread_of

RegionColours = Mapping[Region, ColourInParts]

# Photographs whose cards were all held as asked are said to disagree one time in twenty: half of that for the mean of
# the skin, half for the regions (Šidák, as if all were independent, so that it is rarer).
_BY_CHANCE = 0.975


@dataclass(frozen=True, slots=True)
class Judged:
    """Where photographs of one face differ beyond chance, in the skin as a whole and region by region.

    face_off (3,): whether the mean of the skin differs. local: regions that differ otherwise than that does.

    explained: what the whole skin of each photograph shows (n, 3): L* as a part of L* + 16, and a* and b*.
    """

    face: Spread | None
    face_off: BoolArray
    regions: Mapping[Region, Spread]
    apart: Mapping[Region, BoolArray]
    local: Mapping[Region, BoolArray]
    shifts: FloatArray
    explained: FloatArray

    @property
    def wrong(self) -> bool:
        """Whether anything differs."""
        return bool(self.face_off.any()) or bool(self.local)

    @property
    def size(self) -> float:
        """How far apart they are on the whole, in units of chi square."""
        return float(sum(spread.chi_square.sum() for spread in self.regions.values()))


def confidence_of(tests: int) -> float:
    """Return the probability to be reached in each of so many regions, or the one face, three coordinates each."""
    return float(_BY_CHANCE ** (1 / (3 * max(tests, 1))))


def judge(faces: Sequence[RegionColours]) -> Judged:
    """Return where two or more photographs of one face differ, by their colours."""
    read = [region for region in Region if sum(region in face for face in faces) > 1]
    skin = _mean_skin(faces)
    face, shifts, off, level = None, np.zeros((len(faces), 3)), np.zeros(3, dtype=bool), 1.0
    if skin is not None:
        face = spread_between(*skin)
        shifts, off = skin[0] - skin[0].mean(axis=0), ~face.agrees(confidence_of(1))
        level = float(skin[0][:, 0].mean()) + 16  # more light adds to L* in proportion to L* + 16
    regions = {region: spread_of([face[region] for face in faces if region in face]) for region in read}
    sure = confidence_of(len(read))
    apart = _any({region: ~spread.agrees(sure) | off for region, spread in regions.items()})
    explained = shifts * off / [level, 1, 1]
    left = {region: left_over([face.get(region) for face in faces], explained) for region in read}
    local = _any({region: ~spread.agrees(sure) for region, (_, spread) in left.items()})
    return Judged(face, off, regions, apart, local, shifts, explained)


def _any(told: Mapping[Region, BoolArray]) -> dict[Region, BoolArray]:
    return {region: axes for region, axes in told.items() if axes.any()}


def _mean_skin(faces: Sequence[RegionColours]) -> tuple[FloatArray, FloatArray] | None:
    """Return the mean Lab (n, 3) of the skin that was read in all, a* and b* at one lightness, and its deviations."""
    common = [region for region in SKIN if all(region in face for face in faces)]
    if not common:
        return None
    columns = [[face[region] for face in faces] for region in common]
    levels = [at_lightness(column, float(np.mean([c.lab[0] for c in column]))) for column in columns]
    return np.mean(levels, axis=0), np.mean([own_deviations(column) for column in columns], axis=0)


def left_over(column: Sequence[ColourInParts | None], explained: FloatArray) -> tuple[FloatArray, Spread]:
    """Return what is left of a region's Lab (n, 3) once what the whole skin shows is taken out, and its spread.

    column: the region in each photograph, None where it was not read, which leaves NaN. explained (n, 3): as `Judged`
    has it.
    """
    seen = np.array([colour is not None for colour in column])
    colours = [colour for colour in column if colour is not None]
    lightness = float(np.mean([c.lab[0] for c in colours]))
    left = np.full((len(column), 3), np.nan)
    left[seen] = at_lightness(colours, lightness) - explained[seen] * [lightness + 16, 1, 1]
    return left, spread_between(left[seen], own_deviations(colours))


def odd_one(faces: Sequence[RegionColours]) -> int | None:
    """Return the place of the photograph without which the others agree; None where there is none such."""
    without = [judge([face for k, face in enumerate(faces) if k != n]) for n in range(len(faces))]
    candidates = [n for n, judged in enumerate(without) if not judged.wrong]
    return min(candidates, key=lambda n: without[n].size, default=None)


def furthest(faces: Sequence[RegionColours], odd: int | None) -> tuple[int, int]:
    """Return the places of the two photographs that lie furthest apart, the odd one among them where there is one."""
    pairs = [pair for pair in combinations(range(len(faces)), 2) if odd is None or odd in pair]
    return max(pairs, key=lambda pair: judge([faces[n] for n in pair]).size)
