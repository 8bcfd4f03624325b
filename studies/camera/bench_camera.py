"""What a phone learned once gains: `./run bench camera [--world real] [--seed 3]`.

Eight phones (learned_phones.py) photograph the card in daylight, in the shade, under a white LED and a bulb, and are
learned from these four; then they photograph faces under other lights. The same photographs are read

    without            as by any camera
    one photograph     the part of the tone curve that works on luminance is fitted, too, but nothing was learned
    learned            as the camera that was learned

and, in the real world, `raw`: the same scenes and lights from a file that no phone has processed. Then how often a
phone that has changed is noticed: its tone curve, its camera, or how much colour it adds; and one that has not.
"""

import argparse
import logging
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from datetime import date
from functools import partial

from studies.camera.learned_phones import CHANGES, DAYS, LAMPS, OnePhone, face_plans, learning_plans, phones
from studies.photo.photo_accuracy import HEADING, line
from studies.photo.photo_runs import PROCESSES, truth_of
from studies.scenes.exposure import Plan
from studies.scenes.phone import Phone
from studies.scenes.photo_truth import Row, rows_of
from studies.scenes.real_world import WORLDS, RealPlan
from tenter.errors import TenterError
from tenter.photo.camera.tone_prior import ANY_PHONE, TonePrior
from tenter.photo.card.calibration import Calibration
from tenter.photo.card.learned_camera import LearnedCamera, learn_camera
from tenter.photo.cards import CardChoice, look_for_card
from tenter.photo.face.measure import measure_face
from tenter.photo.files.loading import photo_from_bytes
from tenter.photo.regions.regions import SKIN

_NEVER = TonePrior((0.0, 0.0), (1e3, 1e3))  # a camera that has never changed
_ANY = LearnedCamera("any", date(2026, 1, 1), 3, ANY_PHONE, _NEVER)


@dataclass(frozen=True)
class OfOnePhone:
    """What became of one phone: rows by light ("day" or "lamp") and way of reading, and what was called changed."""

    camera: str
    learned: bool
    rows: dict[tuple[str, str], list[Row]]
    called_changed: dict[str, list[bool]]


def calibration_of(plan: Plan) -> Calibration | None:
    """Return the calibration of a photograph of the card that is not refused."""
    search = look_for_card(photo_from_bytes(plan.take().jpeg(), "card.jpg"), CardChoice())
    return None if any(reason.refuses for reason in search.reasons) else search.calibration


def calibrations_of(plans: Sequence[Plan]) -> list[Calibration]:
    return [found for found in map(calibration_of, plans) if found is not None]


def read_ways(plan: Plan, camera: LearnedCamera) -> dict[str, list[Row]]:
    """Take one photograph and read it in every way; empty where it is refused in any."""
    exposure = plan.take()
    photo, truth = photo_from_bytes(exposure.jpeg(), "face.jpg"), truth_of(exposure)
    rows = {}
    for way, known in (("without", None), ("one photograph", _ANY), ("learned", camera)):
        measured = measure_face(photo, CardChoice(camera=known))
        if not measured.accepted:
            return {}
        rows[way] = [row for row in rows_of(truth, measured) if row.region in SKIN]
    return rows


def raw_rows(plan: Plan) -> list[Row]:
    """Return what is read of the same scene from a file that no phone has processed."""
    if not isinstance(plan, RealPlan):
        return []
    exposure = replace(plan, phone=Phone(), shot=replace(plan.shot, jpeg=97)).take()
    measured = measure_face(photo_from_bytes(exposure.jpeg(), "face.jpg"))
    return [row for row in rows_of(truth_of(exposure), measured) if row.region in SKIN]


def try_phone(phone: OnePhone, seed: int) -> OfOnePhone:
    """Learn a phone, read its photographs of faces, and those after it has changed."""
    logging.disable(logging.CRITICAL)
    try:
        camera = learn_camera("phone", calibrations_of(learning_plans(phone, seed)), date(2026, 1, 1))
    except TenterError:
        return OfOnePhone(phone.camera, False, {}, {})
    rows: dict[tuple[str, str], list[Row]] = {}
    called: dict[str, list[bool]] = {}
    for light, start, lights in (("day", seed, DAYS), ("lamp", seed + 100, LAMPS)):
        for plan in face_plans(phone, start, lights):
            for way, some in (read_ways(plan, camera) | {"raw": raw_rows(plan)}).items():
                rows.setdefault((light, way), []).extend(some)
            seen = calibrations_of([plan])
            called.setdefault("nothing", []).extend(camera.has_changed(one) for one in seen)
    for how in CHANGES if phone.world == "real" else CHANGES[:2]:
        after = calibrations_of(face_plans(phone.changed(how), seed + 50, (DAYS[2], LAMPS[1])))
        called[how] = [camera.has_changed(one) for one in after]
    return OfOnePhone(phone.camera, True, rows, called)


def table(tried: Sequence[OfOnePhone]) -> list[str]:
    """Return errors and cover by light and way, then the same in daylight for each phone."""
    ways = ("without", "one photograph", "learned", "raw")
    lines = [HEADING]
    for light in ("day", "lamp"):
        for way in ways:
            rows = [row for one in tried for row in one.rows.get((light, way), [])]
            lines += [line(f"{light}, {way}", rows)] if rows else []
    for one in tried:
        lines += [line(f"{one.camera}, {way}"[:19], one.rows.get(("day", way), [])) for way in ways[::2]]
    return lines


def changes(tried: Sequence[OfOnePhone]) -> list[str]:
    """Return how often a photograph was called one of a changed phone, by what had changed."""
    lines = []
    for how in ("nothing", *CHANGES):
        called = [said for one in tried for said in one.called_changed.get(how, [])]
        if called:
            lines.append(f"changed: {how:12s} {sum(called):3d} of {len(called)} called changed")
    return lines


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--world", choices=WORLDS, default="rendered")
    parser.add_argument("--seed", type=int, default=3)
    parser.add_argument("--processes", type=int, default=PROCESSES)
    given = parser.parse_args()
    with ProcessPoolExecutor(given.processes) as pool:
        tried = list(pool.map(partial(try_phone, seed=given.seed), phones(given.world, given.seed)))
    print(f"{sum(one.learned for one in tried)} of {len(tried)} phones learned; {given.world}, seed {given.seed}")
    print("\n".join([*table(tried), *changes(tried)]))


if __name__ == "__main__":
    main()
