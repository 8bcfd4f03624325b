import pytest

from tenter.light.light_drift import light_drift
from tenter.light.light_values import meter_values_from
from tenter.light.thresholds import LightThresholds

BEFORE = meter_values_from("cct=5600,duv=0.001,ra=97,r9=90,lux=1200")


def changes(text, **thresholds):
    return {c.of: c for c in light_drift(BEFORE, meter_values_from(text), LightThresholds(**thresholds))}


def test_an_unchanged_light_has_not_drifted():
    found = changes("cct=5600,duv=0.001,ra=97,r9=90,lux=1200")
    assert list(found) == ["cct", "duv", "ra", "r9", "lux"]
    assert not any(c.too_large for c in found.values())
    assert found["cct"].text == "Colour temperature 5600 K then, 5600 K now: 0 K."


@pytest.mark.parametrize(
    ("text", "of", "said"),
    [
        ("cct=5390", "cct", "−210 K (yellower)"),
        ("cct=5810", "cct", "+210 K (bluer)"),
        ("duv=0.0035", "duv", "+0.0025 (greener)"),
        ("duv=-0.0015", "duv", "−0.0025 (pinker)"),
        ("ra=94", "ra", "−3 (colours are shown worse)"),
        ("r9=84", "r9", "−6 (reds are shown worse)"),
        ("lux=1000", "lux", "1200 lx then, 1000 lx now: −17 %"),
    ],
)
def test_a_change_beyond_its_threshold_is_too_large(text, of, said):
    found = changes(text)
    assert list(found) == [of]
    assert found[of].too_large
    assert said in found[of].text


def test_what_was_and_what_is_add_up_to_the_change_as_they_are_printed():
    found = light_drift(meter_values_from("cct=4224.6,duv=0.00175"), meter_values_from("cct=5109.4,duv=0.00044"))
    assert found[0].text == "Colour temperature 4225 K then, 5109 K now: +884 K (bluer)."
    assert found[1].text == "Tint (Duv) +0.0018 then, +0.0004 now: −0.0014 (pinker)."


def test_a_change_within_its_threshold_is_said_and_no_more():
    assert not any(c.too_large for c in changes("cct=5400,duv=0.003,ra=95,r9=85,lux=1020").values())
    assert changes("cct=5400", drift_cct=100)["cct"].too_large
