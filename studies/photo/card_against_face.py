"""Photographs whose card gets another amount or colour of light than the face: part `against` of ./run bench photo.

Alone: python -m studies.photo.card_against_face [--count 1] [--seed 51] [--only tilt shade] [--world real] [--rows].

The truth is that of the undisturbed scene: what a perfect colorimeter reads on the face, relative to the card held as
asked, beside the jaw, parallel to the face, unshaded and without sheen.

Of an accepted photograph: it is *wrong* where the median ΔE00 of its regions of skin exceeds 4.3, and *outside* where
L*, a* or b* is off, in the median of its regions of skin, by more than the median half-width of that axis. The share
*inside* of L*, a* and b* counts regions: within a photograph first, then over the photographs.
"""

import argparse
import logging
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from studies.clients.targets import Target, at_least, at_most
from studies.photo.photo_gate import WRONG
from studies.photo.photo_runs import Run, run_all
from studies.scenes.cameras import CAMERAS, LIGHTS
from studies.scenes.card_light_faults import kinds
from studies.scenes.exposure import NO_FAULT, Exposure, Fault, Plan, ordinary_shot
from studies.scenes.real_world import WORLDS, in_world
from tenter.photo.face.result import PhotoVerdict
from tenter.photo.reasons import NOTES

SCENES = ("p4", "p8", "p6", "p1", "p10")  # dark, tan, light, very light, dark; two lit from the side
UNDISTURBED = "undisturbed"
HEADING = "                                    n  taken  wrong  and outside   ΔE00   L*   a*   b*    ± L*  a*  b*  said"


@dataclass(frozen=True)
class AgainstPlan:
    """One photograph to be taken with one fault."""

    plan: Plan
    group: str
    kind: str

    def take(self) -> Exposure:
        return self.plan.take(_fault(self.group, self.kind))


@dataclass(frozen=True)
class Against:
    """A photograph with a fault, and what became of it."""

    group: str
    kind: str
    run: Run

    @property
    def accepted(self) -> bool:
        return self.run.verdict is not PhotoVerdict.REFUSED and bool(self.run.skin)

    @property
    def wrong(self) -> bool:
        return self.run.error > WRONG

    @property
    def outside(self) -> bool:
        off = np.median([row.lab - row.true_lab for row in self.run.skin], axis=0)
        half = np.median([row.half_width for row in self.run.skin], axis=0)
        return bool((np.abs(off) > half).any())


def _fault(group: str, kind: str) -> Fault:
    return NO_FAULT if group == UNDISTURBED else kinds()[group][kind]


def against_plans(count: int, seed: int, only: Sequence[str] = ("",), world: str = "rendered") -> list[AgainstPlan]:
    """Return photographs of every kind whose name or group holds one of `only`: so many of each of the five scenes.

    Each kind has lights, cameras and shots of its own; the undisturbed ones come first.
    """
    named = [(UNDISTURBED, UNDISTURBED), *((group, kind) for group, some in kinds().items() for kind in some)]
    plans = []
    for number, (group, kind) in enumerate(named):
        if any(part in f"{group} {kind}" for part in (*only, UNDISTURBED)):
            plans += [
                AgainstPlan(plan, group, kind)
                for plan in in_world(_base(count, seed + 1000 * number), world, seed + number)
            ]
    return plans


def _base(count: int, seed: int) -> list[Plan]:
    """Return ordinary photographs by one kind of lamp, upright and not overexposed, of each scene in turn."""
    rng = np.random.default_rng(seed)
    lights, cameras = rng.permutation(LIGHTS), rng.permutation(CAMERAS)
    return [
        Plan(
            scene,
            str(lights[k % len(lights)]),
            str(cameras[k % len(cameras)]),
            replace(ordinary_shot(rng), rotate=0.0, clip_stops=0.0),
        )
        for k, scene in enumerate(SCENES * count)
    ]


