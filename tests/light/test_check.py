"""The check: what passes, what is to be mended and how, and what nobody measured."""

import pytest

from tenter.colorimetry.illuminants import WAVELENGTHS_NM, illuminant_power
from tenter.light.check import LightVerdict, check_light
from tenter.light.face_lux import FaceLux
from tenter.light.lamp_spectrum import lamp_spectrum
from tenter.light.light_values import LightBasis, LightValues, meter_values_from, values_of_meter, values_of_spectrum
from tenter.light.thresholds import LightThresholds

EVEN = FaceLux(cheek_left=1200, cheek_right=1150)


def good(**changes):
    return values_of_meter({"cct": 5600, "duv": 0.001, "ra": 97, "r9": 90, **changes}).with_face(EVEN)


def codes(criteria):
    return [criterion.of for criterion in criteria]


def test_a_good_light_passes():
    done = check_light(good())
    assert done.verdict is LightVerdict.PASS
    assert done.headline == "This light is good for draping."
    assert done.to_json()["reasons"] == []
    assert codes(done.criteria) == ["lux", "cheeks", "cct", "duv", "ra", "r9"]


@pytest.mark.parametrize(
    ("values", "code", "said"),
    [
        (
            good().with_face(FaceLux(cheek_left=640, cheek_right=640)),
            "lux",
            "640 lx, the mean of 2 points. Wanted: ",
        ),
        (good().with_face(FaceLux(cheek_left=9000, cheek_right=9000)), "lux", "direct sun"),
        (
            good().with_face(FaceLux(cheek_left=1500, cheek_right=1200)),
            "cheeks",
            "The client's right cheek is in shade",
        ),
        (
            good().with_face(FaceLux(cheek_left=1200, cheek_right=1500)),
            "cheeks",
            "the left 20 % darker. Wanted: a difference of 10 % at most. The client's left",
        ),
        (good(cct=3000), "cct", "yellowish"),
        (good(cct=9000), "cct", "bluish"),
        (good(duv=0.008), "duv", "greenish"),
        (good(duv=-0.008), "duv", "pinkish"),
        (good(ra=82), "ra", "82.0. Wanted: 95 or more"),
        (good(r9=20), "r9", "red in skin and lips"),
    ],
)
def test_each_fault_is_named_with_what_to_do(values, code, said):
    done = check_light(values)
    assert (done.verdict, codes(done.to_fix)) == (LightVerdict.FIX, [code])
    assert said in done.to_fix[0].text
    assert done.to_json()["reasons"][0]["code"] == code


@pytest.mark.parametrize(
    ("values", "met"),
    [
        (good().with_face(FaceLux(cheek_left=1000, cheek_right=1000)), True),
        (good().with_face(FaceLux(cheek_left=1200, cheek_right=1080)), True),  # 10 % to the last bit
        (good(duv=0.005), True),
        (good(ra=95), True),
        (good(ra=94.99), False),
        (good(cct=4800), True),
        (good(cct=6801), False),
    ],
)
def test_a_value_on_its_threshold_will_do(values, met):
    assert (check_light(values).verdict is LightVerdict.PASS) is met


@pytest.mark.parametrize(
    ("values", "said"),
    [
        (good().with_face(FaceLux(whole=999.7)), "Brightness on the face: 999.7 lx."),
        (good(cct=4799.96), "Colour temperature: 4799.96 K."),
        (good(duv=0.00504), "Tint (Duv): +0.00504."),
        (good(duv=-0.00504), "Tint (Duv): −0.00504."),
        (good(ra=94.96), "Colour rendering (Ra): 94.96."),
        (good().with_face(FaceLux(cheek_left=2000, cheek_right=1794)), "10.3 % darker."),
    ],
)
def test_a_value_just_beyond_its_threshold_does_not_look_as_if_it_met_it(values, said):
    assert said in check_light(values).to_fix[0].text


def test_a_value_at_its_threshold_is_not_spelled_out():
    assert {c.of: c.found for c in check_light(good(ra=95, cct=4800)).criteria} | {"lux": "", "cheeks": ""} == {
        "lux": "", "cheeks": "", "cct": "4800 K", "duv": "+0.0010", "ra": "95.0", "r9": "90.0",
    }  # fmt: skip


def test_what_was_not_measured_is_asked_for():
    done = check_light(meter_values_from("cct=5600,ra=97"))
    assert done.verdict is LightVerdict.INCOMPLETE
    assert codes(done.not_measured) == ["lux", "cheeks", "duv", "r9"]
    assert done.headline.startswith("Nothing that was measured speaks against this light. Still to measure:")
    assert done.to_json()["reasons"][0]["code"] == "lux_not_measured"
    assert done.not_measured[1].text.endswith("Measure both cheeks, and give the lux of each.")


def test_a_photograph_is_never_asked_for_rendering():
    done = check_light(LightValues(basis=LightBasis.PHOTOGRAPH, source="p.jpg"))
    assert done.headline.startswith("Nothing was measured.")
    texts = {c.of: c.text for c in done.not_measured}
    assert "No photograph can tell it" in texts["ra"]
    assert "No photograph can tell it" in texts["r9"]
    assert "white balance" in texts["cct"]


def test_what_is_asked_for_follows_the_thresholds():
    [ra] = check_light(good(), LightThresholds(least_ra=98, least_r9=88)).to_fix
    assert "97.0. Wanted: 98 or more, your own threshold. " in ra.text
    assert "Ra 98 or more and R9 88 or more" in ra.text


def test_a_threshold_of_ones_own_is_said_with_all_its_decimals():
    own = LightThresholds(least_ra=97.5, least_cct=5700, most_duv=0.0005)
    texts = {c.of: c.text for c in check_light(good(), own).to_fix}
    assert "97.5 or more, your own threshold" in texts["ra"]
    assert "5700 to 6800 K, your own threshold. The light is yellower than you want it." in texts["cct"]
    assert "0.0005 at most, either way, your own threshold" in texts["duv"]
    assert [c.of for c in check_light(good(), own).criteria if c.own] == ["cct", "duv", "ra"]


def test_fidelity_counts_only_where_it_is_asked_for():
    lamp = values_of_spectrum(lamp_spectrum(WAVELENGTHS_NM, illuminant_power("LED-V2"), "lamp")).with_face(EVEN)
    assert "rf" not in codes(check_light(lamp).criteria)
    asked = check_light(lamp, LightThresholds(least_rf=96, least_cct=4000))
    assert codes(asked.to_fix) == ["rf"]


def test_a_bulb_renders_well_and_is_too_yellow_all_the_same():
    bulb = values_of_spectrum(lamp_spectrum(WAVELENGTHS_NM, illuminant_power("A"), "bulb")).with_face(EVEN)
    assert codes(check_light(bulb).to_fix) == ["cct"]


def test_standards_are_named_beside_and_decide_nothing():
    done = check_light(good())
    by_code = {c.of: c.standards for c in done.criteria}
    assert any("ISO 3664:2009" in s and "D50" in s for s in by_code["cct"])
    assert by_code["cheeks"] == ()
    assert done.to_json()["criteria"][0]["standards"]
