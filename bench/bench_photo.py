"""How well colours are read from photographs whose truth is known: `./run bench photo [FOLDER]`.

The ten rendered portraits of tests/data, or a folder laid out like it (pictures and truth.json). Errors are ΔE00
against the colours a perfect colorimeter would read were the scene lit by D65 (Lab D65/2°), by region and by ITA class
of the skin; regions of at least 200 pixels, the neck left out. "Lightness-matched" scales the colour read to the true
luminance first, which leaves the error in hue and chroma.
"""

import argparse
import json
import logging
import sys
import time
from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import lab_to_xyz, xyz_to_lab
from tenter.colorimetry.typology import ItaClass, ita_class
from tenter.photo.correction import D65_WHITE
from tenter.photo.measure import measure_photo
from tenter.photo.regions import Region
from tenter.photo.result import FaceMeasurement

PORTRAITS = Path(__file__).parents[1] / "tests" / "data" / "rendered_portraits"
MIN_PIXELS = 200
# Left and right are the viewer's in the truth, the person's own in the measurement.
TRUTH_NAME = {
    Region.FOREHEAD: "forehead",
    Region.CHEEK_LEFT: "cheek_r",
    Region.CHEEK_RIGHT: "cheek_l",
    Region.NOSE: "nose",
    Region.CHIN: "chin",
    Region.JAW_LEFT: "jaw_r",
    Region.JAW_RIGHT: "jaw_l",
    Region.LIPS: "lips",
}


@dataclass(frozen=True, slots=True)
class Row:
    """One region of one accepted photograph."""

    region: Region
    skin: ItaClass
    lab: FloatArray
    true_lab: FloatArray
    half_width: FloatArray

    @property
    def error(self) -> float:
        return float(delta_e_2000(self.lab, self.true_lab))

    @property
    def matched_error(self) -> float:
        xyz, true_xyz = lab_to_xyz(self.lab, D65_WHITE), lab_to_xyz(self.true_lab, D65_WHITE)
        return float(delta_e_2000(xyz_to_lab(xyz * true_xyz[1] / xyz[1], D65_WHITE), self.true_lab))

    @property
    def covered(self) -> FloatArray:
        return np.abs(self.lab - self.true_lab) <= self.half_width


def rows_of(image: dict[str, Any], measured: FaceMeasurement) -> list[Row]:
    """Return a row for every region that was measured and is large enough in the truth."""
    skin = ita_class(image["regions"]["all_skin"]["ita_D65"])
    rows = []
    for region, name in TRUTH_NAME.items():
        colour = measured.regions[region]
        if colour.lab is None or colour.half_width_90 is None or image["regions"][name]["pixels"] < MIN_PIXELS:
            continue
        true_lab = xyz_to_lab(np.array(image["scene_xyz_d65"][name]), D65_WHITE)
        rows.append(Row(region, skin, colour.lab, true_lab, colour.half_width_90))
    return rows


def line(name: str, rows: list[Row]) -> str:
    if not rows:
        return f"{name:14s}   0"
    errors, matched = ([getattr(row, kind) for row in rows] for kind in ("error", "matched_error"))
    coverage = np.mean([row.covered for row in rows], axis=0)
    width = np.median([row.half_width for row in rows], axis=0)
    return (
        f"{name:14s} {len(rows):4d}  {np.median(errors):5.2f} {np.percentile(errors, 95):5.2f}"
        f"  {np.median(matched):5.2f} {np.percentile(matched, 95):5.2f}"
        f"   {coverage[0]:.2f} {coverage[1]:.2f} {coverage[2]:.2f}   {width[0]:.1f} {width[1]:.1f} {width[2]:.1f}"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("folder", type=Path, nargs="?", default=PORTRAITS)
    folder = parser.parse_args().folder
    logging.disable(logging.CRITICAL)
    images = json.loads((folder / "truth.json").read_text(encoding="utf-8"))["images"]
    rows: list[Row] = []
    refused: list[tuple[str, FaceMeasurement]] = []
    fits: list[float] = []
    seconds: list[float] = []
    for number, image in enumerate(images, 1):
        started = time.perf_counter()
        measured = measure_photo(folder / image["file"])
        seconds.append(time.perf_counter() - started)
        print(f"\r{number} of {len(images)}", end="", file=sys.stderr, flush=True)
        rows += rows_of(image, measured)
        if measured.chart.leave_one_out is not None:
            fits.append(measured.chart.leave_one_out.mean)
        if not measured.accepted:
            refused.append((image["file"], measured))
    print(file=sys.stderr)
    report(images, rows, refused, fits, seconds)


def report(
    images: list[dict[str, Any]],
    rows: list[Row],
    refused: list[tuple[str, FaceMeasurement]],
    fits: list[float],
    seconds: list[float],
) -> None:
    print(f"{len(images)} photographs, {len(images) - len(refused)} accepted, {np.median(seconds):.2f} s each (median)")
    print("ΔE00 against scene_xyz_d65, Lab D65/2°: median and p95, the same lightness-matched;")
    print("part of L*, a*, b* inside their 90 % intervals; median half-width of L*, a*, b*\n")
    print("                  n   ΔE00   p95  match   p95   L*   a*   b*     ± L*  a*  b*")
    groups: dict[str, list[Row]] = defaultdict(list)
    for row in rows:
        groups[row.region].append(row)
        groups[row.skin].append(row)
    for name in (*TRUTH_NAME, *ItaClass):
        print(line(name, groups[name]))
    print(line("all", rows))
    if fits:
        print(
            f"\nleave-one-out ΔE00 of the card, mean per photograph: median {np.median(fits):.2f}, most {max(fits):.2f}"
        )
    print(f"refused: {len(refused)}")
    for file, measured in refused:
        print(f"  {file}: {'; '.join(reason.code for reason in measured.reasons if reason.refuses)}")


if __name__ == "__main__":
    main()
