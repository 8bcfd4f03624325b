from importlib import import_module

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.colorimetry.illuminants import illuminant_power
from tenter.colorimetry.lights.blackbody import daylight_power, planckian_power
from tenter.colorimetry.lights.colour_rendering import rendering_indices
from tenter.colorimetry.lights.colour_temperature import cct_and_duv

# By what interpolating a lamp to 1 nm, as colour-science does, moves (Ra, R9): lamps of few sharp lines the most.
SHARP = {"HP1": (0.45, 1.7), "LED-RGB1": (0.3, 1.4)}
SMOOTH = (0.13, 0.85)


# CIE 15:2004 prints whole numbers, made of R1 to R8 that were whole numbers themselves, from lamps at 1 nm.
def test_ra_is_the_printed_one(row):
    if row["CIE15_Ra"]:
        found = rendering_indices(illuminant_power(row["illuminant"])).ra
        assert_allclose(found, float(row["CIE15_Ra"]), rtol=0, atol=0.6)
    else:
        assert not row["illuminant"].startswith("FL")


# CIE 13.3 sums at 5 nm; the column's program first interpolates to 1 nm, which the spectra of CIE 15 do not contain.
def test_ra_and_r9_agree_with_another_program(row):
    found = rendering_indices(illuminant_power(row["illuminant"]))
    for_ra, for_r9 = SHARP.get(row["illuminant"], SMOOTH)
    assert_allclose(found.ra, float(row["colour_Ra"]), rtol=0, atol=for_ra)
    assert_allclose(found.r[8], float(row["colour_R9"]), rtol=0, atol=for_r9)


# luxpy 1.12.5 seems to round each R1 to R8 to a whole number before it takes the mean: 0.25 of its README. Lamps of few
# sharp lines are moved by interpolation there as well.
def test_ra_agrees_with_a_third_program(row):
    if row["luxpy_Ra"]:
        r = rendering_indices(illuminant_power(row["illuminant"])).r
        apart = max(0.25, SHARP.get(row["illuminant"], SMOOTH)[0])
        assert_allclose(np.mean(r[:8]), float(row["luxpy_Ra"]), rtol=0, atol=apart)
    else:
        assert row["luxpy_Rf"] == ""


@pytest.mark.usefixtures("quiet")
def test_r1_to_r14_agree_with_another_program_on_the_same_wavelengths(row, colour_science, five_nm):
    quality = import_module("colour.quality.cri")
    power = illuminant_power(row["illuminant"])
    kelvin = cct_and_duv(power).cct_kelvin
    reference = planckian_power(kelvin) if kelvin < 5000 else daylight_power(kelvin)
    cmfs = colour_science.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(five_nm)
    samples = {
        name: sample.copy().align(five_nm) for name, sample in colour_science.quality.SDS_TCS["CIE 1995"].items()
    }
    lamp, standard = (colour_science.SpectralDistribution(values, five_nm.wavelengths) for values in (power, reference))
    seen = quality.tcs_colorimetry_data(lamp, standard, samples, cmfs, chromatic_adaptation=True)
    meant = quality.tcs_colorimetry_data(standard, standard, samples, cmfs)
    theirs = [quality.colour_rendering_indexes(seen, meant)[number].Q_a for number in range(1, 15)]
    assert_allclose(rendering_indices(power).r, theirs, rtol=0, atol=1e-6)


@pytest.mark.parametrize("kelvin", [1500, 2700, 3500, 4990])
def test_a_black_body_below_5000_k_is_its_own_reference(kelvin):
    found = rendering_indices(planckian_power(kelvin))
    assert_allclose([found.ra, *found.r], 100, rtol=0, atol=1e-9)


@pytest.mark.parametrize("kelvin", [5010, 6500, 10000, 25000])
def test_daylight_is_its_own_reference(kelvin):
    # the temperature asked for and the one that is found differ by 0.3 % at most, and so do the two daylights
    assert_allclose(rendering_indices(daylight_power(kelvin)).r, 100, rtol=0, atol=0.3)


def test_it_depends_on_no_unit():
    power = illuminant_power("LED-B3")
    assert_allclose(rendering_indices(power).r, rendering_indices(power * 7e-4).r, rtol=1e-9)


def test_ra_is_the_mean_of_the_first_eight():
    found = rendering_indices(illuminant_power("FL4"))
    assert len(found.r) == 14
    assert found.ra == pytest.approx(sum(found.r[:8]) / 8)
