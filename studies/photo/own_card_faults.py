"""How often a shadow, a finger or a glare on our own card is found out.

Run it by `python -m studies.photo.own_card_faults [--count 12]`.

The same faults as for the classic card (card_faults.py) are put into rendered photographs of faces beside prints of our
own card, each measured by two photographs. A photograph counts as found out when it is refused. Where the clear card is
refused already no fault is tried, and how often that is stands first.
"""

import argparse
from functools import partial

import numpy as np

from studies.photo.card_faults import Fault, as_jpeg, fingered, glared, shaded
from studies.photo.own_card_study import PRINTS, OwnPlan, calibrated
from studies.scenes.exposure import SKINS, every_skin_in_every_light
from tenter.photo.files.loading import photo_from_bytes
from tenter.photo.own_card import layout
from tenter.photo.own_card.search import look_for_own_card
from tenter.photo.own_card.sighting import find_own_card


def _box(columns: float, rows: float, at: tuple[float, float]) -> tuple[float, float, float, float]:
    """Return the box of so many cells of our card, in parts of its width and height."""
    across = (layout.CARD_MARGIN_MM + layout.CARD_PITCH_MM * np.array([at[0], at[0] + columns])) / layout.WIDTH_MM
    down = (layout.CARD_MARGIN_MM + layout.CARD_PITCH_MM * np.array([at[1], at[1] + rows])) / layout.HEIGHT_MM
    return float(across[0]), float(down[0]), float(across[1]), float(down[1])


def faults() -> dict[str, Fault]:
    """Return what is done to a picture, whose own card has four corners in pixels, by name."""
    found: dict[str, Fault] = {"none": lambda picture, _: picture}
    for part in (0.8, 0.7, 0.6):
        found[f"shadow ×{part}, lower half"] = partial(shaded, box=(-0.1, 0.45, 1.1, 1.2), part=part)
        found[f"shadow ×{part}, right half"] = partial(shaded, box=(0.55, -0.1, 1.2, 1.2), part=part)
        found[f"shadow ×{part}, right half along a gap"] = partial(shaded, box=(0.5, -0.1, 1.2, 1.2), part=part)
    found["finger, 2 patches"] = partial(fingered, box=_box(1.5, 2, (5, 3)))
    for light in (0.05, 0.15):
        found[f"glare of {light:.0%} on 6 patches"] = partial(glared, box=_box(3, 2, (2.5, 2.5)), light=light)
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--count", type=int, default=12)
    parser.add_argument("--seed", type=int, default=31)
    parser.add_argument("--prints", type=int, default=4)
    parser.add_argument("--only", nargs="+", default=[""], help="faults whose name holds one of these")
    parser.add_argument("--show", action="store_true", help="each photograph's edge")
    given = parser.parse_args()
    plans = [plan for plan in every_skin_in_every_light(SKINS, given.count, given.seed) if not plan.shot.rotate]
    refused: dict[str, list[bool]] = {name: [] for name in faults()}
    for k, plan in enumerate(plans):
        serial = PRINTS[k % given.prints]
        values, exposure = calibrated(serial, 2), OwnPlan(plan, serial).take()
        clear = photo_from_bytes(as_jpeg(exposure.picture), "x.jpg")
        reading = find_own_card(clear).reading
        if reading is None:
            continue
        for name, fault in faults().items():
            if not any(part in name for part in ("none", *given.only)):
                continue
            photo = photo_from_bytes(as_jpeg(fault(exposure.picture, reading.corners_px)), "x.jpg")
            found = look_for_own_card(photo, values)
            codes = [str(reason.code) for reason in found.reasons if reason.refuses]
            refused[name].append(bool(codes))
            if codes and name == "none":
                break
            if given.show:
                print(f"{k:3d} {name:40s}", *codes, "" if found.shadow.edge is None else found.shadow.edge.witness)
    print(f"{len(refused['none'])} photographs of clear cards; refused")
    for name, found_out in refused.items():
        if found_out:
            print(f"{name:40s} {sum(found_out)} of {len(found_out)}")


if __name__ == "__main__":
    main()
