"""Invented kits, clients and judges, with the truth known: what the verdict study draws from.

Synthetic clients bound what to hope for. They do not show that the trade is right.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum

import numpy as np

from tenter import Answer, DrapeJudgement, FanJudgement, Kit, Method, PairJudgement, Suits
from tenter.arrays import FloatArray
from tenter.colorimetry.measurement import D65_10
from tenter.colorimetry.reflectance import ImpossibleSurface, recover_reflectance
from tenter.colorimetry.spaces import lch_to_lab
from tenter.consultation.cloths.hue_families import HueFamily, hue_family
from tenter.consultation.laid_out.bench import Bench, bench_of
from tenter.consultation.words.flags import Flag
from tenter.inference.likelihood import Responses, grade_probabilities
from tenter.inference.utility import Shape, UtilityForm

_FAMILIES = [f for f in HueFamily if f is not HueFamily.METAL]


def simulated_kit(count: int, rng: np.random.Generator) -> Kit:
    """Return a kit of real surface colours, as even over the hue families as the colours allow."""
    quota = -(-count // len(_FAMILIES))
    kept: dict[HueFamily, list[FloatArray]] = {f: [] for f in _FAMILIES}
    while sum(len(v) for v in kept.values()) < count:
        lch = np.column_stack([rng.uniform(18, 94, 400), 72 * np.sqrt(rng.random(400)), rng.uniform(0, 360, 400)])
        lch[:80, 1] = rng.uniform(0, 14, 80)  # near-neutrals would be too rare
        for lab in lch_to_lab(lch):
            family = hue_family(lab)
            if len(kept[family]) < quota and _is_surface(lab):
                kept[family].append(lab)
    labs = [(f, lab) for f, rows in kept.items() for lab in rows][:count]
    ids = [f"S{i:03d}" for i in range(1, count + 1)]
    return Kit.from_lab(ids, np.array([lab for _, lab in labs]), [f for f, _ in labs])


def _is_surface(lab: FloatArray) -> bool:
    try:
        reflectance = recover_reflectance(lab, D65_10.illuminant, D65_10.observer)
    except ImpossibleSurface:
        return False
    return bool(reflectance.max() <= 0.95 and reflectance.min() >= 0.01)


class World(StrEnum):
    """How simulated clients and judges depart from what the model assumes."""

    AS_MODELLED = "as modelled"
    CITY_BLOCK = "city-block"
    SATURATING = "saturating"
    CAPPED = "capped"
    UNEQUAL_AXES = "unequal axes"
    POSITION_BIAS = "position bias"
    LAPSES = "lapses 15 %"
    COORDINATE_ERRORS = "coordinate errors"
    DRAPE_EFFECTS = "per-drape effects"
    MIXED = "mixed departures"


@dataclass(frozen=True)
class Judge:
    """One simulated client under one simulated analyst.

    What a pair can show of undertone depends on the light it sends to the face, as on the bench: see
    `Bench.pair_noise`.
    """

    bench: Bench
    theta: FloatArray
    coordinates: FloatArray  # as the judge sees the cloths
    effects: FloatArray  # utility of each cloth beside its colour
    shape: Shape
    sigma: float
    responses: Responses
    rng: np.random.Generator
    cap: float | None = None
    bias: float = 0.0
    _utilities: FloatArray = field(init=False)

    def __post_init__(self) -> None:
        utility = self.shape.utility(self.coordinates, self.theta[None, :])[:, 0] + self.effects
        if self.cap is not None:
            utility = np.maximum(utility, self.cap)
        object.__setattr__(self, "_utilities", utility)

    def judge(self, left: str, right: str) -> PairJudgement:
        """Return the answer to a pair."""
        a, b = self.bench.kit.row(left), self.bench.kit.row(right)
        noise, hidden = self.bench.pair_noise(np.array([a]), np.array([b]))
        if self.rng.random() < hidden[0]:
            return PairJudgement(left, right, Answer.NOTHING_SEEN)
        difference = self._utilities[a] - self._utilities[b] + self.bias
        chances = grade_probabilities(np.array(difference), self.sigma * noise[0], self.responses)
        grade = int(self.rng.choice(5, p=chances))
        if grade == 2:
            return PairJudgement(left, right, self._equal(a, b))
        return PairJudgement(
            left, right, Answer.LEFT if grade > 2 else Answer.RIGHT, strength=2 if grade in (0, 4) else 1
        )

    def _equal(self, a: int, b: int) -> Answer:
        mean = (self._utilities[a] + self._utilities[b]) / 2
        if self.rng.random() < self.responses.unsaid_share:
            return Answer.NOTHING_SEEN
        if mean + self.rng.normal() * self.responses.level_noise > self.responses.good_level:
            return Answer.BOTH_GOOD
        if mean + self.rng.normal() * self.responses.level_noise < self.responses.wrong_level:
            return Answer.BOTH_WRONG
        return Answer.NOTHING_SEEN

    @property
    def utilities(self) -> FloatArray:
        """How well each cloth of the kit truly suits this client, shape (n,)."""
        return self._utilities

    def suits(self, drape: str) -> DrapeJudgement:
        """Return the answer to one cloth on its own."""
        seen = self._utilities[self.bench.kit.row(drape)] + self.rng.normal() * self.sigma
        works, fails = seen > self.responses.good_level, seen < self.responses.wrong_level
        return DrapeJudgement(drape, Suits.WORKS if works else Suits.FAILS if fails else Suits.TOLERABLE)

    def rank(self, drapes: Sequence[str]) -> FanJudgement:
        """Return a fan, best first, by utility with Gumbel noise of the comparisons' standard deviation."""
        scale = self.sigma * np.sqrt(3) / np.pi
        seen = [self._utilities[self.bench.kit.row(d)] + self.rng.gumbel(0, scale) for d in drapes]
        return FanJudgement(tuple(drapes[i] for i in np.argsort(seen)[::-1]))

    def flag(self, drape: str, margin: float = 0.4, noise: float = 0.9) -> str:
        """Return a remark on the axis on which a cloth seems furthest from the client."""
        offset = self.bench.coordinates[self.bench.kit.row(drape)] - self.theta + self.rng.normal(0, noise, 3)
        column = int(np.argmax(np.abs(offset)))
        direction = 0 if abs(offset[column]) <= margin else int(np.sign(offset[column]))
        flag = next(f for f in Flag if f.axis.column == column and f.direction == direction)
        return f"{drape}:{flag}"


