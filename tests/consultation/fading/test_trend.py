"""The trend of a cloth: the slope of its readings over the years, and the interval of it."""

from datetime import date, timedelta

import numpy as np
import pytest
from scipy import stats

from tenter.consultation.fading.trend import colour_trend
from tenter.consultation.readings.summary import cloth_summaries
from tests.support.readings_given import reading

FIRST = date(2024, 1, 1)


def read_at(years, chromas):
    days = [(FIRST + timedelta(days=round(365.25 * year))).isoformat() for year in years]
    return cloth_summaries([reading(lab=(50.0, 0.0, C), day=day) for day, C in zip(days, chromas, strict=True)])


def test_a_straight_fade_has_its_slope_and_no_width():
    trend = colour_trend(read_at([0, 1, 2, 3], [20.0, 18.0, 16.0, 14.0]))
    assert trend.chroma.per_year == pytest.approx(-2, abs=0.01)
    assert trend.chroma.high - trend.chroma.low < 0.01
    assert trend.b == trend.chroma
    assert (trend.lightness.per_year, trend.a.per_year, trend.days) == (0, 0, 4)
    assert not trend.lightness.is_certain
    assert trend.chroma.is_certain


# scipy.stats.linregress, another program of the same: slope and its standard error; t of 0.95 with n - 2 degrees.
def test_the_interval_is_that_of_a_regression():
    years, chromas = np.array([0.0, 0.5, 1.2, 2.0, 3.1]), [20.0, 19.4, 18.1, 17.2, 14.0]
    trend = colour_trend(read_at(years, chromas))
    exact = np.round(365.25 * years) / 365.25
    line = stats.linregress(exact, chromas)
    half = stats.t.ppf(0.95, 3) * line.stderr
    assert trend.chroma.per_year == pytest.approx(line.slope, abs=1e-8)
    assert (trend.chroma.low, trend.chroma.high) == pytest.approx((line.slope - half, line.slope + half), abs=1e-8)


# G. E. P. Box and others' textbooks tabulate Student's t: 6.314 for one degree of freedom at 0.95.
def test_three_days_have_one_degree_of_freedom():
    trend = colour_trend(read_at([0, 1, 2], [10.0, 11.5, 12.0]))
    # residuals -1/6, 1/3, -1/6 about the slope 1: their squares sum to 1/6, so the error is sqrt(1/6 / 1 / 2)
    assert trend.chroma.high - trend.chroma.per_year == pytest.approx(6.3138 * (1 / 12) ** 0.5, rel=1e-3)
    assert not trend.chroma.is_certain


def test_two_days_show_no_trend():
    assert colour_trend(read_at([0, 1], [10.0, 12.0])) is None


def test_the_day_of_a_limit_is_told_only_of_a_certain_change():
    slow = colour_trend(read_at([0, 1, 2, 3], [20.0, 19.7, 19.4, 19.1]))
    left = slow.years_to(2.0)
    assert slow.fitted_at_end + left * slow.delta_e.per_year == pytest.approx(2)
    assert slow.years_to(0.1) is None
    assert colour_trend(read_at([0, 1, 2], [20.0, 19.0, 20.0])).years_to(2.0) is None
