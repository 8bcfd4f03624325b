"""A veil of light over a card is told from a tone curve, taken off the card, and left where it lies on all."""

import numpy as np
import pytest

from tenter.photo.card.veil import CLEAR_GAIN, NO_VEIL, Veil, lies_everywhere, likeliest_veil
from tenter.photo.face.measure import measure_face
from tenter.photo.reasons import Code
from tenter.photo.regions.regions import SKIN
from tests.support.pictures.other_light import veiled


def parabola(share, depth):
    """What a fit misses: 50 with the right veil, and so much more without one."""
    return lambda tried: 50 + depth * (tried / share - 1) ** 2


@pytest.mark.parametrize("share", [0.012, 0.04, 0.09])
def test_the_veil_with_which_a_fit_misses_least_is_found(share):
    found = likeliest_veil(parabola(share, 60.0), free=50)
    assert found.share == pytest.approx(share)
    assert found.gain == pytest.approx(60, rel=0.07)
    assert found.spread == pytest.approx(share * np.sqrt(1 / 60), rel=0.07)
    assert found.clear


def test_a_fit_that_gets_worse_with_a_veil_has_none():
    assert likeliest_veil(lambda share: 50 + 1000 * share, free=50) is NO_VEIL
    assert not NO_VEIL.possible


def test_a_small_gain_makes_a_veil_possible_and_not_clear():
    found = likeliest_veil(parabola(0.03, 9.0), free=50)
    assert found.possible
    assert not found.clear


def test_a_veil_than_which_nothing_is_darker_may_lie_on_all():
    white = np.array([0.8, 0.8, 0.8])
    assert lies_everywhere(np.array([0.05, 0.05, 0.06]), white, 0.06)
    assert not lies_everywhere(np.array([0.05, 0.001, 0.06]), white, 0.06)
    assert not Veil(0.06, 0.005, 2 * CLEAR_GAIN, everywhere=True).clear


@pytest.fixture(scope="module")
def plain(measured):
    return measured["p1a.jpg"]


def off(found, plain):
    return np.median([found.regions[region].lab - plain.regions[region].lab for region in SKIN], axis=0)


def test_a_veil_on_the_card_is_said_and_taken_off(portraits, plain):
    found = measure_face(veiled(portraits["p1a.jpg"], 0.04))
    [reason] = [reason for reason in found.reasons if reason.code is Code.CARD_VEILED]
    assert found.accepted
    assert reason.widens
    assert "parallel to the face" in reason.text
    assert found.card_light.veil == pytest.approx(0.04, abs=0.012)
    assert found.card_light.widened == ("lightness", "a", "b")
    assert np.abs(off(found, plain)).max() < 1.5, "without taking it off, L* is 5 too dark"


def test_a_strong_veil_is_refused(portraits):
    found = measure_face(veiled(portraits["p1a.jpg"], 0.12))
    assert any(reason.code is Code.CARD_VEILED and reason.refuses for reason in found.reasons)
    assert not found.accepted


def test_a_veil_on_all_of_the_picture_is_said_and_left(portraits, plain):
    found = measure_face(veiled(portraits["p1a.jpg"], 0.04, everywhere=True))
    assert Code.CARD_VEILED in {reason.code for reason in found.reasons}
    half = np.median([found.regions[region].half_width_90 for region in SKIN], axis=0)
    assert abs(off(found, plain)[0]) < 2
    assert half[0] > 3.5


def test_a_portrait_as_it_is_has_none(plain):
    assert plain.card_light.veil == 0
