"""One colour out of several readings: what averages out, what does not, and what readings far apart do."""

from dataclasses import replace
from itertools import permutations, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.stats import norm

from tenter.colorimetry.spaces import lab_to_xyz, xyz_to_lab
from tenter.photo.patches.correction import D65_WHITE
from tenter.photo.regions.interval_parts import ColourInParts
from tenter.photo.together.combining import (
    at_lightness,
    averaged,
    combined,
    of_one_hold,
    own_deviations,
    spread_between,
    spread_of,
    weights_of,
)

LAB = np.array([62.0, 11.0, 16.0])
OWN, LIGHT, SHARED = np.array([0.8, 0.7, 1.0]), np.array([2.5, 0.4, 0.4]), np.array([1.2, 0.7, 0.9])


def colour(moved=(0, 0, 0), own=OWN, light=LIGHT, shared=SHARED):
    """A reading of one face, moved from it."""
    return ColourInParts(LAB + moved, np.zeros(3), own, light, shared)


def card_in_other_light(factor):
    """A reading whose card got so much of the light: the face then seems lighter or darker by as much."""
    lab = xyz_to_lab(lab_to_xyz(LAB, D65_WHITE) / factor, D65_WHITE)
    return replace(colour(), lab=lab)


@pytest.mark.parametrize("n", [2, 3, 5])
def test_own_errors_of_n_readings_average_out_and_shared_ones_do_not(n):
    lab, own, shared = averaged(np.tile(LAB, (n, 1)), np.tile(OWN, (n, 1)), np.tile(SHARED, (n, 1)))
    assert_allclose(lab, LAB)
    assert_allclose(own, OWN / np.sqrt(n))
    assert_allclose(shared, SHARED)


def test_a_reading_counts_by_the_precision_of_its_own_error():
    assert_allclose(weights_of(np.array([[1.0, 1, 1], [2, 2, 2]])), [[0.8] * 3, [0.2] * 3])


def test_one_reading_is_what_it_is():
    assert combined([colour()]) is not None
    assert_allclose(combined([colour()]).half_width_90, colour().half_width_90)


@pytest.mark.parametrize("n", [2, 3, 5, 8])
def test_readings_that_agree_are_surer_with_each_but_never_than_what_they_share(n):
    fewer, more = combined([colour()] * (n - 1)), combined([colour()] * n)
    assert (more.half_width_90 < fewer.half_width_90).all()
    assert_allclose(more.shared, SHARED)
    assert (more.half_width_90 > SHARED).all()


def test_two_that_agree_owe_little_to_what_the_light_on_a_card_may_do():
    doubted = combined([colour(light=np.array([2.5, 0, 0]))] * 2)
    trusted = replace(colour(), card_light=np.zeros(3))
    assert doubted.half_width_90[0] < 1.1 * trusted.half_width_90[0] < 0.6 * colour().half_width_90[0]


def test_a_card_that_nobody_moved_errs_by_the_same_again():
    both = of_one_hold([colour(), colour((1, 0.4, -0.2))])
    assert_allclose(both.card_light, LIGHT)
    assert_allclose(both.shared, SHARED)
    assert_allclose(both.own, OWN / np.sqrt(2))
    assert both.lab[0] == pytest.approx(LAB[0] + 0.5)
    one = colour()
    assert of_one_hold([one]) is one


def test_a_hold_is_one_reading_beside_another_hold():
    alike = of_one_hold([colour(), colour()])
    assert (combined([alike, colour()]).half_width_90 < combined([alike]).half_width_90).all()
    assert (combined([alike, colour()]).half_width_90 > combined([colour()] * 3).half_width_90).all()


@given(
    st.lists(st.tuples(*[st.floats(-12, 12)] * 3), min_size=2, max_size=4),
    st.lists(st.floats(0.2, 3), min_size=4, max_size=4),
)
def test_the_order_of_readings_does_not_matter(moves, sizes):
    readings = [colour(move, own=OWN * size, shared=SHARED * size) for move, size in zip(moves, sizes, strict=False)]
    first = combined(readings)
    for order in permutations(readings):
        again = combined(order)
        assert_allclose(again.lab, first.lab, atol=1e-6)
        assert_allclose(again.half_width_90, first.half_width_90, atol=1e-6)


@given(st.lists(st.floats(0.3, 3), min_size=2, max_size=5))
def test_the_shared_part_is_no_smaller_than_the_least_of_them(sizes):
    readings = [colour(own=OWN * size, shared=SHARED * size) for size in sizes]
    assert (combined(readings).shared >= SHARED * min(sizes) - 1e-9).all()
    assert (combined(readings).shared <= SHARED * max(sizes) + 1e-9).all()


