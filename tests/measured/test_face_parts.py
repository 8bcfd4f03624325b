"""Each part of a written face says again what it was read from, and is refused where it contradicts itself."""

import pytest

from tenter.colorimetry.typology import ItaClass
from tenter.errors import TenterError
from tenter.measured.face_parts import (
    WrittenAngle,
    WrittenDifference,
    WrittenPhotograph,
    WrittenReason,
    WrittenRegion,
)

LAB, WITHIN = [60.125, 10.0, 15.5], [[58.0, 62.25], [9.0, 11.0], [14.0, 17.0]]
REASON = {"code": "uneven_light", "text": "The light comes from the side."}
CHART = {"found": False, "method": None}

WRITTEN = [
    (WrittenReason, REASON),
    (WrittenRegion, {"lab": LAB, "lab_interval_90": WITHIN, "pixels": 812, "reason": None, "caution": "hair near it"}),
    (WrittenRegion, {"lab": None, "lab_interval_90": None, "pixels": 0, "reason": "left out", "caution": None}),
    (WrittenRegion, {"lab": LAB, "lab_interval_90": WITHIN}),
    (WrittenDifference, {"from": "forehead", "to": "chin", "delta_lab": LAB, "interval_90": WITHIN}),
    (WrittenAngle, {"value": 41.25, "interval_90": [30.0, 52.5], "class": "light"}),
    (WrittenAngle, {"value": -31, "class": "dark"}),
    (WrittenPhotograph, {"file": "a.jpg", "used": True}),
    (
        WrittenPhotograph,
        {
            **{"file": "a.jpg", "accepted": True, "reasons": [REASON], "used": True},
            **{"skin_against_all": [0.5, -0.25, 0.0], "chart": CHART},
        },
    ),
    (
        WrittenPhotograph,
        {
            **{"file": "b.jpg", "accepted": False, "reasons": [], "used": False},
            **{"skin_against_all": None, "chart": CHART},
        },
    ),
]


@pytest.mark.parametrize(("kind", "document"), WRITTEN)
def test_what_is_read_is_written_again_in_the_same_order(kind, document):
    part = kind.from_json(document)
    assert part.to_json() == document
    assert list(part.to_json()) == list(document)
    assert kind.from_json(part.to_json()) == part


def test_a_colour_and_its_interval_come_together():
    for lab, interval in ((LAB, None), (None, WITHIN)):
        with pytest.raises(TenterError, match="one of the two is missing"):
            WrittenRegion.from_json({"lab": lab, "lab_interval_90": interval})


@pytest.mark.parametrize("pixels", [-1, 2.5, True, "many"])
def test_pixels_are_counted(pixels):
    with pytest.raises(TenterError, match="pixels"):
        WrittenRegion.from_json({"lab": LAB, "lab_interval_90": WITHIN, "pixels": pixels})


@pytest.mark.parametrize("degrees", [181, None, True, "41"])
def test_an_angle_is_within_half_a_turn(degrees):
    with pytest.raises(TenterError, match="ita_degrees"):
        WrittenAngle(degrees, None, ItaClass.LIGHT)


def test_whether_a_photograph_is_used_is_true_or_false():
    with pytest.raises(TenterError, match="used"):
        WrittenPhotograph.from_json({"file": "a.jpg", "used": "yes"})
