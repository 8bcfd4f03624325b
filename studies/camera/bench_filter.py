"""How often a filter is suspected, how wrong it makes the colours, and how often a plain photograph is suspected.

`./run bench filter`: exposures of every skin under every light, 0.5 to 4 megapixels (--plain: to 12), JPEG 60 to 95,
with noise. Each is measured as it is, and through every filter of filters.py at one strength, which goes round.
"""

import argparse
import contextlib
import io
import sys
from dataclasses import dataclass, field, replace

import numpy as np
from PIL import Image

from studies.camera.filters import OF_THE_FACE, OF_THE_PICTURE, STRENGTHS, taken_large
from studies.scenes.exposure import SKINS, Exposure, every_skin_in_every_light
from studies.scenes.photo_truth import TRUTH_NAME
from tenter.arrays import ByteArray, FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.photo.face.measure import measure_face
from tenter.photo.face.result import FaceMeasurement
from tenter.photo.face.smoothing import grain, suspicion
from tenter.photo.files.loading import photo_from_bytes
from tenter.photo.patches.correction import D65_WHITE
from tenter.photo.reasons import Code
from tenter.photo.regions.landmarks import find_face
from tenter.photo.regions.regions import SKIN

FACTORS = (1.0, 1.4, 2.0, 2.8, 3.75, 4.84)  # times the 640 pixels of a scene: 0.5, 1, 2, 4, 7 and 12 megapixels
PLAIN = ("plain", "")


@dataclass
class Tally:
    """What became of the photographs that one filter went over."""

    photographs: int = 0
    known: int = 0
    suspected: int = 0
    recoloured: int = 0
    unknown: int = 0
    uncarded: list[bool] = field(default_factory=list)
    verdicts: list[str] = field(default_factory=list)
    errors: list[float] = field(default_factory=list)
    inside: list[FloatArray] = field(default_factory=list)

    def add(self, measured: FaceMeasurement, taken: Exposure) -> None:
        codes = {reason.code for reason in measured.reasons}
        self.photographs += 1
        self.suspected += Code.FILTER_SUSPECTED in codes
        self.recoloured += Code.FACE_RECOLOURED in codes
        self.unknown += Code.FILTER_UNKNOWN in codes
        wider = any(reason.widens for reason in measured.reasons)
        self.verdicts.append("refused" if not measured.accepted else "wider" if wider else "accepted")
        for region in SKIN:
            read = measured.regions[region]
            if measured.accepted and read.lab is not None and read.half_width_90 is not None:
                true = xyz_to_lab(taken.xyz_d65[TRUTH_NAME[region]], D65_WHITE)
                self.errors.append(float(delta_e_2000(read.lab, true)))
                self.inside.append(np.abs(read.lab - true) <= read.half_width_90)

    def line(self, name: str) -> str:
        counts = [self.verdicts.count(verdict) for verdict in ("accepted", "wider", "refused")]
        judged = self.uncarded
        row = f"{name:28s}{self.photographs:4d}{self.known:7d}{self.suspected:10d}{self.recoloured:11d}"
        row += "".join(f"{count:9d}" for count in counts)
        if not self.errors:
            return row
        median, most = np.percentile(self.errors, (50, 95))
        inside = " ".join(f"{part:.2f}" for part in np.mean(self.inside, axis=0))
        return row + f"   {median:5.2f}{most:6.2f}   {inside}   {sum(judged)} of {len(judged)}"


def jpeg(picture: ByteArray, quality: int) -> bytes:
    """Return a picture as a camera's JPEG."""
    out = io.BytesIO()
    Image.fromarray(picture).save(out, "JPEG", quality=quality, subsampling=0 if quality >= 90 else 2)
    return out.getvalue()


def measured_into(tally: Tally, picture: ByteArray, quality: int, taken: Exposure, look: bool) -> None:
    """Measure a picture with its card; look: at its grain, with the card and without, on its own."""
    photo = photo_from_bytes(jpeg(picture, quality), "exposure.jpg")
    measured = measure_face(photo)
    tally.add(measured, taken)
    mesh = find_face(photo.rgb).mesh_px if look else None
    if mesh is None or measured.chart.corners_px is None:
        return
    tally.known += grain(photo, mesh, measured.chart.corners_px / photo.reduction).skin is not None
    alone = grain(photo, mesh, None)
    if alone.skin is not None:
        tally.uncarded.append(suspicion(alone) is not None)


def photograph(given: argparse.Namespace, tallies: dict[tuple[str, str], Tally]) -> None:
    """Take and measure every photograph, adding to the tallies as they come."""
    rng = np.random.default_rng(given.seed)
    wanted = {name: over for name, over in (OF_THE_FACE | OF_THE_PICTURE).items() if given.only in name}
    filters, factors = ({}, FACTORS) if given.plain else (wanted, FACTORS[:4])
    for number, ordinary in enumerate(every_skin_in_every_light(SKINS, given.photographs, given.seed)):
        plan = replace(ordinary, shot=replace(ordinary.shot, jpeg=int(rng.integers(60, 96)), clip_stops=0.0))
        taken, picture = taken_large(plan, factors[(number + number // len(SKINS)) % len(factors)])
        measured_into(tallies[PLAIN], picture, plan.shot.jpeg, taken, look=True)
        mesh = find_face(picture).mesh_px if filters else None
        strength = (number + number // len(SKINS)) % len(STRENGTHS)
        for name, over in filters.items() if mesh is not None else ():
            tally = tallies.setdefault((name, STRENGTHS[strength]), Tally())
            measured_into(tally, over(picture, mesh, strength), plan.shot.jpeg, taken, look="smoothed" in name)
        print(f"\rphotographs: {number + 1} of {given.photographs}", end="", file=sys.stderr, flush=True)


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--photographs", type=int, default=60)
    parser.add_argument("--seed", type=int, default=9)
    parser.add_argument("--plain", action="store_true", help="no filters, to count wrong suspicions on many")
    parser.add_argument("--only", default="", help="only filters with this in their name, as lightened")
    given = parser.parse_args()
    tallies: dict[tuple[str, str], Tally] = {PLAIN: Tally()}
    with contextlib.suppress(KeyboardInterrupt):  # what there is so far is worth seeing
        photograph(given, tallies)
    print(file=sys.stderr)
    plain = tallies[PLAIN]
    print(f"{plain.photographs} photographs, seed {given.seed}; known: the grain can be judged by the card")
    print(f"{'':28s}   n  known suspected recoloured accepted    wider  refused   ΔE00    p95   L*   a*   b*   no card")
    for name in ["plain", *OF_THE_FACE, *OF_THE_PICTURE]:
        for strength in ("", *STRENGTHS):
            if (name, strength) in tallies:
                print(tallies[name, strength].line(f"{name}, {strength}" if strength else name))
    print(f"plain ones said to be compressed too hard to judge: {plain.unknown}")
    print(f"plain ones suspected wrongly: {plain.suspected + plain.recoloured} (wanted ≤ 2 %)")


if __name__ == "__main__":
    main()
