"""Classes of skin that the ten portraits lack, under other lights: tests/data/exposed_portraits."""

import json
from pathlib import Path

import numpy as np
import pytest

from studies.scenes.photo_truth import Row, Truth, rows_of
from tenter.colorimetry.typology import ItaClass
from tenter.photo.face.measure import measure_photo
from tenter.photo.face.result import PhotoVerdict
from tenter.photo.regions.regions import SKIN

FOLDER = Path(__file__).parents[2] / "data" / "exposed_portraits"


@pytest.fixture(scope="module")
def rows() -> list[Row]:
    """The skin of every photograph, all of which are accepted."""
    found = []
    for image in json.loads((FOLDER / "truth.json").read_text(encoding="utf-8"))["images"]:
        measured = measure_photo(FOLDER / image["file"])
        assert measured.verdict is not PhotoVerdict.REFUSED, (image["file"], measured.reasons)
        found += [row for row in rows_of(Truth.of_image(image), measured) if row.region in SKIN]
    return found


# Truth: scene_xyz_d65 of truth.json. The limits are the project's aims.
@pytest.mark.parametrize("skin", [ItaClass.LIGHT, ItaClass.INTERMEDIATE, ItaClass.TAN])
def test_each_class_is_read_alike(rows, skin):
    some = [row for row in rows if row.truth.skin is skin]
    assert len(some) == 21
    assert np.median([row.error for row in some]) < 1.5
    assert np.percentile([row.error for row in some], 95) < 3.5
    assert np.median([row.matched_error for row in some]) < 1.1
    assert np.all(np.mean([row.covered for row in some], axis=0) > 0.7)


def test_the_intervals_hold_the_truth_and_say_something(rows):
    assert np.all(np.mean([row.covered for row in rows], axis=0) >= 0.85)
    assert np.all(np.median([row.half_width for row in rows], axis=0) < 3)
