"""Rendered photographs taken and measured, several at a time."""

import logging
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import cached_property
from itertools import islice
from typing import Protocol

import numpy as np
from rich.console import Console
from rich.progress import track

from studies.photo.photo_peers import peer_labs
from studies.scenes.exposure import Exposure
from studies.scenes.photo_truth import Row, Truth, rows_of
from tenter.arrays import FloatArray
from tenter.colorimetry.measurement import D65_2
from tenter.colorimetry.reflectance import reflectance_to_lab
from tenter.colorimetry.typology import individual_typology_angle, ita_class
from tenter.photo.cards import CardChoice, ChartKind
from tenter.photo.face.measure import measure_face
from tenter.photo.face.result import PhotoVerdict
from tenter.photo.files.loading import photo_from_bytes
from tenter.photo.regions.regions import SKIN, Region

PROCESSES = 2
_WHITE_CODE = 250


class Plannable(Protocol):
    """A photograph to be taken."""

    def take(self) -> Exposure: ...


@dataclass(frozen=True)
class Run:
    """What became of one photograph; `peers` holds what others make of the same patches and regions.

    overexposed: part of the skin, where it truly lies, with a channel at white.
    """

    truth: Truth
    lights: tuple[str, ...]
    camera: str
    verdict: PhotoVerdict
    codes: tuple[str, ...]
    rows: tuple[Row, ...]
    peers: dict[str, dict[Region, FloatArray]]
    overexposed: float = 0.0

    @property
    def light(self) -> str:
        return self.lights[0] if len(set(self.lights)) == 1 else "two lamps"

    @cached_property
    def skin(self) -> list[Row]:
        """The rows of skin: lips apart."""
        return [row for row in self.rows if row.region in SKIN]

    @property
    def error(self) -> float:
        """Median ΔE00 of the skin."""
        return float(np.median([row.error for row in self.skin])) if self.skin else float("nan")


def truth_of(exposure: Exposure) -> Truth:
    """Return what is in a photograph."""
    skin_lab = {
        name: reflectance_to_lab(r.astype(float), D65_2.illuminant, D65_2.observer)
        for name, r in exposure.reflectance.items()
    }
    skin = ita_class(float(individual_typology_angle(skin_lab["all_skin"])))
    return Truth(exposure.scene.name, skin, exposure.xyz_d65, exposure.pixels, skin_lab)


def run_one(plan: Plannable, peers: bool = False, chart: ChartKind | CardChoice = ChartKind.CLASSIC24) -> Run:
    """Take one photograph and measure it."""
    logging.disable(logging.CRITICAL)
    exposure = plan.take()
    photo = photo_from_bytes(exposure.jpeg(), "exposure.jpg")
    measured, truth = measure_face(photo, chart), truth_of(exposure)
    return Run(
        truth,
        exposure.lights,
        exposure.camera,
        measured.verdict,
        tuple(str(reason.code) for reason in measured.reasons),
        tuple(rows_of(truth, measured)),
        peer_labs(photo) if peers and measured.accepted else {},
        overexposed(exposure),
    )


def overexposed(exposure: Exposure) -> float:
    """Return the part of the true skin with a channel at white; 0 where the picture was cut or turned by a quarter."""
    scene = exposure.scene
    if exposure.picture.shape[:2] != scene.label.shape:
        return 0.0
    skin = exposure.picture[np.isin(scene.label, scene.regions["all_skin"])]
    return float((skin >= _WHITE_CODE).any(axis=1).mean())


def run_with_peers(plan: Plannable) -> Run:
    """Take one photograph, measure it, and let the peers read it too."""
    return run_one(plan, peers=True)


def run_all(plans: Sequence[Plannable], what: str, one: Callable[[Plannable], Run] = run_one) -> list[Run]:
    """Take and measure photographs, two at a time, with a bar on the terminal."""
    with ProcessPoolExecutor(PROCESSES) as pool:
        runs = track(pool.map(one, plans, chunksize=4), what, total=len(plans), console=Console(stderr=True))
        return list(islice(runs, len(plans)))