def against_runs(plans: Sequence[AgainstPlan]) -> list[Against]:
    """Take and measure them."""
    runs = run_all(plans, "card against face")
    return [Against(plan.group, plan.kind, run) for plan, run in zip(plans, runs, strict=True)]


def against_table(taken: Sequence[Against]) -> list[str]:
    """Return what became of every kind, of every group, and of all that were disturbed."""
    lines = [HEADING]
    for group in dict.fromkeys(one.group for one in taken):
        some = [one for one in taken if one.group == group]
        lines += [_line(kind, [o for o in some if o.kind == kind]) for kind in dict.fromkeys(o.kind for o in some)]
        lines += [_line(f"all of {group}", some), ""] if group != UNDISTURBED else [""]
    return [*lines, _line("all but the undisturbed", disturbed(taken))]


def disturbed(taken: Sequence[Against]) -> list[Against]:
    return [one for one in taken if one.group != UNDISTURBED]


def _line(name: str, some: Sequence[Against]) -> str:
    accepted = [one for one in some if one.accepted]
    codes = Counter(code for one in some for code in one.run.codes if code not in {"uneven_light", "file_note"})
    notes = {str(note) for note in NOTES}
    said = ", ".join(f"{'' if code in notes else '!'}{code} {n}" for code, n in codes.most_common())
    if not accepted:
        return f"{name:34s} {len(some):4d} {0:6d}{' ' * 60}{said}".rstrip()
    wrong, both = _shares(accepted)
    inside, half = _inside(accepted), np.median([row.half_width for one in accepted for row in one.run.skin], axis=0)
    error = np.median([one.run.error for one in accepted])
    return (
        f"{name:34s} {len(some):4d} {len(accepted):6d}  {wrong:5.0%}  {both:11.0%}  {error:5.2f}   "
        f"{inside[0]:.2f} {inside[1]:.2f} {inside[2]:.2f}  {half[0]:5.1f} {half[1]:3.1f} {half[2]:3.1f}  {said}"
    ).rstrip()


def _shares(accepted: Sequence[Against]) -> tuple[float, float]:
    """Return which part of the accepted is wrong, and which is wrong and outside."""
    return (
        float(np.mean([one.wrong for one in accepted])),
        float(np.mean([one.wrong and one.outside for one in accepted])),
    )


def _inside(accepted: Sequence[Against]) -> list[float]:
    """Return how often L*, a* and b* of a region lie within their intervals: mean of a photograph, then of all."""
    cover = np.mean([np.mean([row.covered for row in one.run.skin], axis=0) for one in accepted], axis=0)
    return [float(part) for part in cover]


def against_targets(taken: Sequence[Against]) -> list[Target]:
    """Return what is wanted of all the accepted."""
    accepted = [one for one in disturbed(taken) if one.accepted]
    if not accepted:
        return [at_least("card against face: accepted", 0, 1)]
    wrong, both = _shares(accepted)
    inside = _inside(accepted)
    return [
        at_most(f"card against face, wrong and outside, of {len(accepted)}", 100 * both, 3, "%"),
        at_least("the same, L* inside", 100 * inside[0], 85, "%"),
        at_most(f"the same, wrong at all (ΔE00 > {WRONG}; an aim)", 100 * wrong, 8, "%"),
    ]


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--count", type=int, default=1, help="photographs of each kind and scene")
    parser.add_argument("--seed", type=int, default=51)
    parser.add_argument("--only", nargs="+", default=[""], help="kinds or groups whose name holds one of these")
    parser.add_argument("--world", choices=WORLDS, default=WORLDS[0])
    parser.add_argument("--rows", action="store_true", help="every photograph on a line of its own")
    given = parser.parse_args()
    logging.disable(logging.CRITICAL)
    taken = against_runs(against_plans(given.count, given.seed, given.only, given.world))
    if given.rows:
        print("\n".join(_line(f"{one.kind}, {one.run.truth.scene}", [one]) for one in taken))
    print("\n".join([*against_table(taken), "", *(str(target) for target in against_targets(taken))]))


if __name__ == "__main__":
    main()
