"""Faces read by our own card: eight prints, each calibrated once beside the classic chart, in every light."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache

import numpy as np

from cameras import CAMERAS
from exposure import SKINS, Exposure, Plan, every_skin_in_every_light, expose
from own_card_scene import calibration_photograph, own_scene, printed_card
from photo_accuracy import table
from photo_runs import Plannable, Run, run_all, run_one
from targets import Target, at_most
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.photo.card import CardChoice, ChartKind
from tenter.photo.correction import D65_WHITE
from tenter.photo.loading import Photo
from tenter.photo.own_card_calibration import calibrate_own_card
from tenter.photo.own_card_values import OwnCardValues
from tenter.photo.result import Verdict

PRINTS = range(1, 9)
_TODAY = date(2026, 11, 25)


@dataclass(frozen=True)
class OwnPlan:
    """A photograph with one print of our own card in the place of the classic one."""

    plan: Plan
    serial: int

    def take(self) -> Exposure:
        scene = own_scene(self.plan.scene, self.serial)
        return expose(scene, self.plan.lights, self.plan.camera, self.plan.shot)


@cache
def calibrated(serial: int) -> OwnCardValues:
    """Return the values of a print from one photograph; one that is refused is taken again."""
    camera = CAMERAS[serial % len(CAMERAS)]
    for seed in range(10 * serial, 10 * serial + 10):
        picture = calibration_photograph(printed_card(serial), seed, camera)
        values = calibrate_own_card(Photo(picture), _TODAY).values
        if values is not None:
            return values
    raise ValueError(f"print {serial} was refused in ten photographs")


def run_own(plan: Plannable) -> Run:
    """Take one photograph and measure it by its own card."""
    if not isinstance(plan, OwnPlan):
        raise TypeError(f"{plan!r} has no card of our own")
    return run_one(plan, chart=CardChoice(ChartKind.OWN, own=calibrated(plan.serial)))


def own_runs(count: int, seed: int) -> list[Run]:
    plans = every_skin_in_every_light(SKINS, count, seed)
    return run_all([OwnPlan(plan, PRINTS[k % len(PRINTS)]) for k, plan in enumerate(plans)], "own card", run_own)


def value_errors() -> list[float]:
    """Return ΔE00 of every patch's stored value from what was printed."""
    errors: list[float] = []
    for serial in PRINTS:
        true_lab = xyz_to_lab(printed_card(serial).xyz, D65_WHITE)
        errors += list(delta_e_2000(xyz_to_lab(calibrated(serial).xyz, D65_WHITE), true_lab))
    return errors


def own_table(runs: Sequence[Run]) -> list[str]:
    """Return what the prints' stored values are worth, and the table of the faces read by them."""
    errors, accepted = value_errors(), [run for run in runs if run.verdict is not Verdict.REFUSED]
    return [
        f"{len(PRINTS)} prints, stored values: ΔE00 {np.median(errors):.2f}, 95 of 100 {np.percentile(errors, 95):.2f}",
        f"{len(runs)} photographs, {len(accepted)} accepted",
        *(f"refused: {', '.join(run.codes)}" for run in runs if run.verdict is Verdict.REFUSED),
        *table(accepted),
    ]


def own_targets(runs: Sequence[Run]) -> list[Target]:
    """Return what is wanted of the skin (lips apart) by our own card."""
    errors = [row.error for run in runs for row in run.skin]
    return [
        at_most("skin by our own card, ΔE00, median", float(np.median(errors)), 1.0),
        at_most("the same, 95 of 100", float(np.percentile(errors, 95)), 2.5),
    ]
