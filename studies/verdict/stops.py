"""Whether to stop when Tenter says so: part `stops` of ./run bench verdict.

Each sitting goes on until it is finished in a category, finished between two, or thirty pairs are judged. Clients as
the model has them, clients moved onto the nearest border of their cell, and clients with several departures at once.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from studies.clients.scoring import wilson
from studies.clients.simulation import World, simulated_clients, simulated_judge
from studies.clients.targets import Target, at_least
from studies.clients.trials import study_kit, study_method
from tenter import NothingToPropose, Sitting
from tenter.arrays import FloatArray
from tenter.consultation.conventions.method import Method
from tenter.consultation.findings.ending import Ending, reached

LAST, _FIRST_LOOK = 30, 6
_SCREEN = 0.7  # below this of the two likeliest, on the coarse lattice, a sitting is not asked whether it is finished
_KITS = ("demo", "simulated 200")


class Whom(StrEnum):
    """Which clients."""

    AS_MODELLED = "as modelled"
    ON_A_BORDER = "on a border"
    MIXED = "mixed departures"


@dataclass(frozen=True)
class Stopped:
    """How one sitting ended: after how many pairs, in what, and which of that is the client's place."""

    whom: Whom
    ending: Ending
    pairs: int
    right: bool  # the named category, or one of the two, holds the ideal
    both: bool  # the two named are those whose border the client was put on
    touched: bool  # 90 % was stated at some moment


def stopped(whom: Whom, index: int, seed: int) -> Stopped:
    """Return how one simulated sitting ended."""
    method, kit = study_method(), study_kit(_KITS[index % len(_KITS)], seed)
    rng = np.random.default_rng([seed, index, 77])
    ideal = simulated_clients(method, 1, rng)[0]
    if whom is Whom.ON_A_BORDER:
        ideal = on_border(method, ideal)
    world = World.MIXED if whom is Whom.MIXED else World.AS_MODELLED
    judge, sitting, touched = simulated_judge(kit, method, world, ideal, rng), Sitting(kit, method, seed=index), False
    truth = nearest_two(method, ideal)
    found, told = Ending.UNFINISHED, truth
    n = 0
    for n in range(1, LAST + 1):
        try:
            sitting.record(judge.judge(*sitting.propose()))
        except NothingToPropose:
            break
        coarse = np.sort(sitting.planning_posterior.masses(sitting.planning_frame.categories))[::-1]
        if n < _FIRST_LOOK or coarse[:2].sum() < _SCREEN:
            continue
        odds = sitting.probabilities()
        touched = touched or max(odds.values()) >= 0.9
        told = tuple(sorted(odds, key=lambda c: -odds[c])[:2])
        found = reached(sitting, odds).ending
        if found is not Ending.UNFINISHED:
            break
    named = told[:1] if found is Ending.FINISHED else told
    own = truth[:1] if whom is not Whom.ON_A_BORDER else truth
    return Stopped(whom, found, n, bool(set(named) & set(own)), set(told) == set(truth), touched)


def nearest_two(method: Method, ideal: FloatArray) -> tuple[str, ...]:
    """Return the two categories whose prototypes lie nearest, the nearer first."""
    order = np.argsort(np.linalg.norm(method.prototypes - ideal, axis=1), kind="stable")
    return tuple(method.categories[i] for i in order[:2])


def on_border(method: Method, ideal: FloatArray) -> FloatArray:
    """Return an ideal (3,) moved onto the border between the two nearest categories."""
    one, other = (np.array(method.region(c).prototype) for c in nearest_two(method, ideal))
    normal = (other - one) / np.linalg.norm(other - one)
    moved: FloatArray = ideal - ((ideal - (one + other) / 2) @ normal) * normal
    return moved


def stops_table(found: Sequence[Stopped]) -> list[str]:
    """Return how sittings ended, and how often what they ended in was right."""
    lines = [f"\nSTOPS: the first moment at which a sitting is finished, within {LAST} pairs, two kits"]
    for whom in Whom:
        some = [one for one in found if one.whom is whom]
        if not some:
            continue
        told = []
        for ending in Ending:
            own = [one for one in some if one.ending is ending]
            right = f", right {_share(own)}" if own and ending is Ending.FINISHED else ""
            both = f", the very two {np.mean([o.both for o in own]):.2f}" if own and ending is Ending.BETWEEN else ""
            after = f" after {np.median([o.pairs for o in own]):.0f}" if own else ""
            told.append(f"{ending} {len(own) / len(some):.2f}{after}{right}{both}")
        touched = np.mean([one.touched for one in some])
        lines.append(f"  {whom:17s} n {len(some):3d}   {'   '.join(told)}   90 % touched {touched:.2f}")
    return lines


def _share(own: Sequence[Stopped]) -> str:
    right = sum(one.right for one in own)
    low, high = wilson(right, len(own))
    return f"{right / len(own):.3f} [{low:.2f}-{high:.2f}]"


def stops_targets(found: Sequence[Stopped]) -> list[Target]:
    """Return what is wanted of a sitting that is called finished."""
    wanted = ((Whom.AS_MODELLED, 0.95), (Whom.MIXED, 0.92))
    return [at_least(f"{whom}: right when finished", _right(found, whom), share) for whom, share in wanted]


def _right(found: Sequence[Stopped], whom: Whom) -> float:
    own = [one.right for one in found if one.whom is whom and one.ending is Ending.FINISHED]
    return float(np.mean(own)) if own else float("nan")
