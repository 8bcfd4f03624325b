import json

import pytest

from tenter.colorimetry.illuminants import WAVELENGTHS_NM, illuminant_power
from tenter.errors import TenterError, UnknownName, UnreadableInput
from tenter.light.face_lux import FaceLux
from tenter.light.lamp_spectrum import lamp_spectrum
from tenter.light.light_values import (
    LightBasis,
    meter_values_from,
    read_kept_values,
    values_of_meter,
    values_of_spectrum,
)


def lamp(name):
    return values_of_spectrum(lamp_spectrum(WAVELENGTHS_NM, illuminant_power(name), name))


def test_a_spectrum_says_everything_but_lux():
    found = lamp("FL11")
    assert found.basis is LightBasis.SPECTRUM
    assert (round(found.cct_kelvin), round(found.ra, 1), round(found.r9, 1)) == (3999, 82.8, 25.3)
    assert found.r9 == found.r[8]
    assert len(found.r) == 14
    assert found.lux is None
    assert found.with_face(FaceLux(whole=900)).lux == 900
    assert found.with_face(None) is found


def test_a_meter_says_what_it_shows():
    found = meter_values_from("CCT=5600 K; duv=-0.001, Ra 97, r9: 90, lux=1200 lx")
    assert (found.cct_kelvin, found.duv, found.ra, found.r9, found.lux) == (5600, -0.001, 97, 90, 1200)
    assert (found.rf, found.r) == (None, None)


def test_a_chromaticity_stands_for_temperature_and_duv():
    found = values_of_meter({"x": 0.31272, "y": 0.32903})  # D65 by the 2 degree observer, CIE 15
    assert found.cct_kelvin == pytest.approx(6504, abs=2)
    assert found.duv == pytest.approx(0.0032, abs=1e-4)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no value of a meter came"),
        ("bright", "'bright' is no value of a meter"),
        ("ra=101", "ra of a meter is a finite number from -150 to 100"),
        ("cct=12", "from 1000 to 100000"),
        ("duv=0.3", "from -0.05 to 0.05"),
        ("ra=90,ra=91", "came twice"),
        ("x=0.3", "belong together"),
        ("cct=5600,5", "'5' is no value"),
    ],
)
def test_what_no_meter_shows_is_refused(text, said):
    with pytest.raises(TenterError, match=said):
        meter_values_from(text)


def test_an_unknown_value_lists_the_known():
    with pytest.raises(UnknownName, match="no meter value is called 'cqs'; use cct, duv, ra, r9"):
        meter_values_from("cqs=90")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('{"basis": "moon"}', "no basis of a light is called 'moon'; use spectrum, meter or photograph"),
        ('{"basis": "meter", "lux_points": {"ear": 1}}', "no face point is called 'ear'; use forehead"),
    ],
)
def test_what_is_odd_in_an_earlier_check_is_named_in_plain_words(tmp_path, text, said):
    path = tmp_path / "light.json"
    path.write_text(text)
    with pytest.raises(UnreadableInput, match=said):
        read_kept_values(path)


def test_kept_values_are_read_again(tmp_path):
    path = tmp_path / "light.json"
    found = lamp("LED-B3").with_face(FaceLux(cheek_left=1000, cheek_right=950))
    path.write_text(json.dumps({**found.to_json(), "verdict": "fix"}))
    kept = read_kept_values(path)
    assert (kept.cct_kelvin, kept.duv, kept.ra, kept.r9, kept.rf, kept.rg) == (
        found.cct_kelvin,
        found.duv,
        found.ra,
        found.r9,
        found.rf,
        found.rg,
    )
    assert kept.face.points == {"cheek_left": 1000, "cheek_right": 950}
    path.write_text(json.dumps(meter_values_from("ra=97,lux=1200").to_json()))
    assert read_kept_values(path).lux == 1200


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[]",
        "{}",
        '{"basis": "moon"}',
        '{"basis": "meter", "ra": "x"}',
        '{"basis": "meter", "lux_points": {"ear": 1}}',
    ],
)
def test_what_is_no_earlier_check_is_refused(tmp_path, text):
    path = tmp_path / "light.json"
    path.write_text(text)
    with pytest.raises(UnreadableInput, match="light check --json"):
        read_kept_values(path)
