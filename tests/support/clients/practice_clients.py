"""The clients of the practice checks: kits, answers without noise, and what a sitting of them comes to.

The practice checks are rules of the trade as laws, each on the bundled kit and on a copy with every cloth moved by
ΔE00 2. All of them are common practice, no source; the marks before each test say so again, with the rule.
"""

from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from scipy.optimize import brentq

from studies.clients.simulation import simulated_kit
from tenter import Answer, Kit, Method, PairJudgement, Palette, Sitting, Verdict
from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.consultation.axes import Axis
from tenter.consultation.palette.palette import palette

CATEGORIES = Method.bundled().categories
WARM, COOL = ("spring", "autumn"), ("summer", "winter")
# Pairs that differ in undertone alone, as coordinates show, warm cloth first; the dark one can hardly show anything.
VISIBLE_PAIRS = [("D061", "D062"), ("D063", "D064"), ("D065", "D066"), ("D067", "D068"), ("D071", "D072")]
DARK_PAIR = ("D069", "D070")


def moved(lab: FloatArray, rng: np.random.Generator) -> FloatArray:
    """Return colours ΔE00 2 away, each in a direction of its own."""
    directions = rng.normal(size=lab.shape)
    directions /= np.linalg.norm(directions, axis=1, keepdims=True)

    def reached(colour: FloatArray, direction: FloatArray) -> FloatArray:
        length = brentq(lambda t: float(delta_e_2000(colour, colour + t * direction)) - 2, 0, 12)
        return colour + length * direction

    return np.array([reached(c, d) for c, d in zip(lab, directions, strict=True)])


def copied(kit: Kit, lab: FloatArray, extra: dict[str, tuple[float, float, float]] | None = None) -> Kit:
    """Return the kit at other colours, families and hand-set undertones kept, with more browns if any are given."""
    more = extra or {}
    return Kit.from_lab(
        [*kit.ids, *more],
        [*lab, *more.values()],
        [*kit.hue_families, *["brown"] * len(more)],
        undertone={d.id: d.undertone for d in kit.drapes if d.undertone is not None},
    )


@lru_cache
def kit_named(name: str) -> Kit:
    """Return the bundled kit, a copy of it with every cloth moved, or "another": a simulated one of 120 cloths."""
    if name == "another":
        return simulated_kit(120, np.random.default_rng([3, 120]))
    kit = Kit.demo()
    return kit if name == "bundled" else copied(kit, moved(kit.lab, np.random.default_rng(20)))


def undertone_answers(
    side: str, strength: int = 3, pairs: list[tuple[str, str]] = VISIBLE_PAIRS
) -> list[PairJudgement]:
    winner = Answer.LEFT if side == "warm" else Answer.RIGHT
    return [PairJudgement(*pair, winner, strength) for pair in pairs]


def mean(sitting: Sitting, axis: str) -> float:
    return sitting.estimates()[Axis(axis)].mean


def width(sitting: Sitting, axis: str) -> float:
    estimate = sitting.estimates()[Axis(axis)]
    return estimate.high - estimate.low


def of_side(sitting: Sitting, seasons: tuple[str, str]) -> float:
    return sum(sitting.season_probabilities()[s] for s in seasons)


SCRIPT = [
    ("D063", "D064"),
    ("D071", "D072"),
    ("D065", "D066"),
    ("D082", "D083"),
    ("D084", "D085"),
    ("D073", "D075"),
    ("D076", "D078"),
    ("D079", "D081"),
]


def answer_of(theta: FloatArray, left: FloatArray, right: FloatArray) -> tuple[Answer, int]:
    """Return what a face with its ideal at theta would show of two cloths, were there no noise."""
    utilities = [-float(np.sum((cloth - theta) ** 2)) / 2 for cloth in (left, right)]
    gain = utilities[0] - utilities[1]
    if abs(gain) < 0.35:
        level = sum(utilities) / 2
        return (Answer.BOTH_GOOD if level > -1 else Answer.BOTH_WRONG if level < -3 else Answer.NOTHING_SEEN), 1
    return (Answer.LEFT if gain > 0 else Answer.RIGHT), (3 if abs(gain) > 1.2 else 1)


def flags_of(theta: FloatArray, cloths: list[tuple[str, FloatArray]]) -> Iterator[str]:
    words = (("too-warm", "too-cool"), ("too-light", "too-dark"), ("too-bright", "too-soft"))
    for name, position in cloths:
        axis = int(np.argmax(np.abs(position - theta)))
        if abs(position[axis] - theta[axis]) > 0.8:
            yield f"{name}:{words[axis][0 if position[axis] > theta[axis] else 1]}"


class Served(NamedTuple):
    sitting: Sitting
    verdict: Verdict
    palette: Palette


def served(kit: Kit, method: Method, theta: FloatArray) -> Served:
    """Return the sitting of a client whose ideal is theta, answered by script."""
    where = dict(zip(kit.ids, method.coordinates(kit), strict=True))
    sitting = Sitting(kit, method, seed=7)
    for left, right in SCRIPT:
        answer, strength = answer_of(theta, where[left], where[right])
        flags = tuple(flags_of(theta, [(left, where[left]), (right, where[right])]))
        sitting.record(PairJudgement(left, right, answer, strength, flags=flags))
    verdict = sitting.verdict()
    found = Served(sitting, verdict, palette(sitting, verdict))
    sitting.rest()  # dozens of clients are kept, and 50 MB of each is for odds that hardly any check asks for again
    return found


@lru_cache(maxsize=32)  # the categories on both kits, and a few
def served_at(kit: Kit, method: Method, theta: tuple[float, ...]) -> Served:
    return served(kit, method, np.array(theta))
