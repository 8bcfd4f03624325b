import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.colorimetry.illuminants import WAVELENGTHS_NM, illuminant_power
from tenter.colorimetry.lights.blackbody import planckian_power
from tenter.colorimetry.lights.colour_rendering import rendering_indices
from tenter.errors import TenterError
from tenter.light.lamp_spectrum import lamp_spectrum


def test_a_spectrum_on_our_wavelengths_stays_as_it_is():
    power = illuminant_power("FL11")
    found = lamp_spectrum(WAVELENGTHS_NM, power, "lamp")
    assert_allclose(found.power, power, rtol=0, atol=0)
    assert (found.remarks, found.lux) == ((), None)


def test_the_longest_wavelength_may_come_first():
    nm, power = np.arange(380, 781, 5.0), np.linspace(1, 2, 81)
    assert lamp_spectrum(nm[::-1], power[::-1], "lamp").power == pytest.approx(lamp_spectrum(nm, power, "lamp").power)


def test_a_line_between_two_samples_is_not_lost():
    nm = np.arange(380.0, 781.0)
    line = np.where(nm == 543, 5.0, 0.0)  # 5 nm·power, all of it between 540 and 545
    found = lamp_spectrum(nm, line + 0.001, "lamp")
    assert_allclose(found.power.sum() * 5, line.sum() + 0.401, rtol=0.01)
    assert found.power[WAVELENGTHS_NM == 545] > found.power[WAVELENGTHS_NM == 540] > 0.1


def test_fine_steps_of_a_smooth_light_say_the_same_as_coarse_ones():
    nm = np.arange(360.0, 800.0, 0.5)
    smooth = np.interp(nm, WAVELENGTHS_NM, planckian_power(5600))
    found = lamp_spectrum(nm, smooth, "lamp")
    assert_allclose(found.power, planckian_power(5600), rtol=0.01)
    coarse, fine = rendering_indices(planckian_power(5600)).ra, rendering_indices(found.power).ra
    assert_allclose(fine, coarse, rtol=0, atol=0.1)


def test_coarse_steps_are_joined_and_said_to_be_coarse():
    nm = np.arange(380.0, 781.0, 10.0)
    found = lamp_spectrum(nm, planckian_power(4000)[::2], "lamp")
    assert_allclose(found.power[::2], planckian_power(4000)[::2], rtol=1e-12)
    assert "steps of 10 nm" in found.remarks[0]


def test_what_was_not_measured_is_dark_and_said():
    nm = np.arange(400.0, 701.0, 5.0)
    found = lamp_spectrum(nm, np.ones(nm.size), "lamp")
    assert found.power[WAVELENGTHS_NM < 400].max() == found.power[WAVELENGTHS_NM > 700].max() == 0
    assert found.power[WAVELENGTHS_NM == 400] == 1
    assert [r for r in found.remarks if "380 to 400" in r] + [r for r in found.remarks if "700 to 780" in r] == list(
        found.remarks
    )


def test_noise_below_nought_is_nought_and_said():
    power = planckian_power(3000).copy()
    power[0] = -0.001
    found = lamp_spectrum(WAVELENGTHS_NM, power, "lamp")
    assert found.power[0] == 0
    assert "below 0 (by 0.1 %" in found.remarks[0]


def test_irradiance_gives_lux():
    # 1 W/m² at 555 nm is 683 lx, by the definition of the lumen, where V is 1
    nm = np.arange(380.0, 781.0)
    found = lamp_spectrum(nm, np.where(nm == 555, 1.0, 0.0), "lamp", is_irradiance=True)
    assert found.lux == pytest.approx(683, rel=0.01)


@pytest.mark.parametrize(
    ("nm", "values", "said"),
    [
        (np.arange(450.0, 701.0, 5), None, "400 to 700 nm"),
        (np.arange(380.0, 651.0, 5), None, "400 to 700 nm"),
        (np.array([*range(380, 500, 5), *range(495, 785, 5)]), None, "do not rise after 495 nm"),
        (np.arange(650.0, 379.0, -5), None, "covers 380 to 650 nm"),
        (np.arange(380.0, 781.0, 40), None, "at most 20 nm"),
        (WAVELENGTHS_NM, np.zeros(81), "no light in it"),
        (WAVELENGTHS_NM, np.where(WAVELENGTHS_NM == 500, -1.0, 1.0), "500 nm is -1"),
        (WAVELENGTHS_NM, np.where(WAVELENGTHS_NM == 500, np.nan, 1.0), "500 nm is not a finite"),
        (WAVELENGTHS_NM, np.ones(80), "80 values came for 81"),
    ],
)
def test_what_is_no_light_is_refused(nm, values, said):
    with pytest.raises(TenterError, match=said):
        lamp_spectrum(nm, np.ones(nm.size) if values is None else values, "lamp")