@pytest.mark.parametrize("apart", [0.0, 1.5, 4.0, 9.0])
def test_lightness_is_what_cards_held_well_or_badly_make_of_it(apart):
    """The product of two mixtures, written out as its four normal hills."""
    readings = [colour(), colour((apart, 0, 0))]
    found = combined(readings)
    held = own_deviations(readings)[:, 0]
    amiss = np.hypot(OWN[0] / 1.6449, 0.15 * (np.array([r.lab[0] for r in readings]) + 16) / 3)
    hills = []
    for bad in product((False, True), repeat=2):
        sd = np.where(bad, amiss, held)
        share = np.prod(np.where(bad, 0.2, 0.8))
        precision = (1 / sd**2).sum()
        mean = sum(r.lab[0] / s**2 for r, s in zip(readings, sd, strict=True)) / precision
        hills.append((share * norm.pdf(apart, 0, np.hypot(*sd)), mean, precision**-0.5))
    weight, mean, sd = np.array(hills).T
    weight /= weight.sum()
    assert_allclose(found.lab[0], weight @ mean, atol=0.01)
    inside = weight @ (
        norm.cdf(found.lab[0] + found.own[0], mean, sd) - norm.cdf(found.lab[0] - found.own[0], mean, sd)
    )
    assert inside == pytest.approx(0.9, abs=0.003)


def test_the_one_apart_weighs_less_than_the_others():
    off = card_in_other_light(0.75)
    three = combined([colour(), colour((0.3, 0, 0)), off])
    assert off.lab[0] > LAB[0] + 6
    assert abs(three.lab[0] - LAB[0]) < 0.5
    assert three.lab[0] < np.mean([LAB[0], LAB[0] + 0.3, off.lab[0]]) - 1.5


def test_two_far_apart_leave_the_middle_and_an_interval_that_reaches_both():
    off = card_in_other_light(0.75)
    two = combined([colour(), off])
    assert_allclose(two.lab[0], (LAB[0] + off.lab[0]) / 2, atol=0.6)
    assert two.half_width_90[0] >= 0.95 * (off.lab[0] - LAB[0]) / 2


def test_light_alone_moves_no_tint_once_it_is_brought_to_one_lightness():
    readings = [colour(), card_in_other_light(0.7)]
    assert abs(readings[1].lab[2] - LAB[2]) > 1
    matched = at_lightness(readings, 62.0)
    assert_allclose(matched[1, 1:], matched[0, 1:], atol=0.02)
    assert matched[1, 0] == readings[1].lab[0]
    assert_allclose(combined(readings).lab[1:] / (combined(readings).lab[0] + 16), LAB[1:] / 78, rtol=2e-3)


def test_the_spread_is_held_against_what_is_expected():
    agreeing, apart = spread_of([colour(), colour((0.5, 0, 0))]), spread_of([colour(), colour((9, 0, 0))])
    assert agreeing.agrees(0.95).all()
    assert apart.agrees(0.999).tolist() == [False, True, True]
    assert_allclose(apart.found[0], 9 / np.sqrt(2))
    assert_allclose(apart.chi_square[0], (9 / np.sqrt(2) / apart.expected[0]) ** 2, rtol=0.02)
    assert apart.to_json(0.95)["degrees_of_freedom"] == 1


def test_readings_that_err_as_they_say_disagree_as_often_as_chi_squared_has_it():
    own = np.array([[0.4, 0.8, 1.5], [1.0, 0.5, 0.9], [0.7, 1.2, 0.6], [2.0, 0.6, 1.1]])
    drawn = LAB + own * np.random.default_rng(6).standard_normal((4000, 4, 3))
    spreads = [spread_between(lab, own) for lab in drawn]
    squares = np.array([spread.chi_square for spread in spreads])
    assert_allclose(squares.mean(axis=0), spreads[0].freedom, rtol=0.05)
    assert_allclose(np.mean([spread.agrees(0.9) for spread in spreads], axis=0), 0.9, atol=0.02)


def test_parts_survive_the_json():
    parts = colour()
    again = ColourInParts.from_json(parts.lab.tolist(), parts.to_json())
    assert_allclose(again.half_width_90, parts.half_width_90)
    for broken in ({"own": [1, 2, 3]}, {**parts.to_json(), "shared": [1, 2]}, {**parts.to_json(), "own": [-1, 1, 1]}):
        with pytest.raises((KeyError, ValueError)):
            ColourInParts.from_json([1, 2, 3], broken)
