"""Rendered portraits with known truth: what they are stands in tests/data/rendered_portraits/README.md."""

import hashlib
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from studies.scenes.photo_truth import PORTRAITS, TRUTH_NAME
from tenter.arrays import ByteArray, FloatArray
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.photo.cards import ChartKind
from tenter.photo.face.measure import measure_face, measure_photo
from tenter.photo.face.result import FaceMeasurement
from tenter.photo.files.loading import Photo, load_photo
from tenter.photo.patches.correction import D65_WHITE
from tenter.photo.regions.regions import Region


@dataclass(frozen=True)
class Portrait:
    """A rendered photograph and what is truly in it."""

    path: Path
    rgb: ByteArray
    truth: Mapping[str, Any]
    truth_name = TRUTH_NAME

    @property
    def card_box(self) -> tuple[int, int, int, int]:
        """Left, top, right and bottom of the card in pixels."""
        corners = np.array(self.truth["card"]["corners_px"])
        return (*corners.min(axis=0).astype(int), *np.ceil(corners.max(axis=0)).astype(int))

    def true_lab(self, region: Region) -> FloatArray:
        """What a perfect colorimeter would read, were the scene lit by D65."""
        return xyz_to_lab(np.array(self.truth["scene_xyz_d65"][TRUTH_NAME[region]]), D65_WHITE)

    def true_pixels(self, region: Region) -> int:
        return self.truth["regions"][TRUTH_NAME[region]]["pixels"]


def _images() -> list[dict[str, Any]]:
    return json.loads((PORTRAITS / "truth.json").read_text(encoding="utf-8"))["images"]


@pytest.fixture(scope="session")
def by_two_lamps() -> Path:
    """The tenth portrait: daylight in the window, and a lamp of 2700 K at the ceiling."""
    [image] = [image for image in _images() if image["light_window"] != image["light_panel"]]
    return PORTRAITS / image["file"]


@pytest.fixture(scope="session")
def portraits() -> dict[str, Portrait]:
    """The nine portraits by one kind of lamp, by file name. Shared: only to be read."""
    images = [image for image in _images() if image["light_window"] == image["light_panel"]]
    paths = {image["file"]: PORTRAITS / image["file"] for image in images}
    return {
        image["file"]: Portrait(paths[image["file"]], load_photo(paths[image["file"]]).rgb, image) for image in images
    }


@pytest.fixture(scope="session")
def measured(portraits: dict[str, Portrait]) -> dict[str, FaceMeasurement]:
    """Every portrait measured by its card, once."""
    return {file: measure_photo(portrait.path) for file, portrait in portraits.items()}


@pytest.fixture
def portrait(portraits: dict[str, Portrait]) -> Portrait:
    """A very light face in daylight from the side, the card on the right of the picture."""
    return portraits["p1a.jpg"]


@pytest.fixture(scope="session")
def measure_pixels() -> Callable[..., FaceMeasurement]:
    """Measure the face in an array of sRGB code values, the same ones but once."""
    found: dict[tuple[str, tuple[int, ...], ChartKind], FaceMeasurement] = {}

    def measure(rgb: ByteArray, chart: ChartKind = ChartKind.CLASSIC24) -> FaceMeasurement:
        pixels = np.ascontiguousarray(rgb)
        asked = hashlib.sha256(pixels.tobytes()).hexdigest(), pixels.shape, chart
        if asked not in found:
            found[asked] = measure_face(Photo(pixels, 1.0), chart)
        return found[asked]

    return measure
