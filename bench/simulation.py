"""Invented kits, clients and judges, with the truth known: what the verdict study draws from.

Synthetic clients bound what to hope for. They do not show that the trade is right.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from enum import StrEnum

import numpy as np
from tenter import Answer, Kit, Method, PairJudgement
from tenter.arrays import FloatArray
from tenter.colorimetry.measurement import D65_10
from tenter.colorimetry.reflectance import ImpossibleSurface, recover_reflectance
from tenter.colorimetry.spaces import lch_to_lab
from tenter.consultation.hue_families import HueFamily, hue_family
from tenter.inference.likelihood import Responses, grade_probabilities
from tenter.inference.utility import Form, Shape

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


@dataclass(frozen=True)
class Judge:
    """One simulated client under one simulated analyst."""

    theta: FloatArray
    coordinates: FloatArray  # as the judge sees the cloths
    effects: FloatArray  # utility of each cloth beside its colour
    families: tuple[str, ...]
    rows: dict[str, int]
    shape: Shape
    sigma: float
    responses: Responses
    rng: np.random.Generator
    cap: float | None = None
    bias: float = 0.0
    hidden: Callable[[str, str], tuple[float, float]] | None = None
    _utilities: FloatArray = field(init=False)

    def __post_init__(self) -> None:
        utility = self.shape.utility(self.coordinates, self.theta[None, :])[:, 0] + self.effects
        if self.cap is not None:
            utility = np.maximum(utility, self.cap)
        object.__setattr__(self, "_utilities", utility)

    def judge(self, left: str, right: str) -> PairJudgement:
        """Return the answer to a pair."""
        a, b = self.rows[left], self.rows[right]
        sigma = self.sigma * (1.0 if self.families[a] == self.families[b] else 1.8)
        difference = self._utilities[a] - self._utilities[b] + self.bias
        chances = grade_probabilities(np.array(difference), np.array(sigma), self.responses)
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


def simulated_judge(kit: Kit, method: Method, world: World, theta: FloatArray, rng: np.random.Generator) -> Judge:
    """Return a judge of a client with the given ideal point."""
    x = method.coordinates(kit)
    judge = Judge(
        theta=theta,
        coordinates=x,
        effects=np.zeros(len(x)),
        families=kit.hue_families,
        rows={name: i for i, name in enumerate(kit.ids)},
        shape=Shape(Form.QUADRATIC),
        sigma=float(np.exp(rng.normal(0.0, 0.25))),
        responses=Responses(),
        rng=rng,
    )
    changes: dict[World, Callable[[], Judge]] = {
        World.AS_MODELLED: lambda: judge,
        World.CITY_BLOCK: lambda: replace(judge, shape=Shape(Form.CITY_BLOCK)),
        World.SATURATING: lambda: replace(judge, shape=Shape(Form.SATURATING)),
        World.CAPPED: lambda: replace(judge, cap=-2.0),
        World.UNEQUAL_AXES: lambda: replace(judge, shape=Shape(Form.QUADRATIC, _unequal(rng))),
        World.POSITION_BIAS: lambda: replace(judge, bias=0.4),
        World.LAPSES: lambda: replace(judge, responses=replace(judge.responses, lapse=0.15)),
        World.COORDINATE_ERRORS: lambda: replace(judge, coordinates=x + rng.normal(0, 0.25, x.shape)),
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
