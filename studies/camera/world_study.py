"""How near the rendered photographs come to real ones: python -m studies.camera.world_study [--count 40] [--seed 61].

Of the real photographs of a whole card, and of both worlds of rendered ones: the tone curve that is fitted to the card,
the error of patches left out, and over how much light the frame and the patches run (in logarithms; the frame's from
the fifth to the 95th of a hundred).
"""

import argparse
import logging
from collections.abc import Sequence

import numpy as np

from studies.camera.real_charts import PHOTOS, wanted_of
from studies.scenes.exposure import SKINS, every_skin_in_every_light
from studies.scenes.real_world import WORLDS, in_world
from tenter.photo.card.calibration import calibrate
from tenter.photo.files.loading import Photo, load_photo, photo_from_bytes
from tenter.photo.patches.chart import find_chart
from tenter.photo.patches.light import FRAME
from tenter.photo.patches.reference import classic24


def signs(photo: Photo) -> tuple[float, ...] | None:
    """Return what the card in a photograph says of its world: see `_SIGNS`; None where none is found."""
    found = find_chart(photo)
    calibration = found and calibrate(classic24(), (found, found.turned_half()), photo)
    if not calibration or calibration.samples is None or calibration.light is None:
        return None
    frame = calibration.samples.log_light[calibration.samples.surface == FRAME]
    tone, errors = calibration.tone, calibration.leave_one_out
    shine = float(np.subtract(*np.percentile(frame, (95, 5))))
    return tone.contrast, tone.lift, errors.mean, errors.p95, shine, calibration.light.range


_PERCENT = (0, 25, 50, 75, 100)
_SIGNS = ("contrast", "lift", "left out", "the same, p95", "frame, log light", "patches, log light")


def _quartiles(name: str, seen: Sequence[tuple[float, ...] | None]) -> list[str]:
    some = np.array([one for one in seen if one is not None])
    return [
        f"{name:12s} {len(some):3d}  {sign:20s}"
        + "".join(f"{v:8.2f}" for v in np.percentile(column, (0, 25, 50, 75, 100)))
        for sign, column in zip(_SIGNS, some.T, strict=True)
    ]


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--count", type=int, default=40)
    parser.add_argument("--seed", type=int, default=61)
    given = parser.parse_args()
    logging.disable(logging.CRITICAL)
    print(f"{'':38s}   least      25      50      75    most")
    whole = [load_photo(wanted.path) for wanted in wanted_of(PHOTOS) if wanted.kind == "whole"]
    print("\n".join(_quartiles("photographs", [signs(photo) for photo in whole])))
    plans = every_skin_in_every_light(SKINS, given.count, given.seed)
    for world in WORLDS:
        taken = (photo_from_bytes(plan.take().jpeg(), "x.jpg") for plan in in_world(plans, world, given.seed))
        print("\n".join(_quartiles(world, [signs(photo) for photo in taken])))


if __name__ == "__main__":
    main()
