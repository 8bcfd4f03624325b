"""What has become of a cloth: how far, in which direction, by the grey scale, with what doubts, since which washes."""

import numpy as np
import pytest

from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_2, D65_10
from tenter.consultation.fading.drift import cloth_drifts
from tenter.consultation.readings.wash_log import Wash
from tenter.errors import TenterError
from tests.support.readings_given import reading

THEN, NOW = "2025-05-01", "2026-05-01"


def drift(before, after, then=None, now=None, washes=()):
    [found] = cloth_drifts(
        [reading(lab=before, day=THEN, **(then or {})), reading(lab=after, day=NOW, **(now or {}))], washes
    )
    return found


def polar(L, C, h):
    return L, float(C * np.cos(np.radians(h))), float(C * np.sin(np.radians(h)))


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        (polar(60, 30, 45), polar(60, 25, 55), "yellowed and lost 5 chroma"),
        (polar(60, 40, 45), polar(60, 30, 47), "lost 10 chroma"),
        (polar(70, 30, 60), polar(70, 25, 64), "lost 5 chroma and yellowed"),
        ((92.0, 0.0, 3.0), (91.0, 0.0, 8.0), "yellowed"),
        ((40.0, 20.0, 10.0), (46.0, 20.0, 10.0), "got 6 lighter"),
        ((40.0, 20.0, 10.0), (38.8, 20.0, 10.0), "got 1.2 darker"),
        (polar(50, 30, 250), polar(50, 36, 250), "gained 6 chroma"),
        ((50.0, 0.0, 0.0), (50.0, 4.0, 0.0), "reddened"),
        ((50.0, 0.0, 0.0), (50.0, 0.0, -4.0), "turned bluer"),
        ((50.0, 20.0, 10.0), (50.2, 20.2, 10.0), "no change that an eye would see"),
    ],
)
def test_the_direction_is_said_in_words(before, after, words):
    assert drift(before, after).direction == words


def test_difference_and_grade_are_under_d65_by_the_10_degree_observer():
    found = drift((50.0, 0.0, 0.0), (53.4, 0.0, 0.0))
    assert found.delta_e == pytest.approx(float(delta_e_2000((50, 0, 0), (53.4, 0, 0))))
    assert (found.grade.step, found.has_drifted) == ("3", True)
    carried = drift((50.0, 20.0, 0.0), (50.0, 20.0, 0.0), {"conditions": D65_2}, {"conditions": D65_2})
    assert carried.baseline.conditions == D65_10
    assert carried.delta_e == 0


@pytest.mark.parametrize(("change", "drifted"), [(1.9, False), (2.1, True)])
def test_a_cloth_leaves_the_tests_at_the_practice_threshold(change, drifted):
    # two greys about L* 50 differ by nearly their difference in lightness
    assert drift((50 - change / 2, 0.0, 0.0), (50 + change / 2, 0.0, 0.0)).has_drifted is drifted


def test_the_first_and_the_last_day_count_and_the_most_changed_cloth_comes_first():
    days = [("A", 50, "2025-01-01"), ("A", 60, "2025-06-01"), ("A", 51, "2026-01-01"), ("B", 50, "2025-01-01")]
    readings = [reading(name, lab=(float(L), 0.0, 0.0), day=day) for name, L, day in days]
    readings += [reading("B", lab=(55.0, 0.0, 0.0), day="2026-01-01"), reading("C", day="2026-01-01")]
    found = cloth_drifts(readings)
    assert [(one.cloth, one.baseline.day, one.latest.day) for one in found] == [
        ("B", "2025-01-01", "2026-01-01"),
        ("A", "2025-01-01", "2026-01-01"),
    ]
    assert found[1].trend.days == 3
    assert [one.cloth for one in cloth_drifts(readings, since="2025-06-01")] == ["A"]
    with pytest.raises(TenterError, match="is no day"):
        cloth_drifts(readings, since="spring")


def test_washes_since_the_first_readings_are_told_in_their_order():
    log = [Wash("D001", day, "hand") for day in ("2026-01-01", "2025-06-01", "2025-04-30")] + [Wash("D2", NOW, "hand")]
    assert [one.day for one in drift((50.0, 0.0, 0.0), (53.0, 0.0, 0.0), washes=log).washes] == [
        "2025-06-01",
        "2026-01-01",
    ]


@pytest.mark.parametrize(
    ("then", "now", "said"),
    [
        ({"instrument": "a"}, {"instrument": "b"}, "differ in instruments"),
        ({"backing": "white"}, {"backing": "black"}, "differ in backings"),
        ({"uv": "with"}, {"uv": "without"}, "differ in ultraviolet in the lamp"),
        ({"direction": "along"}, {"direction": "against"}, "differ in direction"),
        ({"folds": 4}, {"folds": 1}, "differ in folds"),
        ({"folds": 4}, {}, ""),
        ({"instrument": "a"}, {"instrument": "a"}, ""),
        ({"instrument": "a"}, {}, ""),
        ({"uv": "unknown"}, {"uv": "without"}, ""),
    ],
)
def test_another_way_of_reading_is_a_doubt(then, now, said):
    doubts = drift((50.0, 0.0, 0.0), (55.0, 0.0, 0.0), then, now).doubts
    assert [said in doubt for doubt in doubts] == [True] * bool(said)


def test_a_change_within_the_spread_of_the_readings_is_doubted():
    then = [reading(lab=(50.0, 0.0, 0.0), day=THEN), reading(lab=(54.0, 0.0, 0.0), day=THEN)]
    [found] = cloth_drifts([*then, reading(lab=(53.5, 0.0, 0.0), day=NOW)])
    assert found.doubts == ("The change is within the spread of the readings (ΔE00 2.0); read the cloth again.",)


@pytest.mark.parametrize(
    ("then", "now", "said"),
    [(D65_2, D65_10, "The first day was read"), (D65_10, D65_2, "The latest day was read"), (D65_2, D65_2, "")],
)
def test_a_day_that_was_read_under_another_light_or_observer_is_doubted(then, now, said):
    doubts = drift((50.0, 20.0, 0.0), (60.0, 20.0, 0.0), {"conditions": then}, {"conditions": now}).doubts
    assert [doubt.startswith(said) for doubt in doubts] == [True] * bool(said)
