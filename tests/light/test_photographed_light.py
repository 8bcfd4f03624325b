"""A light by a photograph: hints on the lamp, a rough temperature where the white balance was fixed, never Ra."""

import pytest

from studies.scenes.cameras import CAMERAS, camera_to_srgb, sensitivities
from tenter.colorimetry.illuminants import Observer, illuminant_power, white_point
from tenter.colorimetry.lights.blackbody import daylight_power
from tenter.colorimetry.lights.colour_temperature import cct_and_duv
from tenter.colorimetry.spaces import SRGB_TO_XYZ
from tenter.errors import TenterError
from tenter.light.check import LightVerdict, check_light
from tenter.light.photographed_light import NO_RENDERING, lamp_kind, values_of_photograph

WHITE = tuple(float(v) for v in white_point("D65", Observer.CIE_1931_2))
LAMPS = (("LED-B3", 0.6), ("FL11", 0.3), ("D65", 0.06), ("any", 0.04))


def seen(white=WHITE, balance=None, lamps=LAMPS, poor=0.3):
    return values_of_photograph(lamps, poor, white, 0.07, "p.jpg", balance)


def test_no_photograph_claims_a_rendering():
    found = seen(balance=5500)
    assert (found.ra, found.r9, found.r, found.rf, found.rg) == (None,) * 5
    assert found.remarks[-1] == NO_RENDERING
    assert check_light(found).verdict is LightVerdict.INCOMPLETE


def test_the_likely_lamps_are_named_as_a_hint():
    [said] = [remark for remark in seen().remarks if "looks lit by" in remark]
    assert "an LED such as LED-B3 (60 %) or a fluorescent tube such as FL11 (30 %)" in said
    assert "hint" in said
    assert "D65" not in said
    assert "none of them (100 %)" in seen(lamps=[("any", 1.0)]).remarks[0]
    assert not any("looks lit by" in remark for remark in seen(lamps=()).remarks)
    assert not any("Light bulbs" in remark for remark in seen().remarks)
    assert any("Light bulbs" in remark for remark in seen(poor=0.9).remarks)


def test_without_a_fixed_white_balance_there_is_no_temperature():
    found = seen()
    assert found.cct_kelvin is None
    assert any("--white-balance" in remark for remark in found.remarks)


# A white that the camera shows as white is lit as its white balance is set: by daylight whose own temperature is
# within 0.3 % of that (tests/colorimetry/lights/test_blackbody.py).
@pytest.mark.parametrize("balance", [5000, 5500, 6500])
def test_a_white_that_looks_white_has_the_temperature_of_the_balance(balance):
    found = seen(balance=balance)
    assert found.cct_kelvin == pytest.approx(balance, rel=0.003)
    assert any("rough" in remark for remark in found.remarks)


# The cameras and lamps of the studies; worst: a tube at 516 K and a cold LED at 520 K.
@pytest.mark.parametrize("camera", CAMERAS)
@pytest.mark.parametrize("lamp", ["A", "D50", "D65", "D75", "FL2", "FL11", "LED-B1", "LED-B3", "LED-B5", "LED-V2"])
def test_the_estimate_is_within_what_is_said_of_it(camera, lamp):
    sees, power = sensitivities(camera), illuminant_power(lamp)
    rgb = (power @ sees) / (daylight_power(5500) @ sees)
    xyz = SRGB_TO_XYZ @ camera_to_srgb(camera) @ (rgb / rgb.max())
    found = seen(white=tuple(xyz / xyz[1]), balance=5500)
    assert found.cct_kelvin == pytest.approx(cct_and_duv(power).cct_kelvin, abs=525)
    assert found.duv is None


def test_a_bluish_white_is_hotter():
    assert seen(white=(WHITE[0], 1.0, WHITE[2] * 1.1), balance=5500).cct_kelvin > 6000
    assert seen(white=(WHITE[0], 1.0, WHITE[2] * 0.9), balance=5500).cct_kelvin < 5200


def test_a_coloured_white_has_none():
    found = seen(white=(2.5, 1.0, 0.1), balance=5500)
    assert found.cct_kelvin is None
    assert any("too coloured" in remark for remark in found.remarks)


def test_a_white_balance_is_in_kelvin():
    with pytest.raises(TenterError, match="4500 to 7000"):
        seen(balance=5.5)


@pytest.mark.parametrize(
    ("lamp", "kind"),
    [
        ("D65", "daylight"),
        ("ID50", "daylight indoors"),
        ("A", "a light bulb"),
        ("FL3.12", "a fluorescent tube"),
        ("LED-RGB1", "an LED"),
        ("HP1", "a discharge lamp"),
        ("any", ""),
    ],
)
def test_lamps_in_plain_words(lamp, kind):
    assert lamp_kind(lamp) == kind
