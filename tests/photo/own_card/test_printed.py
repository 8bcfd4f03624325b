"""Spectra of printed patches from what cameras say of them."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from studies.scenes.cameras import light_power, sensitivities
from studies.scenes.own_card_scene import printed_card
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_2
from tenter.colorimetry.reflectance import reflectance_to_xyz
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.photo.own_card.printed import PrintView, guessed_reflectances, print_estimate
from tenter.photo.patches.correction import D65_WHITE

SERIALS = (1, 2, 3, 4)


def view(serial, light, camera="nikon", noise=0.0):
    answer = sensitivities(camera) * light_power(light)[:, None]
    answer = answer / answer.sum(axis=0)
    seen = printed_card(serial).patches @ answer
    rng = np.random.default_rng(serial)  # noise of a channel, and of the light on a patch, which is known no better
    seen = seen * (1 + noise * (rng.normal(size=seen.shape) + 2 * rng.normal(size=(len(seen), 1))))
    return PrintView(seen, answer, np.zeros(seen.shape, dtype=bool))


def errors(serial, estimate):
    found = reflectance_to_xyz(estimate.reflectances, D65_2.illuminant, D65_2.observer)
    return delta_e_2000(xyz_to_lab(found, D65_WHITE), xyz_to_lab(printed_card(serial).xyz, D65_WHITE))


@pytest.mark.parametrize("serial", SERIALS)
def test_a_second_light_nearly_halves_the_doubt_and_comes_nearer(serial):
    one = print_estimate([view(serial, "D65")])
    two = print_estimate([view(serial, "D65"), view(serial, "A")])
    doubt_of_one, doubt_of_two = (np.trace(e.xyz_covariance, axis1=1, axis2=2).mean() for e in (one, two))
    assert doubt_of_two < 0.8 * doubt_of_one  # variances
    assert np.median(errors(serial, two)) < max(np.median(errors(serial, one)), 0.3)


def test_what_is_said_to_be_in_doubt_is_off_by_about_as_much():
    off, sd = [], []
    for serial in SERIALS:
        estimate = print_estimate([view(serial, "D65", noise=0.01)])
        found = reflectance_to_xyz(estimate.reflectances, D65_2.illuminant, D65_2.observer)
        off.append(found - printed_card(serial).xyz)
        sd.append(np.sqrt(np.diagonal(estimate.xyz_covariance, axis1=1, axis2=2)))
    inside = np.abs(np.array(off)) <= 1.645 * np.array(sd)
    assert 0.8 < inside.mean() < 1


def test_a_channel_cut_off_at_black_is_not_taken_at_its_word():
    whole = view(1, "A", noise=0.01)
    lost = whole.seen < 0.06
    seen = np.where(lost, 0.0, whole.seen)
    believed, doubted = (print_estimate([PrintView(seen, whole.answer, said)]) for said in (np.zeros_like(lost), lost))
    assert lost.any(axis=1).sum() > 3
    assert np.mean(errors(1, doubted)) < 0.8 * np.mean(errors(1, believed))


def test_patches_that_no_channel_saw_are_told_by_the_others_of_their_sheet():
    whole, blind = view(2, "D65"), [20, 25, 30]
    lost = np.zeros(whole.seen.shape, dtype=bool)
    lost[blind] = True
    seen = np.where(lost, 0.85 * whole.seen, whole.seen)  # a shadow that nobody knows of
    found = print_estimate([PrintView(seen, whole.answer, lost)])
    as_seen = print_estimate([PrintView(seen, whole.answer, np.zeros_like(lost))])
    assert np.median(errors(2, found)[blind]) < 0.7 * np.median(errors(2, as_seen)[blind])


def test_guessed_spectra_have_the_colour_they_were_asked_for():
    xyz = printed_card(5).xyz
    found = reflectance_to_xyz(guessed_reflectances(xyz), D65_2.illuminant, D65_2.observer)
    assert_allclose(found, xyz, atol=1e-3)
