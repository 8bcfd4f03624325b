"""The picture of a cloth's change says what the drift says, day by day."""

import re
from dataclasses import replace

import pytest

from tenter.consultation.fading.drift import cloth_drifts
from tenter.errors import TenterError
from tenter.report.workshop_pictures.drift_picture import drift_shown, drift_svg
from tests.support.workshop_kit import read_over_years

BOOK = read_over_years()


@pytest.fixture(scope="module")
def shown():
    return drift_shown(BOOK.readings, BOOK.washes, "D061", "Test Red W")


def test_it_says_the_drift_of_the_cloth(shown):
    drift = next(one for one in cloth_drifts(BOOK.readings, BOOK.washes) if one.cloth == "D061")
    assert shown.title == "D061 Test Red W"
    assert [one.day for one in shown.days] == ["2025-05-04", "2025-11-04", "2026-11-04"]
    assert shown.days[0].delta_e == 0
    assert shown.days[-1].delta_e == pytest.approx(drift.delta_e)
    assert shown.lines[0] == f"ΔE00 {drift.delta_e:.1f} since 4 May 2025."
    assert shown.lines[-1] == "Take it out of the tests, or enter its new colour."
    assert shown.washes == ("2025-12-10", "2026-06-10")


def test_points_rise_with_the_change_and_the_limit_is_drawn(shown):
    svg = drift_svg(shown)
    heights = [float(y) for y in re.findall(r'<circle cx="[\d.]+" cy="([\d.]+)"', svg)]
    assert heights == sorted(heights, reverse=True)
    assert heights[0] - heights[-1] > 100
    assert "from here on it leaves the tests" in svg
    assert "Short strokes: 2 washes." in svg
    assert re.findall(r">(\d{1,2} \w+ \d{4})</text>", svg)[-2:] == ["4 May 2025", "4 November 2026"]
    assert all(colour in svg for colour, _ in (shown.then, shown.now))


@pytest.mark.parametrize("middle", [0.4, 1.2, 2.2, 2.6, 4.0])
def test_the_words_at_the_limit_are_clear_of_the_points(shown, middle):
    first, one, last = shown.days
    svg = drift_svg(replace(shown, days=(first, replace(one, delta_e=middle, day="2026-04-20"), last)), headed=False)
    [(x, y, anchor)] = re.findall(r'<text x="([\d.]+)" y="([\d.]+)"[^>]*text-anchor="(\w+)"[^>]*>from here', svg)
    left = float(x) - 240 if anchor == "end" else float(x)
    for cx, cy in re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)"', svg):
        assert not (left < float(cx) < left + 240 and float(y) - 20 < float(cy) < float(y) + 6)
    assert "D061 Test Red W</text>" not in svg


def test_a_cloth_that_was_read_on_one_day_has_no_picture():
    with pytest.raises(TenterError, match="D002 has no readings of two days"):
        drift_shown(BOOK.readings, BOOK.washes, "D002")
