"""Rendered faces beside a grey card or a sheet of white paper, and how well their colours are read by it.

    python -m studies.photo.neutral_scene grey|paper [--count 200] [--seed 12]

The neutral lies in the place of the classic card and in its light. Printed: ΔE00 against what a perfect colorimeter
would read under D65, the part of L*, a*, b* inside their 90 % intervals (averaged within a face, then over faces), and
their median half-widths, by light and by ITA class; lips apart.
"""

import argparse
import logging
from collections import Counter, defaultdict
from dataclasses import dataclass

import numpy as np

from studies.photo.bench_photo import MIN_PIXELS, TRUTH_NAME
from studies.scenes.composed import card_area, with_card, within
from studies.scenes.exposure import SKINS, Exposure, Plan, Scene, every_skin_in_every_light, expose, load_scene
from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.illuminants import WAVELENGTHS_NM
from tenter.colorimetry.measurement import D65_2
from tenter.colorimetry.reflectance import reflectance_to_lab
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.colorimetry.typology import individual_typology_angle, ita_class
from tenter.photo.cards import CardChoice, ChartKind
from tenter.photo.face.measure import measure_face
from tenter.photo.face.result import FaceMeasurement
from tenter.photo.files.loading import photo_from_bytes
from tenter.photo.patches.correction import D65_WHITE
from tenter.photo.regions.regions import Region

GREY: FloatArray = np.full(WAVELENGTHS_NM.size, 0.18)
SIZES = (1.0, 0.75, 0.55)  # of the classic card's width and height


def paper(rng: np.random.Generator) -> FloatArray:
    """Return the reflectance (81,) of a sheet of paper, invented: 0.80 to 0.92, absorbing below 420 nm, brightened.

    Brighteners re-emit near 440 nm; how much depends on the ultraviolet in the light, which the scenes do not know.
    """
    nm = WAVELENGTHS_NM
    base = rng.uniform(0.8, 0.9) * (1 - 0.012 * (nm - 560) / 220 * rng.uniform(-1, 1)) / (1 + np.exp(-(nm - 395) / 9))
    sheet: FloatArray = base * (1 + rng.uniform(0, 0.14) * np.exp(-0.5 * ((nm - 442) / 18) ** 2))
    return sheet


def beside(scene: Scene, reflectance: FloatArray, size: float, at: tuple[float, float]) -> Scene:
    """Return a scene with one surface of a size (part of the classic card's) in its place, the wall around it.

    at: 0 to 1 across and down what the size leaves free. Around a smaller surface stands a wall of 0.5.
    """
    left, top = (1 - size) * at[0], (1 - size) * at[1]
    quad = within(card_area(scene), (left, top, left + size, top + size))
    board = None if size == 1 else np.full(WAVELENGTHS_NM.size, 0.5)
    return with_card(scene, [(quad, reflectance)], board)


def take(plan: Plan, kind: str) -> Exposure:
    """Return a plan's photograph with "grey" or "paper" in it; size, place and paper follow from the plan's seed."""
    rng = np.random.default_rng([plan.shot.seed, 7])
    surface = GREY if kind == "grey" else paper(rng)
    size, at = float(rng.choice(SIZES)), (float(rng.random()), float(rng.random()))
    scene = beside(load_scene(plan.scene), surface, size, at)
    return expose(scene, plan.lights, plan.camera, plan.shot)


@dataclass(frozen=True)
class _Face:
    """The regions of one accepted photograph: ΔE00 (n,), inside or not (n, 3), half-widths (n, 3)."""

    error: FloatArray
    inside: FloatArray
    half: FloatArray


def _face(exposure: Exposure, measured: FaceMeasurement, lips: bool) -> _Face | None:
    rows = []
    for region, name in TRUTH_NAME.items():
        found = measured.regions[region]
        wanted = (region is Region.LIPS) is lips and exposure.pixels[name] >= MIN_PIXELS
        if wanted and found.lab is not None and found.half_width_90 is not None:
            true = xyz_to_lab(exposure.xyz_d65[name], D65_WHITE)
            inside = np.abs(found.lab - true) <= found.half_width_90
            rows.append((float(delta_e_2000(found.lab, true)), inside, found.half_width_90))
    if not rows:
        return None
    error, covered, half = zip(*rows, strict=True)
    return _Face(np.array(error), np.array(covered, dtype=float), np.array(half))


def _line(name: str, faces: list[_Face]) -> str:
    error = np.concatenate([face.error for face in faces])
    cover = np.mean([face.inside.mean(axis=0) for face in faces], axis=0)
    half = np.median(np.concatenate([face.half for face in faces]), axis=0)
    figures = f"{np.median(error):5.2f} {np.percentile(error, 95):5.2f}"
    return (
        f"{name:14s} {len(faces):4d}  {figures}   " + " ".join(f"{v:.2f}" for v in cover) + "   " + str(half.round(1))
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("kind", choices=["grey", "paper"])
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--seed", type=int, default=12)
    given = parser.parse_args()
    logging.disable(logging.CRITICAL)
    groups: dict[str, list[_Face]] = defaultdict(list)
    refused: Counter[str] = Counter()
    for plan in every_skin_in_every_light(SKINS, given.count, given.seed):
        exposure = take(plan, given.kind)
        measured = measure_face(photo_from_bytes(exposure.jpeg(), "x.jpg"), CardChoice(ChartKind(given.kind)))
        refused.update(str(reason.code) for reason in measured.reasons if reason.refuses)
        face, lips = (_face(exposure, measured, lips) for lips in (False, True))
        skin = reflectance_to_lab(exposure.reflectance["all_skin"], D65_2.illuminant, D65_2.observer)
        light = plan.lights if isinstance(plan.lights, str) else "two lamps"
        if face:
            for name in ("all", light, str(ita_class(float(individual_typology_angle(skin))))):
                groups[name].append(face)
        if lips:
            groups["lips"].append(lips)
    print(f"{given.count} with {given.kind}, {len(groups['all'])} accepted; refused: {dict(refused)}")
    print("group          faces ΔE00   p95   L*   a*   b*     ± L*, a*, b*")
    for name in sorted(groups, key=lambda name: (name != "all", name)):
        print(_line(name, groups[name]))


if __name__ == "__main__":
    main()
