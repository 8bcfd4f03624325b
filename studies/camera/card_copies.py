"""How often a print of the classic card is told from the card.

Run it by `python -m studies.camera.card_copies [--count 40] [--seed 71]`.

Each photograph is taken twice: of the card, and of an invented print of it (sheet_prior.py, by other printers
than those the program knows). Beside the number refused as another card are the log odds of a copy and the mean error
of patches left out, which decide it.
"""

import argparse
import logging
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from functools import cache, partial

import numpy as np

from studies.photo.photo_runs import PROCESSES
from studies.scenes.exposure import (
    FIRST_PATCH,
    NO_FAULT,
    SKINS,
    Exposure,
    Plan,
    Scene,
    every_skin_in_every_light,
    expose,
)
from studies.scenes.real_world import WORLDS, in_world
from tenter.arrays import FloatArray
from tenter.colorimetry.spaces import XYZ_TO_SRGB, encode_srgb
from tenter.photo.card.calibration import calibrate
from tenter.photo.card.copies import copy_reasons
from tenter.photo.card.evidence import card_evidence
from tenter.photo.files.loading import photo_from_bytes
from tenter.photo.own_card.sheet_prior import invented_prints
from tenter.photo.patches.chart import find_chart
from tenter.photo.patches.reference import classic24

_OF_INKS, _OF_DYES, _SEED = 10, 14, 77


@cache
def unseen_prints() -> FloatArray:
    """Return reflectances (24 prints, 24, 81) of prints that `card_evidence.invented_copies` does not hold."""
    codes = np.clip(encode_srgb(np.clip(classic24().xyz @ XYZ_TO_SRGB.T, 0, 1)), 0, 1)
    return invented_prints(codes, _OF_INKS, _OF_DYES, _SEED)


@dataclass(frozen=True)
class Outcome:
    """What was made of a card: log odds of a copy (None with too few patches), mean error left out, and refused."""

    log_odds: float | None
    left_out: float
    refused: bool


def printed(scene: Scene, reflectances: FloatArray) -> Scene:
    """Return a scene whose card is a print (24, 81) of the classic one."""
    basis = scene.basis.astype(float)
    for k, factor in enumerate(reflectances / scene.patch_reflectance):
        (row,) = np.unique(scene.material[scene.label == FIRST_PATCH + k])
        basis[row] = basis[row] * factor
    return replace(scene, basis=basis, patch_reflectance=reflectances)


def taken(plan: Plan, of_print: FloatArray | None) -> Exposure:
    """Return the photograph of a plan, of the card or of a print of it."""
    scene = plan.setting() if of_print is None else printed(plan.setting(), of_print)
    return expose(scene, plan.lights, plan.camera, plan.shot, plan.through(NO_FAULT))


def outcome(numbered: tuple[int, Plan], copy: bool) -> Outcome | None:
    """Return what becomes of one card; None where it is not found."""
    logging.disable(logging.CRITICAL)
    number, plan = numbered
    of_print = unseen_prints()[number % len(unseen_prints())] if copy else None
    photo = photo_from_bytes(taken(plan, of_print).jpeg(), "x.jpg")
    found = find_chart(photo)
    calibration = found and calibrate(classic24(), (found, found.turned_half()), photo)
    if not calibration:
        return None
    evidence = card_evidence(calibration)
    odds = None if evidence is None else evidence.log_odds_of_copy
    return Outcome(odds, calibration.leave_one_out.mean, bool(copy_reasons(calibration, evidence)))


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--count", type=int, default=40)
    parser.add_argument("--seed", type=int, default=71)
    parser.add_argument("--world", choices=WORLDS, default=WORLDS[0])
    parser.add_argument("--show", action="store_true", help="log odds and error of each")
    given = parser.parse_args()
    plans = in_world(every_skin_in_every_light(SKINS, given.count, given.seed), given.world, given.seed)
    print(f"{given.world} world            n  refused  log odds: least, 5 %, half, 95 %, most   left out: half, most")
    with ProcessPoolExecutor(PROCESSES) as pool:
        for name, copy in (("genuine cards", False), ("prints", True)):
            found = list(pool.map(partial(outcome, copy=copy), enumerate(plans)))
            print(_line(name, [one for one in found if one is not None]))
            if given.show:
                print("  ".join(f"{o.log_odds:.0f}/{o.left_out:.1f}" for o in found if o and o.log_odds is not None))


def _line(name: str, some: Sequence[Outcome]) -> str:
    odds = np.percentile([one.log_odds for one in some if one.log_odds is not None], (0, 5, 50, 95, 100))
    errors = np.percentile([one.left_out for one in some], (50, 100))
    refused = sum(one.refused for one in some)
    told = " ".join(f"{value:6.0f}" for value in odds)
    return f"{name:24s}{len(some):4d}  {refused:7d}  {told}   {errors[0]:5.2f} {errors[1]:5.2f}"


if __name__ == "__main__":
    main()
