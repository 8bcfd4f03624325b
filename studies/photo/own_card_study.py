"""Faces read by our own card in every light: eight prints, each calibrated beside the classic chart.

Once by one photograph in daylight, as the sheet asks, and once by a second one too, under an incandescent lamp.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache

import numpy as np

from studies.clients.targets import Target, at_most
from studies.photo.photo_accuracy import table
from studies.photo.photo_runs import Plannable, Run, run_all, run_one
from studies.scenes.cameras import CAMERAS
from studies.scenes.exposure import SKINS, Exposure, Plan, every_skin_in_every_light, expose
from studies.scenes.own_card_scene import DYED, calibration_photograph, own_scene, printed_card
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.photo.cards import CardChoice, ChartKind
from tenter.photo.face.result import PhotoVerdict
from tenter.photo.files.loading import Photo
from tenter.photo.own_card.calibration import calibrate_own_cards
from tenter.photo.own_card.values import OwnCardValues
from tenter.photo.patches.correction import D65_WHITE

PRINTS = range(1, 9)
DYED_PRINTS = range(DYED + 1, DYED + 9)  # by another kind of printer: only their stored values are studied
_LAMPS = (None, "A")  # daylight of one kind or another, then an incandescent lamp
_TODAY = date(2026, 11, 25)


@dataclass(frozen=True)
class OwnPlan:
    """A photograph with one print of our own card in the place of the classic one."""

    plan: Plan
    serial: int
    photographs: int = 1  # that the print was calibrated by

    def take(self) -> Exposure:
        scene = own_scene(self.plan.scene, self.serial)
        return expose(scene, self.plan.lights, self.plan.camera, self.plan.shot)


@cache
def calibrated(serial: int, photographs: int = 1) -> OwnCardValues:
    """Return the values of a print from its first photographs."""
    [values] = calibrate_own_cards((_usable(serial, lamp) for lamp in _LAMPS[:photographs]), _TODAY).values
    return values


@cache
def _usable(serial: int, lamp: str | None) -> Photo:
    """Return a photograph to calibrate a print by; one that is refused is taken again."""
    camera, first = CAMERAS[serial % len(CAMERAS)], 100 * serial + 10 * _LAMPS.index(lamp)
    for seed in range(first, first + 10):
        photo = Photo(calibration_photograph(printed_card(serial), seed, camera, lamp))
        if calibrate_own_cards([photo], _TODAY).values:
            return photo
    raise ValueError(f"print {serial} was refused in ten photographs")


def run_own(plan: Plannable) -> Run:
    """Take one photograph and measure it by its own card."""
    if not isinstance(plan, OwnPlan):
        raise TypeError(f"{plan!r} has no card of our own")
    return run_one(plan, chart=CardChoice(ChartKind.OWN, own=calibrated(plan.serial, plan.photographs)))


def own_runs(count: int, seed: int, photographs: int = 1) -> list[Run]:
    plans = every_skin_in_every_light(SKINS, count, seed)
    own = [OwnPlan(plan, PRINTS[k % len(PRINTS)], photographs) for k, plan in enumerate(plans)]
    return run_all(own, "own card", run_own)


def value_errors(photographs: int = 1, prints: Sequence[int] = PRINTS) -> list[float]:
    """Return ΔE00 of every patch's stored value from what was printed."""
    errors: list[float] = []
    for serial in prints:
        true_lab = xyz_to_lab(printed_card(serial).xyz, D65_WHITE)
        errors += list(delta_e_2000(xyz_to_lab(calibrated(serial, photographs).xyz, D65_WHITE), true_lab))
    return errors


def own_table(runs: Sequence[Run], photographs: int = 1) -> list[str]:
    """Return what the prints' stored values are worth, and the table of the faces read by them."""
    errors, dyed = value_errors(photographs), value_errors(photographs, DYED_PRINTS)
    accepted = [run for run in runs if run.verdict is not PhotoVerdict.REFUSED]
    return [
        f"{len(PRINTS)} prints, photographs each was calibrated by: {photographs}; stored values off by "
        f"ΔE00 {np.median(errors):.2f}, 95 of 100 {np.percentile(errors, 95):.2f}",
        f"prints of dyes in continuous tone, the same: {np.median(dyed):.2f}, 95 of 100 {np.percentile(dyed, 95):.2f}",
        f"{len(runs)} photographs, {len(accepted)} accepted",
        *(f"refused: {', '.join(run.codes)}" for run in runs if run.verdict is PhotoVerdict.REFUSED),
        *table(accepted),
    ]


def own_targets(runs: Sequence[Run], photographs: int = 1) -> list[Target]:
    """Return what is wanted of the skin (lips apart) by our own card."""
    errors, by = [row.error for run in runs for row in run.skin], f"(calibrated by {photographs})"
    return [
        at_most(f"skin by our own card {by}, ΔE00, median", float(np.median(errors)), 1.0),
        at_most("the same, 95 of 100", float(np.percentile(errors, 95)), 2.5),
    ]
