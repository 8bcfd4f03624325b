"""What is truly in a rendered photograph, beside what was read: shared by the bench and the tests."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import lab_to_xyz, xyz_to_lab
from tenter.colorimetry.typology import ItaClass, ita_class
from tenter.photo.face.result import FaceMeasurement
from tenter.photo.patches.correction import D65_WHITE
from tenter.photo.regions.regions import Region

PORTRAITS = Path(__file__).parents[2] / "tests" / "data" / "rendered_portraits"
MIN_PIXELS = 200  # a region smaller than this in the truth is left out
# Left and right are the viewer's in the truth, the person's own in a measurement.
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


@dataclass(frozen=True)
class Truth:
    """What is in one photograph: the person's class, and for each region XYZ under D65 and how many pixels it has.

    skin_lab: Lab of each region's own reflectance, without shading and gloss, where it is known.
    """

    scene: str
    skin: ItaClass
    xyz_d65: Mapping[str, FloatArray]
    pixels: Mapping[str, int]
    skin_lab: Mapping[str, FloatArray] = field(default_factory=dict)

    @classmethod
    def of_image(cls, image: Mapping[str, Any]) -> "Truth":
        """Return what an entry of a truth.json says."""
        regions = image["regions"]
        return cls(
            image["scene"],
            ita_class(regions["all_skin"]["ita_D65"]),
            {name: np.array(xyz) for name, xyz in image["scene_xyz_d65"].items()},
            {name: region["pixels"] for name, region in regions.items()},
        )

    def lab(self, region: Region) -> FloatArray:
        """What a perfect colorimeter would read, were the scene lit by D65."""
        return xyz_to_lab(self.xyz_d65[TRUTH_NAME[region]], D65_WHITE)


def lightness_matched(lab: FloatArray, true_lab: FloatArray) -> float:
    """Return ΔE00 after a colour is scaled to the true luminance, which leaves the error in hue and chroma."""
    xyz, true_xyz = lab_to_xyz(lab, D65_WHITE), lab_to_xyz(true_lab, D65_WHITE)
    return float(delta_e_2000(xyz_to_lab(xyz * true_xyz[1] / xyz[1], D65_WHITE), true_lab))


@dataclass(frozen=True)
class Row:
    """One region of one accepted photograph."""

    truth: Truth
    region: Region
    lab: FloatArray
    half_width: FloatArray

    @property
    def true_lab(self) -> FloatArray:
        return self.truth.lab(self.region)

    @property
    def error(self) -> float:
        return float(delta_e_2000(self.lab, self.true_lab))

    @property
    def matched_error(self) -> float:
        return lightness_matched(self.lab, self.true_lab)

    @property
    def covered(self) -> FloatArray:
        """Whether L*, a* and b* (3,) lie within their intervals."""
        return np.abs(self.lab - self.true_lab) <= self.half_width


def rows_of(truth: Truth, measured: FaceMeasurement) -> list[Row]:
    """Return a row for every region that was measured and is large enough in the truth."""
    rows = []
    for region, name in TRUTH_NAME.items():
        colour = measured.regions[region]
        if colour.lab is not None and colour.half_width_90 is not None and truth.pixels[name] >= MIN_PIXELS:
            rows.append(Row(truth, region, colour.lab, colour.half_width_90))
    return rows
