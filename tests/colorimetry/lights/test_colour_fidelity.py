import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.colorimetry.illuminants import WAVELENGTHS_NM, illuminant_power
from tenter.colorimetry.lights.blackbody import daylight_power, planckian_power
from tenter.colorimetry.lights.colour_fidelity import HUE_BINS, colour_fidelity, reference_power
from tenter.colorimetry.lights.colour_temperature import NoColourTemperature

# Where the column's reference light is up to 1.8 K from ours (see test_colour_temperature.py), Rf moves by 0.0064 at
# most; all others are met to half the printed digit.
OTHER_REFERENCE = {"D65", "FL7", "LED-V2"}
MOST = 10 * np.log1p(np.exp(10))  # 100.0005: CIE 224's formula for no difference at all


def test_rf_and_rg_agree_with_another_program(row):
    found = colour_fidelity(illuminant_power(row["illuminant"]))
    apart = 0.0065 if row["illuminant"] in OTHER_REFERENCE else 0.5e-2
    assert_allclose(found.rf, float(row["colour_Rf_CIE224"]), rtol=0, atol=apart)
    assert_allclose(found.rg, float(row["colour_Rg_TM30"]), rtol=0, atol=0.5e-2)


# luxpy 1.12.5: its README in the reference values says that the two programs part by up to 0.15 in Rf.
def test_rf_and_rg_agree_with_a_third_program(row):
    if row["luxpy_Rf"]:
        found = colour_fidelity(illuminant_power(row["illuminant"]))
        assert_allclose([found.rf, found.rg], [float(row[f"luxpy_R{k}"]) for k in "fg"], rtol=0, atol=0.2)
    else:
        assert row["luxpy_Ra"] == ""


@pytest.mark.usefixtures("quiet")
def test_local_shifts_agree_with_another_program(row, colour_science, five_nm):
    power = illuminant_power(row["illuminant"])
    lamp = colour_science.SpectralDistribution(power, five_nm.wavelengths)
    theirs = colour_science.quality.colour_fidelity_index_ANSIIESTM3018(lamp, additional_data=True)
    found = colour_fidelity(power)
    # within what 1.8 K of the reference do
    assert_allclose(found.local_hue_shifts, theirs.R_hs, rtol=0, atol=2e-4)
    assert_allclose(100 * np.array(found.local_chroma_shifts), theirs.R_cs, rtol=0, atol=2e-2)
    assert_allclose([found.rf, found.rg], [theirs.R_f, theirs.R_g], rtol=0, atol=0.0075)


@pytest.mark.parametrize("kelvin", [1500, 2700, 3990])
def test_a_black_body_below_4000_k_is_its_own_reference(kelvin):
    found = colour_fidelity(planckian_power(kelvin))
    assert_allclose([found.rf, found.rg], [MOST, 100], rtol=0, atol=1e-9)
    assert_allclose([found.local_hue_shifts, found.local_chroma_shifts], 0, atol=1e-12)


@pytest.mark.parametrize("kelvin", [5010, 6500, 10000, 25000])
def test_daylight_is_its_own_reference(kelvin):
    found = colour_fidelity(daylight_power(kelvin))
    assert_allclose([found.rf, found.rg], 100, rtol=0, atol=0.02)


def test_the_reference_goes_over_from_a_black_body_to_daylight():
    for kelvin, other in ((3999.0, planckian_power(3999.0)), (6504.0, daylight_power(6506.4))):
        light = planckian_power(kelvin) if kelvin < 4000 else daylight_power(kelvin)
        found = reference_power(light)
        assert_allclose(found / found.max(), other / other.max(), rtol=1e-3)
    middle = reference_power(planckian_power(4500.0))
    either = [part / part[36] for part in (planckian_power(4500.0), daylight_power(4500.0))]
    assert_allclose(middle / middle[36], np.mean(either, axis=0), rtol=0.01)


def test_it_depends_on_no_unit():
    power = illuminant_power("LED-B1")
    one, other = colour_fidelity(power), colour_fidelity(power * 1e6)
    assert_allclose([one.rf, one.rg, *one.local_hue_shifts], [other.rf, other.rg, *other.local_hue_shifts], rtol=1e-9)


def test_a_lamp_that_dulls_reds_says_so_of_reds():
    found = colour_fidelity(illuminant_power("FL2"))
    assert found.local_chroma_shifts[0] < -0.1  # 10 % and more
    assert found.rg < 90
    strong = colour_fidelity(illuminant_power("LED-RGB1"))
    assert strong.local_chroma_shifts[0] > 0.05
    assert strong.rg > 105


def test_a_hue_without_a_sample_is_left_open():
    found = colour_fidelity(planckian_power(1001.0))  # under which every sample is some red or yellow
    assert len(found.local_hue_shifts) == HUE_BINS
    assert np.isnan(found.local_hue_shifts).sum() == 3
    assert_allclose(found.rg, 100, atol=1e-9)


def test_a_coloured_light_has_no_fidelity():
    with pytest.raises(NoColourTemperature):
        colour_fidelity(np.where(WAVELENGTHS_NM < 460, 1.0, 0.0))
