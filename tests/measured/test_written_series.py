"""A series is read as it was written, and what contradicts itself is refused."""

import json
from pathlib import Path

import pytest

from tenter.measured.basis import CalibrationBasis
from tenter.measured.written_numbers import NotAMeasurement
from tenter.measured.written_series import WrittenSeries

FOLDER = Path(__file__).parents[1] / "data" / "written_faces"  # the README there says of what


@pytest.fixture(params=["series", "series-without-card", "series-refused"])
def document(request):
    return json.loads((FOLDER / f"{request.param}.json").read_text(encoding="utf-8"))


@pytest.fixture
def told():
    return json.loads((FOLDER / "series.json").read_text(encoding="utf-8"))


def test_a_real_document_is_written_again_to_the_letter(document):
    series = WrittenSeries.from_json(document)
    assert json.dumps(series.to_json()) == json.dumps(document)
    assert WrittenSeries.from_json(series.to_json()) == series


def test_a_series_of_before_rooms_were_measured_is_read(told):
    assert WrittenSeries.from_json(told).for_room.to_json() == told.pop("for_room")
    assert WrittenSeries.from_json(told).for_room is None


def test_what_a_series_says(told):
    series = WrittenSeries.from_json(told)
    assert (series.accepted, series.pattern, series.basis) == (True, "ABAB", CalibrationBasis.CHART)
    assert [frame.drape for frame in series.frames] == ["A", "B", "A", "B"]
    jaw = series.regions["jaw_left"]
    assert jaw.can_tell
    assert jaw.said.startswith("a difference of ΔE00 ")
    assert jaw.text == f"jaw left: {jaw.said}"


@pytest.mark.parametrize("lost", ["refusals", "frames", "basis", "regions", "exposure_change"])
def test_a_document_without_one_of_its_parts_is_refused(told, lost):
    del told[lost]
    with pytest.raises(NotAMeasurement, match=f"it has no '{lost}'"):
        WrittenSeries.from_json(told)


@pytest.mark.parametrize(
    "changed", [{"basis": "card"}, {"observer": "3"}, {"regions": []}, {"exposure_change": "much"}, {"frames": [3]}]
)
def test_what_was_never_written_is_refused(told, changed):
    with pytest.raises(NotAMeasurement):
        WrittenSeries.from_json({**told, **changed})
    with pytest.raises(NotAMeasurement):
        WrittenSeries.from_json(changed)


def test_a_difference_comes_with_its_interval(told):
    told["regions"]["chin"]["interval_90"] = None
    with pytest.raises(NotAMeasurement, match="one of the two is missing"):
        WrittenSeries.from_json(told)
