"""How often a comparison of two sittings claims a change, and finds one that is there: `./run bench resits`.

The same simulated client sits twice, with the same cloths, unchanged or moved by one bench unit along one axis. Prints
plain tables with a pass or fail beside every number wanted. The numbers depend on the seed and the sizes alone.
"""

import os

os.environ["OMP_NUM_THREADS"] = "1"

import argparse
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.stats import binomtest

from studies.clients.simulation import Judge, World
from studies.clients.targets import Target, at_least, at_most
from studies.clients.trials import Setting, client_judge, in_parallel
from tenter import Sitting
from tenter.consultation.axes import Axis
from tenter.consultation.compared.reanalysis import SHOWN_FROM, Sat, ShownChange, reanalysis

WORLDS = (World.AS_MODELLED, World.DRAPE_EFFECTS, World.MIXED)
MOVES = (0.0, 1.0)  # bench units


@dataclass(frozen=True)
class Resit:
    """What was said of one client who sat twice: the truth beside it."""

    world: World
    move: float
    shown: bool
    moved: float
    other_category: float
    is_other: bool
    held: bool  # whether the true shift lay within all three intervals


def resit(world: World, move: float, index: int, seed: int, pairs: int) -> Resit:
    """Return what is said of one client."""
    first = client_judge(Setting("resits", "demo", world), index, seed)
    rng = np.random.default_rng([seed, index, 21])
    axis = list(Axis)[index % len(Axis)].column
    step = np.eye(len(Axis))[axis] * move * (-1 if first.theta[axis] > 0 else 1)
    second = replace(first, theta=first.theta + step, sigma=float(np.exp(rng.normal(0, 0.25))), rng=rng)
    found = reanalysis(Sat(_sat(first, seed + index, pairs)), Sat(_sat(second, seed + index + 1000, pairs)))
    held = all(s.low <= step[s.axis.column] <= s.high for s in found.shifts)
    method = first.bench.method
    is_other = method.category_at(first.theta) != method.category_at(second.theta)
    return Resit(world, move, found.change is ShownChange.SHOWN, found.moved, found.other_category, is_other, held)


def _sat(judge: Judge, seed: int, pairs: int) -> Sitting:
    sitting = Sitting(judge.bench.kit, judge.bench.method, seed=seed)
    for _ in range(pairs):
        sitting.record(judge.judge(*sitting.propose()))
    return sitting


def table(found: Sequence[Resit], pairs: int) -> list[str]:
    """Return how often a change is claimed, in each world and for each move."""
    lines = [f"Clients who sat twice, {pairs} pairs each; a change is claimed from P(another place) {SHOWN_FROM:g}"]
    for world in WORLDS:
        for move in MOVES:
            some = _of(found, move, world)
            claimed = sum(r.shown for r in some)
            low, high = binomtest(claimed, len(some)).proportion_ci(method="wilson")
            lines.append(
                f"  {world:18s} moved by {move:g}  n {len(some):3d}   claimed {claimed / len(some):4.0%} "
                f"({low:.0%} to {high:.0%})   shift within the intervals {np.mean([r.held for r in some]):4.0%}   "
                f"other category: stated {np.mean([r.other_category for r in some]):4.0%}, "
                f"true {np.mean([r.is_other for r in some]):4.0%}"
            )
    return lines


def targets(found: Sequence[Resit]) -> list[Target]:
    """Return what is wanted: hardly a false claim, and about half of the moves found."""
    return [
        *(at_most(f"unchanged, claimed, {w}", 100 * _share(_of(found, 0.0, w)), 5, "%") for w in WORLDS),
        at_least("moved by 1 bench unit, found, as modelled", 100 * _share(_of(found, 1.0, WORLDS[0])), 45, "%"),
        at_least("shift within the intervals, all", 100 * float(np.mean([r.held for r in found])), 90, "%"),
    ]


def _of(found: Sequence[Resit], move: float, world: World) -> list[Resit]:
    return [r for r in found if r.world is world and r.move == move]


def _share(some: Sequence[Resit]) -> float:
    return float(np.mean([r.shown for r in some]))


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--clients", type=int, default=100, help="of each world and move")
    parser.add_argument("--pairs", type=int, default=20, help="in each sitting")
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--seed", type=int, default=5)
    options = parser.parse_args()
    jobs = [(w, m, i, options.seed, options.pairs) for w in WORLDS for m in MOVES for i in range(options.clients)]
    found = list(in_parallel(resit, jobs, options.processes))
    print("\n".join(table(found, options.pairs)))
    for target in targets(found):
        print(target)


if __name__ == "__main__":
    main()
