"""A checked light in words."""

import re
from dataclasses import replace

import pytest

from tenter.colorimetry.illuminants import WAVELENGTHS_NM, illuminant_power
from tenter.light.check import check_light
from tenter.light.face_lux import FaceLux
from tenter.light.lamp_spectrum import lamp_spectrum
from tenter.light.light_drift import light_drift
from tenter.light.light_values import meter_values_from, values_of_spectrum
from tenter.light.on_kit import light_on_kit
from tenter.light.thresholds import LightThresholds
from tenter.report.on_screen.light_words import hue_lines, light_parts, value_lines


def lamp(name):
    return values_of_spectrum(lamp_spectrum(WAVELENGTHS_NM, illuminant_power(name), name))


@pytest.fixture(scope="module")
def tube_parts(demo_kit, bundled):
    values = lamp("FL11").with_face(FaceLux(forehead=900, cheek_left=1100, cheek_right=800))
    changes = light_drift(meter_values_from("cct=4300,ra=83"), values)
    effect = light_on_kit(illuminant_power("FL11"), demo_kit, bundled)
    return dict(light_parts(check_light(values), changes, effect))


def test_the_parts_come_with_what_is_to_be_mended_first(tube_parts):
    assert list(tube_parts)[:3] == ["To correct", "In order", "Values"]
    assert len(tube_parts["To correct"]) == 5
    assert tube_parts["In order"] == ["Tint (Duv): 0.0000. Wanted: 0.005 at most, either way."]
    assert all("Wanted: " in line for line in tube_parts["To correct"])
    assert "Still to measure" not in tube_parts


def test_a_part_without_a_word_is_left_out():
    good = meter_values_from("cct=5600,duv=0,ra=97,r9=90").with_face(FaceLux(cheek_left=1200, cheek_right=1200))
    parts = dict(light_parts(check_light(good)))
    assert list(parts) == ["In order", "What standards ask"]


def test_values_in_a_few_lines(tube_parts):
    values = tube_parts["Values"]
    assert values[0] == "Rf 80.0, Rg 101.1"
    assert values[1].startswith("R1 98, R2 93, ")
    points = "forehead 900 lx, left cheek 1100 lx and right cheek 800 lx"
    assert values[2] == f"{points}; the darkest place gets 73 % of the brightest"
    assert value_lines(lamp("FL11"))[:2] == ["CCT 3999 K, Duv 0.0000", "Ra 82.8, R9 25.3"]
    assert value_lines(meter_values_from("lux=900")) == []


def test_hues_in_words():
    said = hue_lines(lamp("FL2"))
    assert said[0].startswith("Looks softer: red, ")
    assert hue_lines(lamp("D65")) == []
    assert hue_lines(meter_values_from("ra=90")) == []
    with_gap = replace(lamp("FL2"), local_chroma_shifts=(float("nan"),) * 16, local_hue_shifts=(0.1,) * 16)
    assert hue_lines(with_gap)[0] == "Red turns toward orange."
    assert hue_lines(with_gap)[1:3] == ["Orange turns toward yellow.", "Yellow-green turns toward green."]
    assert hue_lines(with_gap)[-1] == "Purple turns toward red."
    back = replace(with_gap, local_hue_shifts=(-0.1,) * 16)
    assert hue_lines(back)[1:3] == ["Orange turns toward red.", "Yellow-green turns toward yellow."]


def test_what_changed_too_much_says_what_to_do(tube_parts):
    first, second, last = tube_parts["Since last time"]
    assert first.endswith("−301 K (yellower).")
    assert last == (
        "More than a lamp should change: colour temperature. If you changed nothing, let the lamp warm up for 15 "
        "minutes and measure again."
    )
    assert "more than" not in second


def test_cloths_pairs_and_skin(tube_parts):
    cloths = tube_parts["Cloths that this light changes most"]
    assert len(cloths) == 10
    assert "predicted)" in cloths[0]
    assert re.fullmatch(r"The other \d+ cloths change less\.", cloths[6])
    assert cloths[-2].startswith("All 92 cloths are known by their colour alone")
    assert cloths[-1].startswith("D086 has a brightener.")
    assert "clean pairs" in tube_parts["Pairs"][0]
    assert not any(
        "D089" in line or "D090" in line for line in tube_parts["Pairs"]
    )  # metals, which one colour can't tell
    assert tube_parts["Skin"][0].startswith("very light skin: ")


def test_standards_have_a_line_for_each_value_that_was_judged_and_mark_what_nobody_read(tube_parts):
    standards = tube_parts["What standards ask"]
    names = [line.split(":")[0] for line in standards[1:-1]]
    assert names == ["Brightness on the face", "Colour temperature", "Tint (Duv)", "Colour rendering (Ra)"]
    assert standards[-1].startswith("* From memory")
    said = dict(light_parts(check_light(meter_values_from("cct=5600"))))["What standards ask"]
    assert said == [standards[0], "Colour temperature: D65, A or FL11 (ISO 3668:2017); D50 (ISO 3664:2009)."]


def test_thresholds_of_ones_own_are_said_with_the_defaults():
    parts = dict(light_parts(check_light(meter_values_from("cct=5600"), LightThresholds(least_cct=5200))))
    assert parts["Your own thresholds"] == ["Colour temperature, at least: 5200 K; Tenter's default is 4800 K."]
    assert parts["In order"] == ["Colour temperature: 5600 K. Wanted: 5200 to 6800 K, your own threshold."]
