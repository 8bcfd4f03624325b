"""A kit laid out under a method: everything that does not depend on the client, computed once."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property, lru_cache

import numpy as np

from tenter.arrays import AnyArray, BoolArray, FloatArray, IntArray
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.cloths.visibility import chin_colours, cloth_reflectances, visibility
from tenter.consultation.conventions.method import Method
from tenter.consultation.laid_out.pair_on_skins import faces_above
from tenter.consultation.words.traits import UndertoneSide
from tenter.inference.lattice import Lattice, LatticeBox, Styles, cell_membership, side_membership
from tenter.inference.utility import utilities

REACH = 3.2  # bench units; the lattice covers -REACH to REACH on every axis
# Planning needs to know roughly where the client lies; every number that is stated comes from a finer frame.
_PLANNING_NODES, _PLANNING_STYLES = 19, 2
MIDDLE_CUTS = np.array([-0.5, 0.5])  # deep, middle, light, and so on any axis: common practice, no source

# Common practice, no source: hues that differ, and metals, are harder to judge.
_ACROSS_FAMILIES = 1.8
METAL_NOISE = 2.0
# Of a cloth known by its hue family alone, in undertone, depth and clarity: what the demo kit shows within a family.
_UNMEASURED_SPREAD = (0.7, 1.0, 0.9)


@dataclass(eq=False)
class Frame:
    """A lattice together with what is looked up on it again and again: utilities and class memberships.

    coordinates (c, 3): of the kit's cloths, in bench units. Shapes below: h utility shapes, n ideal points.
    """

    coordinates: FloatArray
    method: Method
    lattice: Lattice
    _utilities: dict[int, AnyArray] = field(default_factory=dict)

    def utility(self, rows: IntArray) -> FloatArray:
        """Return the mean utility of the cloths in the given rows (r,), worn together, shape (h, n); 0 is the best."""
        self.look_up(int(row) for row in rows)
        first, *others = (self._utilities[int(row)].astype(np.float64) for row in rows)
        return sum(others, first) / len(rows) if others else first

    def look_up(self, rows: Iterable[int]) -> None:
        """Work out the utilities of cloths, many at once, so that each need not be worked out alone."""
        new = sorted(set(rows) - self._utilities.keys())
        if new:
            found = utilities(self.lattice.shapes, self.coordinates[new], self.lattice.ideals)
            kept = found.astype(np.float32)  # a kit's worth of them is kept
            self._utilities.update((row, kept[:, i]) for i, row in enumerate(new))

    @cached_property
    def categories(self) -> FloatArray:
        """Membership of each ideal point in each category, shape (k, n)."""
        return cell_membership(self.lattice.ideals, self.method.prototypes, self.lattice.widths)

    @cached_property
    def seasons(self) -> FloatArray:
        """Membership of each ideal point in each of s seasons, shape (s, n)."""
        season = np.array([r.season for r in self.method.regions])
        return np.stack([self.categories[season == s].sum(axis=0) for s in self.method.seasons])

    @cached_property
    def sides(self) -> FloatArray:
        """Membership of each ideal point in the warm and in the cool categories, shape (2, n)."""
        side = np.array([self.method.side_of[s] for s in self.method.seasons])
        return np.stack([self.seasons[side == s].sum(axis=0) for s in UndertoneSide])

    @cached_property
    def depths(self) -> FloatArray:
        """Membership of each ideal point in deep, middle and light, shape (3, n)."""
        column = Axis.DEPTH.column
        return side_membership(self.lattice.ideals[:, column], MIDDLE_CUTS, self.lattice.widths[:, column])


@dataclass(frozen=True, eq=False)
class Bench:
    """A kit under a method.

    For each of n cloths: `coordinates` (n, 3) in bench units, `families` (n,) the hue family as a number, `metals` (n,)
    whether it is a metal, `chins` (n, 3) the predicted Lab under D65/10° of a mean chin above it, `spreads` (n, 3) how
    uncertain its coordinates are in bench units (zero for a measured cloth).
    """

    kit: Kit
    method: Method
    coordinates: FloatArray
    families: IntArray
    metals: BoolArray
    chins: FloatArray
    spreads: FloatArray
    _judged: dict[tuple[tuple[str, ...], ...], tuple[float, float]] = field(
        default_factory=dict, init=False, repr=False
    )

    @classmethod
    def of(cls, kit: Kit, method: Method) -> "Bench":
        """Return a kit laid out under a method."""
        return cls(
            kit=kit,
            method=method,
            coordinates=method.coordinates(kit),
            families=np.unique([str(f) for f in kit.hue_families], return_inverse=True)[1],
            metals=np.array([d.is_metal for d in kit.drapes]),
            chins=chin_colours(kit),
            spreads=np.array([(0.0,) * 3 if d.measured else _UNMEASURED_SPREAD for d in kit.drapes]),
        )

    def frame(self, styles: Styles) -> Frame:
        """Return the planning frame: the whole space, coarsely."""
        box = LatticeBox((-REACH,) * 3, (REACH,) * 3, _PLANNING_NODES)
        return _frame(self, styles.condensed(_PLANNING_STYLES), box)

    def focused(self, styles: Styles, box: LatticeBox) -> Frame:
        """Return a frame over part of the space."""
        return Frame(self.coordinates, self.method, Lattice(box, self.method.prototypes, styles=styles))

    def pair_noise(self, first: IntArray, second: IntArray) -> tuple[FloatArray, FloatArray]:
        """Return two values (p,) for pairs of cloths whose rows are (p,) and (p,).

        By how many times its noise exceeds that of a clearly visible same-hue pair, and the share of showings, 0 to 1,
        on which it can show nothing at all, whoever is looked at. Our own model.
        """
        noise = np.where(self.families[first] != self.families[second], _ACROSS_FAMILIES, 1.0)
        noise = noise * np.where(self.metals[first] | self.metals[second], METAL_NOISE, 1.0)
        apart = (self.coordinates[first] - self.coordinates[second]) ** 2
        share = apart[:, Axis.UNDERTONE.column] / np.maximum(apart.sum(axis=1), 1e-12)
        seen = visibility(self.chins, first, second)
        return noise * (1 + share * (1 / seen - 1)), share * (1 - seen)

    def side_noise(self, left: tuple[str, ...], right: tuple[str, ...]) -> tuple[float, float]:
        """Return `pair_noise` of cloths held against others by id, as the mean over their pairs; kept.

        As there: a factor, and a share of the showings.
        """
        if (left, right) not in self._judged:
            rows = np.array([(self.kit.row(a), self.kit.row(b)) for a in left for b in right])
            noise, hidden = self.pair_noise(rows[:, 0], rows[:, 1])
            self._judged[left, right] = float(noise.mean()), float(hidden.mean())
        return self._judged[left, right]

    @cached_property
    def faces(self) -> FloatArray:
        """Predicted Lab of `PAIR_SKINS` at chin and jaw above each cloth, shape (3, 2, n, 3)."""
        return faces_above(cloth_reflectances(self.kit))

    @cached_property
    def noise_table(self) -> tuple[FloatArray, FloatArray]:
        """`pair_noise` of every pair, each (n, n), worked out row by row once, for planning asks for thousands."""
        every = np.arange(len(self.coordinates))
        rows = [self.pair_noise(np.full(every.size, row), every) for row in every]
        return np.stack([noise for noise, _ in rows]), np.stack([hidden for _, hidden in rows])


@lru_cache(maxsize=4)
def _frame(bench: Bench, styles: Styles, box: LatticeBox) -> Frame:
    return bench.focused(styles, box)


@lru_cache(maxsize=4)
def bench_of(kit: Kit, method: Method) -> Bench:
    """Return the bench of a kit and a method, shared by every sitting that uses both."""
    return Bench.of(kit, method)