def simulated_judge(kit: Kit, method: Method, world: World, theta: FloatArray, rng: np.random.Generator) -> Judge:
    """Return a judge of a client with the given ideal point."""
    bench = bench_of(kit, method)
    x = bench.coordinates
    judge = Judge(
        bench=bench,
        theta=theta,
        coordinates=x,
        effects=np.zeros(len(x)),
        shape=Shape(UtilityForm.QUADRATIC),
        sigma=float(np.exp(rng.normal(0.0, 0.25))),
        responses=Responses(),
        rng=rng,
    )
    changes: dict[World, Callable[[], Judge]] = {
        World.AS_MODELLED: lambda: judge,
        World.CITY_BLOCK: lambda: replace(judge, shape=Shape(UtilityForm.CITY_BLOCK)),
        World.SATURATING: lambda: replace(judge, shape=Shape(UtilityForm.SATURATING)),
        World.CAPPED: lambda: replace(judge, cap=-2.0),
        World.UNEQUAL_AXES: lambda: replace(judge, shape=Shape(UtilityForm.QUADRATIC, _unequal(rng))),
        World.POSITION_BIAS: lambda: replace(judge, bias=0.4),
        World.LAPSES: lambda: replace(judge, responses=replace(judge.responses, lapse=0.15)),
        World.COORDINATE_ERRORS: lambda: replace(judge, coordinates=x + rng.normal(0, 0.25, x.shape)),
        World.MIXED: lambda: replace(
            judge, shape=Shape(UtilityForm.SATURATING, _unequal(rng)), coordinates=x + rng.normal(0, 0.25, x.shape)
        ),
        World.DRAPE_EFFECTS: lambda: replace(judge, effects=rng.normal(0, 0.4, len(x))),
    }
    return changes[world]()


def _unequal(rng: np.random.Generator) -> tuple[float, float, float]:
    a, b, c = rng.permutation([0.6, 0.9, 1.5])
    return float(a), float(b), float(c)


def simulated_clients(method: Method, count: int, rng: np.random.Generator, spread: float | None = 0.45) -> FloatArray:
    """Return ideal points (count, 3): prototype + N(0, spread²), or uniform over the space when spread is None."""
    if spread is None:
        return rng.uniform(-2.0, 2.0, (count, 3))
    chosen = method.prototypes[rng.integers(len(method.prototypes), size=count)]
    points: FloatArray = chosen + rng.normal(0, spread, chosen.shape)
    return points


def border_distance(method: Method, theta: FloatArray) -> float:
    """Return how far an ideal point lies from the nearest border of its cell."""
    squares = np.sum((method.prototypes - theta) ** 2, axis=1)
    own = int(np.argmin(squares))
    others = np.delete(np.arange(len(squares)), own)
    gap = np.linalg.norm(method.prototypes[others] - method.prototypes[own], axis=1)
    return float(np.min((squares[others] - squares[own]) / (2 * gap)))
