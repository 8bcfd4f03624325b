"""Under the shop's lamp: what a spectrum tells, and silence where there is none."""

import numpy as np
import pytest

from studies.scenes.cloth_scene import cloth_reflectances
from tenter.colorimetry.illuminants import WAVELENGTHS_NM, Observer, illuminant_names, weighting_table
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.hue_families import hue_family
from tenter.consultation.garments.garment import from_reading, from_spectrum
from tenter.consultation.garments.shop_lamp import LAMPS, stored_lamp, under_lamp
from tests.support.clients.palette_clients import client


def known():
    return client("warm autumn")[0]


def palette():
    return client("warm autumn")[1]


def seen(garment, lamp):
    return under_lamp(palette(), known(), garment, lamp)


@pytest.mark.parametrize("lamp", ["bulb", "tube", "LED-B3", "D50", "FL11"])
def test_a_surface_that_reflects_all_light_alike_looks_the_same_under_every_lamp(lamp):
    found = seen(from_spectrum(np.full(WAVELENGTHS_NM.size, 0.3)), lamp)
    assert found.delta_e < 1e-6
    assert all(abs(step) < 1e-6 for step in found.moves.values())


def test_under_daylight_itself_nothing_moves():
    for reflectance in cloth_reflectances()[:6]:
        assert seen(from_spectrum(reflectance), "D65").delta_e < 1e-6


def test_two_garments_of_one_colour_in_daylight_may_part_under_a_lamp():
    cloth = cloth_reflectances()[10]
    ripple = np.sin(WAVELENGTHS_NM / 25.0)
    other = _of_the_same_colour(cloth, 0.03 * ripple)
    one, two = (seen(from_spectrum(r), "FL11") for r in (cloth, other))
    day, match = (from_spectrum(r).colours[0].lab for r in (cloth, other))
    assert day == pytest.approx(match, abs=1e-6)
    assert abs(one.delta_e - two.delta_e) > 0.3


def _of_the_same_colour(reflectance, change):
    """Return a reflectance changed by what no eye sees in daylight: the change without its part in D65/10°."""
    weights = weighting_table("D65", Observer.CIE_1964_10)
    unseen = change - weights @ np.linalg.lstsq(weights.T @ weights, weights.T @ change, rcond=None)[0]
    return np.clip(reflectance + unseen, 0, 1)


def test_nothing_is_said_without_the_garments_spectrum_or_the_lamps():
    reading = seen(from_reading([50, 20, 20]), "tube")
    assert (reading.illuminant, reading.lab, reading.role) == ("FL2", None, None)
    unknown = seen(from_spectrum(cloth_reflectances()[2]), "disco ball")
    assert (unknown.lamp, unknown.illuminant, unknown.delta_e) == ("disco ball", "", None)


def test_every_lamp_by_a_plain_name_has_a_stored_spectrum():
    assert set(LAMPS.values()) <= set(illuminant_names())
    assert stored_lamp(" Shop  Tube ") == "FL11"
    assert stored_lamp("led-b3") == "LED-B3"
    assert [stored_lamp(lamp) for lamp in ("F11", "f12", "f99", "fog")] == ["FL11", "FL12", "", ""]


def test_the_moves_are_the_difference_of_the_places():
    found = seen(from_spectrum(cloth_reflectances()[20]), "A")
    day = from_spectrum(cloth_reflectances()[20]).colours[0].lab
    labs = np.array([day, found.lab])
    places = known().places(labs, [hue_family(lab) for lab in labs])
    assert [found.moves[axis] for axis in Axis] == pytest.approx(places[1] - places[0], abs=1e-8)
