"""Agreement of two analysts, held to the published worked example of Krippendorff's alpha, and to laws."""

import numpy as np
import pytest

from tenter import TenterError
from tenter.consultation.axes import Axis
from tenter.consultation.compared.agreement import (
    FEWEST_DOUBLE_READINGS,
    Bias,
    MeasurementLevel,
    against_named,
    alpha,
    bias,
    compare_readings,
    names_compared,
    reliability,
    reliability_of_names,
)
from tenter.consultation.reading.reading import Estimate

NAN = np.nan
# K. Krippendorff (2011), Computing Krippendorff's Alpha-Reliability, University of Pennsylvania, ScholarlyCommons:
# parts C and D, four observers and twelve units with values left out.
FOUR_OBSERVERS = [
    [1, 2, 3, 3, 2, 1, 4, 1, 2, NAN, NAN, NAN],
    [1, 2, 3, 3, 2, 2, 4, 1, 2, 5, NAN, 3],
    [NAN, 3, 3, 3, 2, 3, 4, 2, 2, 5, 1, NAN],
    [1, 2, 3, 3, 2, 4, 4, 1, 2, 5, 1, NAN],
]
PRINTED = {MeasurementLevel.NOMINAL: 0.743, MeasurementLevel.INTERVAL: 0.849}


def line(rng, count=8):
    return rng.normal(size=count)


@pytest.fixture
def rng():
    return np.random.default_rng(11)


# -- alpha -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("level", MeasurementLevel)
def test_the_published_example(level):
    assert alpha(FOUR_OBSERVERS, level) == pytest.approx(PRINTED[level], abs=0.0005)


def test_the_order_of_observers_and_units_does_not_matter(rng):
    table = np.array(FOUR_OBSERVERS)
    mixed = table[rng.permutation(4)][:, rng.permutation(12)]
    assert alpha(mixed, MeasurementLevel.INTERVAL) == pytest.approx(alpha(table, MeasurementLevel.INTERVAL), abs=1e-12)


def test_a_unit_that_one_observer_read_alone_counts_for_nothing():
    table = np.array(FOUR_OBSERVERS)[:, :-1]
    assert alpha(table, MeasurementLevel.INTERVAL) == pytest.approx(
        alpha(FOUR_OBSERVERS, MeasurementLevel.INTERVAL), abs=1e-12
    )


def test_the_same_readings_agree_perfectly(rng):
    values = line(rng)
    assert reliability(values, values).alpha == pytest.approx(1.0)
    assert reliability_of_names("abcabcab", "abcabcab").alpha == pytest.approx(1.0)


def test_alpha_keeps_its_value_in_other_units(rng):
    first, second = line(rng), line(rng)
    moved = reliability(3 * first + 2, 3 * second + 2).alpha
    assert moved == pytest.approx(reliability(first, second).alpha, abs=1e-9)


def test_a_bias_between_analysts_lowers_alpha(rng):
    values = line(rng)
    assert reliability(values, values + 1).alpha < reliability(values, values + 0.3).alpha < 1


def test_opposite_readings_are_worse_than_chance(rng):
    values = line(rng)
    assert reliability(values, -values).alpha < 0


def test_names_are_only_equal_or_not():
    first = ["soft summer", "deep winter", "warm autumn", "soft summer", "cool winter", "warm spring"]
    second = ["soft summer", "deep winter", "soft autumn", "cool summer", "cool winter", "warm spring"]
    found = reliability_of_names(first, second)
    assert 0 < found.alpha < 1
    for turn in range(1, len(first)):  # in another order the names come up in another order
        moved = reliability_of_names(first[turn:] + first[:turn], second[turn:] + second[:turn])
        assert moved.alpha == pytest.approx(found.alpha, abs=1e-12)


@pytest.mark.parametrize("count", range(FEWEST_DOUBLE_READINGS))
def test_too_few_to_say(rng, count):
    found = reliability(line(rng, count), line(rng, count))
    assert found.too_few
    assert (found.count, found.alpha) == (count, None)


