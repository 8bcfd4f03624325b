import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.colorimetry.illuminants import WAVELENGTHS_NM, illuminant_power
from tenter.colorimetry.lights.blackbody import NoSuchDaylight, daylight_power, planckian_power, planckian_slope

C2_RATIO = 1.4388 / 1.4380  # CIE 15: by what the D illuminants' nominal temperatures are to be raised
AT_560_NM = 36


# CIE 15 prints the D series to two decimals where 560 nm is 100; every other row is the mean of its neighbours, to
# three: half a digit, and for the rows between two rounded ones as much again.
@pytest.mark.parametrize("hundreds", [50, 55, 65, 75])
def test_daylight_has_the_printed_spectra(hundreds):
    power = daylight_power(100 * hundreds * C2_RATIO)
    assert_allclose(100 * power / power[AT_560_NM], illuminant_power(f"D{hundreds}"), rtol=0, atol=1e-3)


# CIE 15 defines A by its own formula with c2 = 0.01435 and 2848 K, which is a black body of 2855.5 K to 0.0001; the
# printed table has six figures.
def test_illuminant_a_is_a_black_body():
    power = planckian_power(2848 * 1.4388 / 1.435)
    assert_allclose(100 * power / power[AT_560_NM], illuminant_power("A"), rtol=1e-5)


@pytest.mark.parametrize("kelvin", [1000, 2700, 6500, 50000])
def test_a_black_body_is_plancks_law_of_another_program(kelvin, colour_science, five_nm):
    theirs = colour_science.sd_blackbody(kelvin, five_nm).values
    assert_allclose(planckian_power(kelvin), theirs / theirs.max(), rtol=1e-9)


@pytest.mark.parametrize("kelvin", [1500, 3000, 8000])
def test_the_slope_is_that_of_the_power(kelvin):
    mired, step = 1e6 / kelvin, 1e-3
    greatest = int(planckian_power(kelvin).argmax())
    before, here, after = (planckian_power(1e6 / (mired + by)) for by in (-step, 0, step))
    # each is scaled to its own greatest value: what is compared is the change of shape
    shape = planckian_slope(kelvin) / here - planckian_slope(kelvin)[greatest] / here[greatest]
    ratio = np.log(after / after[greatest]) - np.log(before / before[greatest])
    assert_allclose(ratio / (2 * step), shape, rtol=1e-5, atol=1e-8)


def test_a_hotter_body_is_bluer():
    shares = [
        float(planckian_power(kelvin)[:25].sum() / planckian_power(kelvin).sum()) for kelvin in (2000, 4000, 9000)
    ]
    assert shares == sorted(shares)
    assert WAVELENGTHS_NM[25] == 505


@pytest.mark.parametrize("kelvin", [3999, 25001, float("nan")])
def test_no_daylight_is_made_up(kelvin):
    with pytest.raises(NoSuchDaylight, match="4000 to 25000 K"):
        daylight_power(kelvin)
