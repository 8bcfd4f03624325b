"""A kit is a view of readings on a day: an old sitting is read with the kit as it was."""

import numpy as np
import pytest

from tenter import Kit
from tenter.colorimetry.measurement import D65_2, D65_10
from tenter.consultation.readings.kit_on_day import kit_on_day
from tenter.errors import TenterError
from tests.support.readings_given import reading

FILE = (
    "id,name,L,a,b,illuminant,observer,hue_family,role\nD001,coral,60,30,20,D65,10,,a-warm\nD002,grey,,,,D65,10,grey,\n"
)
OLD, NEW = (58.0, 29.0, 21.0), (55.0, 25.0, 25.0)


@pytest.fixture
def kit():
    return Kit.parse(FILE)


READINGS = [
    reading(lab=OLD, day="2025-06-01"),
    reading(lab=NEW, day="2026-06-01"),
    reading(lab=(57.0, 25.0, 25.0), day="2026-06-01"),
    reading("D002", lab=(40.0, 1.0, 2.0), day="2026-06-01"),
    reading("other", day="2025-06-01"),
]


@pytest.mark.parametrize(
    ("day", "lab"),
    [
        ("2025-05-31", (60, 30, 20)),
        ("2025-06-01", OLD),
        ("2026-05-31", OLD),
        ("2026-06-01", (56, 25, 25)),
        ("2030-01-01", (56, 25, 25)),
    ],
)
def test_a_cloth_has_the_colour_of_the_last_readings_up_to_the_day(kit, day, lab):
    assert kit_on_day(kit, READINGS, day).kit.lab[0] == pytest.approx(lab)


def test_nothing_but_the_colour_changes(kit):
    found = kit_on_day(kit, READINGS, "2026-06-02")
    assert found.kit.ids == kit.ids
    assert found.kit["D001"] == kit["D001"]
    assert (kit["D002"].measured, found.kit["D002"].measured) == (False, True)
    assert set(found.taken) == {"D001", "D002"}
    assert found.predicted == ()
    assert kit_on_day(kit, READINGS, "2024-01-01").kit is kit


def test_readings_for_another_light_are_carried_to_the_kits_and_named(kit):
    found = kit_on_day(kit, [reading(lab=OLD, conditions=D65_2, day="2026-06-01")], "2026-06-01")
    assert found.kit.colours.conditions == D65_10
    assert found.predicted == ("D001",)
    assert 0.1 < np.abs(found.kit.lab[0] - OLD).max() < 8


def test_a_day_that_is_none_is_refused(kit):
    with pytest.raises(TenterError, match="is no day"):
        kit_on_day(kit, READINGS, "soon")
