"""How often the gate errs: good photographs refused, spoiled or wrong ones accepted."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from studies.clients.targets import Target, at_most
from studies.photo.photo_runs import Run, run_all
from studies.scenes.exposure import SKINS, Plan, every_skin_in_every_light
from studies.scenes.real_world import in_world
from studies.scenes.spoils import SEVERITIES, Spoil, SpoiledPlan, spoiled_plans
from tenter.photo.face.result import PhotoVerdict

WRONG = 4.3  # median ΔE00 of the skin from which a photograph is wrong, whatever was done to it
_ONE_LIGHT = "D50"
_WHITE_PART = 0.1  # of the skin with a channel at white: above it an ordinary photograph is not a good one


@dataclass(frozen=True)
class Trial:
    """A photograph spoiled on purpose, and what became of it."""

    spoil: Spoil
    severity: int
    run: Run


def unspoiled(count: int, seed: int, world: str = "rendered") -> list[Plan]:
    """Return ordinary photographs: neither overexposed nor by two lamps; noise, tilt and softness as they come."""
    plans = [
        replace(
            plan,
            lights=plan.lights if isinstance(plan.lights, str) else _ONE_LIGHT,
            shot=replace(plan.shot, clip_stops=0.0),
        )
        for plan in every_skin_in_every_light(SKINS, count, seed)
    ]
    return in_world(plans, world, seed)


def gate_runs(count: int, seed: int, world: str = "rendered") -> tuple[list[Run], list[Trial]]:
    """Return good photographs and spoiled ones, as many of each."""
    taken = run_all(unspoiled(count, seed + 1, world), "good photographs")
    good = [run for run in taken if run.overexposed <= _WHITE_PART]
    print(
        f"{len(taken) - len(good)} of the good photographs are left out: more than a tenth of the skin is overexposed"
    )
    plans = [replace(plan, shot=replace(plan.shot, rotate=0.0)) for plan in unspoiled(count, seed + 2, world)]
    spoiled: list[SpoiledPlan] = spoiled_plans(plans)
    trials = [
        Trial(plan.spoil, plan.severity, run)
        for plan, run in zip(spoiled, run_all(spoiled, "spoiled photographs"), strict=True)
    ]
    return good, trials


def gate_table(good: Sequence[Run], trials: Sequence[Trial]) -> list[str]:
    """Return what became of them, by what was spoiled and how badly, and the median skin error of what was accepted."""
    lines = ["                                       n  accepted  wider  refused   ΔE00 accepted  refused for"]
    lines.append(_line("good", good))
    for spoil in Spoil:
        for severity, word in enumerate(SEVERITIES):
            some = [t.run for t in trials if t.spoil is spoil and t.severity == severity]
            lines.append(_line(f"{spoil}, {word}", some))
    return lines


def _line(name: str, runs: Sequence[Run]) -> str:
    count = Counter(run.verdict for run in runs)
    taken = [run.error for run in runs if run.verdict is not PhotoVerdict.REFUSED and run.skin]
    error = f"{np.median(taken):5.2f}, most {max(taken):5.2f}" if taken else " " * 17
    codes = Counter(code for run in runs if run.verdict is PhotoVerdict.REFUSED for code in run.codes)
    told = ", ".join(code for code, _ in codes.most_common() if code != "uneven_light")
    return (
        f"{name:36s} {len(runs):3d} {count[PhotoVerdict.ACCEPTED]:9d} {count[PhotoVerdict.WIDER]:6d}"
        f" {count[PhotoVerdict.REFUSED]:8d}   {error}  {told}"
    ).rstrip()


def gate_targets(good: Sequence[Run], trials: Sequence[Trial]) -> list[Target]:
    """Return both error rates, by what was done to the photograph and by its own error."""
    refused = [run for run in good if run.verdict is PhotoVerdict.REFUSED]
    worst = [t.run for t in trials if t.severity == len(SEVERITIES) - 1]
    passed = [run for run in worst if run.verdict is not PhotoVerdict.REFUSED]
    accepted = [
        run for run in (*good, *(t.run for t in trials)) if run.verdict is not PhotoVerdict.REFUSED and run.skin
    ]
    wrong = [run for run in accepted if run.error > WRONG]
    return [
        at_most(f"good photographs refused, of {len(good)}", len(refused), 0),
        at_most(f"worst ones accepted, of {len(worst)}", len(passed), 0),
        at_most(
            f"accepted and wrong (ΔE00 > {WRONG}), part of {len(accepted)}", 100 * len(wrong) / len(accepted), 1, "%"
        ),
    ]
