"""What several photographs of one face know that one does not: `./run bench together [--count 24] [--seed 71]`.

Sets of five photographs of a rendered scene by one camera: each with its own exposure, white balance, noise and
compression, daylight and lamps a little warmer or cooler, and a card that gets more or less light than the face (a
normal logarithm, 0.08). The first one, two, three and five of a set are measured together and held against what a
perfect colorimeter would read; beside it the same with every card held as asked. The card is in one place in a scene
but its light is new in every photograph, as where it was moved; so its place is kept from the program.

Then pairs of which one has a fault of studies/scenes/card_light_faults.py: which part of them is said to disagree.
"""

import argparse
import logging
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import numpy as np

from studies.photo.photo_runs import PROCESSES, truth_of
from studies.scenes.cameras import CAMERAS
from studies.scenes.card_light_faults import card_mask, kinds
from studies.scenes.exposure import NO_FAULT, SKINS, Fault, Plan, Sight, ordinary_shot
from studies.scenes.photo_truth import Row, Truth, rows_of
from tenter.arrays import FloatArray
from tenter.measured.written_face import WrittenFace
from tenter.photo.face.measure import measure_face
from tenter.photo.files.loading import photo_from_bytes
from tenter.photo.regions.regions import SKIN
from tenter.photo.together.measure import FaceTogether, OneOfSeveral, measure_together

COUNTS = (1, 2, 3, 5)
_CARD_LIGHT = 0.08  # standard deviation of the logarithm of a card's light over the face's
_FAULTS = ("tilt", "shade", "sheen", "tint")
_KINDS_OF_LIGHT = ("day", "day", "day", "bulb", "bulb", "FL2", "FL11", "LED-B3", "LED-B5")


@dataclass(frozen=True)
class Taken:
    """What is said of a photograph, and what is truly in it."""

    face: WrittenFace
    truth: Truth

    @property
    def accepted(self) -> bool:
        return self.face.accepted


def in_other_light(sight: Sight, log_light: float) -> FloatArray:
    """Return a sight whose card gets more or less light, by a logarithm, than the scene gives it."""
    return sight.raw * np.exp(log_light * card_mask(sight.scene))[..., None]


def _light(kind: str, rng: np.random.Generator) -> str:
    middle = {"day": ("DAY", 5800), "bulb": ("BB", 2900)}.get(kind)
    return kind if middle is None else f"{middle[0]}{int(middle[1] * np.exp(rng.normal(0, 0.04)))}"


def plans_of_sets(count: int, seed: int, size: int) -> list[list[Plan]]:
    """Return sets of ordinary photographs, each of one face by one camera in nearly one light."""
    rng = np.random.default_rng(seed)
    sets = []
    for number in range(count):
        scene, camera, kind = SKINS[number % len(SKINS)], str(rng.choice(CAMERAS)), str(rng.choice(_KINDS_OF_LIGHT))
        tone = str(rng.choice(["linear", "s-curve"]))
        shots = [replace(ordinary_shot(rng), rotate=0.0, clip_stops=0.0, tone=tone) for _ in range(size)]
        sets.append([Plan(scene, _light(kind, rng), camera, shot) for shot in shots])
    return sets


def take(plan: Plan, fault: Fault = NO_FAULT) -> Taken:
    """Take one photograph and measure it."""
    logging.disable(logging.CRITICAL)
    exposure = plan.take(fault)
    measured = measure_face(photo_from_bytes(exposure.jpeg(), "exposure.jpg"))
    return Taken(measured.written(), truth_of(exposure))


def take_set(numbered: tuple[int, list[Plan]], spread: float) -> list[Taken]:
    """Take a set, the light on each card its own."""
    number, plans = numbered
    rng = np.random.default_rng([number, 4])
    lights = rng.normal(0, spread, len(plans))
    return [
        take(plan, Fault(on_light=partial(in_other_light, log_light=light)) if spread else NO_FAULT)
        for plan, light in zip(plans, lights, strict=True)
    ]


def take_pair(named: tuple[list[Plan], str, str]) -> tuple[str, list[Taken]]:
    """Take a pair whose second photograph has a fault."""
    (one, other), group, kind = named
    return group, [take(one), take(other, kinds()[group][kind])]


def together(taken: Sequence[Taken]) -> FaceTogether:
    return measure_together([replace(OneOfSeveral.of(one.face, f"{n}"), card=None) for n, one in enumerate(taken)])


def line(name: str, sets: Sequence[list[Taken]], count: int) -> str:
    """Return one line: error, cover and half-widths of the skin of the first accepted `count` of every set."""
    rows: list[Row] = []
    agree = []
    for taken in sets:
        accepted = [one for one in taken if one.accepted][:count]
        if len(accepted) == count:
            found = together(accepted)
            rows += [row for row in rows_of(accepted[0].truth, found.measured) if row.region in SKIN]
            agree.append(found.agreement is None or found.agreement.agree)
    if not rows:
        return f"{name:24s} none"
    errors, cover = [row.error for row in rows], np.mean([row.covered for row in rows], axis=0)
    half = np.median([row.half_width for row in rows], axis=0)
    return (
        f"{name:24s} {len(agree):4d}  {np.mean(agree):5.0%}  {np.median(errors):5.2f} {np.percentile(errors, 95):5.2f}"
        f"   {cover[0]:.2f} {cover[1]:.2f} {cover[2]:.2f}   {half[0]:.2f} {half[1]:.2f} {half[2]:.2f}"
    )


def lines(sets: Sequence[list[Taken]], what: str) -> list[str]:
    return [line(f"{count} {what}", sets, count) for count in COUNTS if count <= len(sets[0])]


def found_lines(pairs: Sequence[tuple[str, list[Taken]]]) -> list[str]:
    """Return in what part of the pairs, both accepted, the fault in one of them was told."""
    told = []
    for group in dict.fromkeys(group for group, _ in pairs):
        both = [taken for name, taken in pairs if name == group and all(one.accepted for one in taken)]
        refused = sum(name == group for name, _ in pairs) - len(both)
        said = [found.agreement is not None and not found.agreement.agree for found in map(together, both)]
        share = f"{np.mean(said):4.0%}" if said else "   –"
        told.append(f"{group:24s} {len(both):4d} pairs, told {share}; {refused} more had the one refused")
    return told


def _mapped(pool: ProcessPoolExecutor, one: Callable[[Any], Any], things: Sequence[Any]) -> list[Any]:
    return list(pool.map(one, things))


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--count", type=int, default=24, help="sets of five")
    parser.add_argument("--seed", type=int, default=71)
    parser.add_argument("--processes", type=int, default=PROCESSES)
    given = parser.parse_args()
    sets = plans_of_sets(given.count, given.seed, max(COUNTS))
    faults = [(group, kind) for group in _FAULTS for kind in kinds()[group]]
    twos = plans_of_sets(len(faults), given.seed + 1, 2)
    pairs = [(plans, *fault) for plans, fault in zip(twos, faults, strict=True)]
    with ProcessPoolExecutor(given.processes) as pool:
        print("                         sets  agree   ΔE00   p95   L*   a*   b*     ± L*   a*   b*")
        for what, spread in (("cards as asked", 0.0), (f"card light {_CARD_LIGHT}", _CARD_LIGHT)):
            taken = _mapped(pool, partial(take_set, spread=spread), list(enumerate(sets)))
            print("\n".join(lines(taken, what)), flush=True)
        print("\na fault of the card's light in one of two photographs")
        print("\n".join(found_lines(_mapped(pool, take_pair, pairs))))


if __name__ == "__main__":
    main()