def test_enough_to_say(rng):
    found = reliability(line(rng, FEWEST_DOUBLE_READINGS), line(rng, FEWEST_DOUBLE_READINGS))
    assert not found.too_few
    assert found.alpha is not None


def test_values_that_are_all_the_same_tell_nothing():
    found = reliability_of_names(["soft summer"] * 6, ["soft summer"] * 6)
    assert (found.alpha, found.count, found.too_few) == (None, 6, False)
    assert alpha([[1, NAN], [NAN, 2]], MeasurementLevel.INTERVAL) is None


# -- one client --------------------------------------------------------------------------------------------------------


def test_two_readings_axis_by_axis():
    first = {axis: Estimate(0.5, 0.0, 1.0) for axis in Axis}
    second = dict(first) | {Axis.DEPTH: Estimate(1.5, 1.0, 2.0), Axis.CLARITY: Estimate(-1.0, -1.5, -0.5)}
    undertone, depth, clarity = compare_readings(first, second)
    assert (undertone.axis, undertone.difference, undertone.overlap) == (Axis.UNDERTONE, 0.0, True)
    assert (depth.difference, depth.overlap) == (-1.0, True)  # they touch
    assert (clarity.difference, clarity.overlap) == (1.5, False)
    turned = compare_readings(second, first)
    assert [a.overlap for a in turned] == [True, True, False]
    assert [a.difference for a in turned] == [0.0, 1.0, -1.5]


# -- bias --------------------------------------------------------------------------------------------------------------


def test_bias_by_hand():
    # Differences 1, 2 and 3: mean 2, standard deviation 1, standard error 1/√3.
    assert bias([1, 2, 3], [0, 0, 0]) == Bias(2.0, pytest.approx(1 / np.sqrt(3)), 3)


def test_bias_turns_its_sign_with_the_analysts(rng):
    first, second = line(rng), line(rng)
    one, other = bias(first, second), bias(second, first)
    assert (one.mean, one.standard_error) == pytest.approx((-other.mean, other.standard_error))


def test_one_client_tells_no_spread():
    assert bias([0.4], [0.1]) == Bias(pytest.approx(0.3), None, 1)


# -- what is refused ---------------------------------------------------------------------------------------------------


def test_what_does_not_pair_is_refused():
    for call in (lambda: reliability([1, 2], [1]), lambda: bias([1], [1, 2]), lambda: reliability_of_names("a", "")):
        with pytest.raises(TenterError, match="first and a second reading"):
            call()
    with pytest.raises(TenterError, match="got none"):
        bias([], [])
    with pytest.raises(TenterError, match="a row for each consultant"):
        alpha([1, 2, 3], MeasurementLevel.NOMINAL)


def test_named_results_are_counted_by_the_word_of_the_odds():
    cases = [(0.99, True), (0.995, False), (0.8, True), (0.55, False), (0.76, False)]
    found = against_named(cases)
    assert [(share.word, share.count, share.same) for share in found] == [
        ("settled", 2, 1),
        ("likely", 2, 1),
        ("open", 1, 0),
    ]
    assert [share.stated for share in found] == pytest.approx([0.9925, 0.78, 0.55])
    assert found[0].stated_percent == "99 %"
    assert against_named([]) == ()


@pytest.mark.parametrize(
    ("first", "second", "word"),
    [
        (("warm spring", 0.4), ("warm spring", 0.97), "the same"),
        (("warm spring", 0.9), ("cool summer", 0.9), "differ"),
        (("warm spring", 0.3), ("cool summer", 0.9), "differ"),
        (("warm spring", 0.59), ("cool summer", 0.4), "both open"),
    ],
)
def test_two_readings_that_are_both_open_do_not_differ(first, second, word):
    assert names_compared(first, second) == names_compared(second, first) == word
