"""What a light does to the demo kit and to measured skin."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.colorimetry.illuminants import Observer, illuminant_power, weights_under
from tenter.colorimetry.lights.adapted_look import adapted_lab
from tenter.colorimetry.measurement import D65_10
from tenter.colorimetry.reflectance import recover_reflectance
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.readings.cloth_reading import ClothReading, ReadingCircumstances, spectral_reading
from tenter.consultation.readings.measured_spectra import measured_spectra
from tenter.errors import TenterError, UnknownName
from tenter.light.on_kit import light_on_kit, look_words
from tenter.numerals import listed

D65, FL11, LED = (illuminant_power(name) for name in ("D65", "FL11", "LED-RGB1"))
TEN = Observer.CIE_1964_10


@pytest.fixture(scope="module")
def under_tube(demo_kit, bundled):
    return light_on_kit(FL11, demo_kit, bundled)


def test_daylight_changes_nothing(demo_kit, bundled):
    found = light_on_kit(D65, demo_kit, bundled)
    assert max(c.delta_e for c in found.cloths) < 0.01
    assert {c.words for c in (*found.cloths, *found.skins)} == {"hardly changed"}
    assert found.spoilt == ()
    assert found.pairs_tried > 20


def test_a_tube_changes_some_cloths_a_lot(demo_kit, under_tube):
    sizes = [c.delta_e for c in under_tube.cloths]
    assert sizes == sorted(sizes, reverse=True)
    assert sizes[0] > 4 > 1 > sizes[-1]
    assert not {d.id for d in demo_kit.drapes if d.is_metal} & {c.name for c in under_tube.cloths}
    assert not any(c.measured for c in under_tube.cloths)
    first = under_tube.cloths[0]
    assert first.title == demo_kit[first.name].name


def test_what_rests_on_recovered_spectra_says_so(under_tube):
    assert under_tube.recovered == len(under_tube.cloths)
    assert "known by their colour alone" in under_tube.caveats[0]
    assert under_tube.parted is None


def test_a_brightened_cloth_is_left_out_as_its_ultraviolet_was_not_measured(demo_kit, bundled, under_tube):
    assert under_tube.brightened == ("D086",)
    assert "D086" not in {cloth.name for cloth in under_tube.cloths}
    assert under_tube.caveats[1] == (
        "D086 has a brightener. How it looks depends on the ultraviolet in this light, which was not measured, so it "
        "is left out."
    )
    first = light_on_kit(LED, demo_kit, bundled).spoilt[0]
    known = light_on_kit(LED, demo_kit, bundled, brightened={first.first})
    assert not any(first.first in (pair.first, pair.second) for pair in known.spoilt)
    assert f"{listed(known.brightened)} have a brightener. How they look depends" in known.caveats[1]


def test_pairs_that_stop_being_clean_are_named(demo_kit, bundled, under_tube):
    assert under_tube.pairs_tried == light_on_kit(D65, demo_kit, bundled).pairs_tried
    rgb = light_on_kit(LED, demo_kit, bundled)
    assert len(under_tube.spoilt) <= len(rgb.spoilt)
    assert 0 < len(rgb.spoilt) < rgb.pairs_tried
    assert all(pair.mixed and str(pair.axis) not in map(str, pair.mixed) for pair in rgb.spoilt)


def test_metals_are_in_no_pair(demo_kit, under_tube):
    # the kit's roles name a pair of foils, and under the tube their one reading each would differ in clarity
    assert not any(demo_kit[name].is_metal for pair in under_tube.spoilt for name in (pair.first, pair.second))


def metamers():
    """Return two reflectances (81,) of one colour in daylight: the smoothest, and that with a bump D65 hides."""
    smooth = recover_reflectance([50.0, 20.0, 10.0], "D65", TEN)
    seen = weights_under(D65, TEN)
    bump = np.sin(np.arange(81) / 2.0)
    bump -= seen @ np.linalg.lstsq(seen, bump, rcond=None)[0]
    return smooth, smooth + 0.1 * bump / np.abs(bump).max()


def test_metamers_part_only_where_both_were_measured(bundled):
    kit = Kit.from_lab(["a", "b", "c"], [[50, 20, 10], [50, 20, 10], [60, 0, 20]])
    one, other = metamers()
    found = light_on_kit(FL11, kit, bundled, {"a": one, "b": other})
    [pair] = found.parted
    assert (pair.first, pair.second) == ("a", "b")
    assert pair.in_daylight < 0.01
    expected = adapted_lab(np.stack([one, other]), FL11, TEN)
    assert pair.under_light > 1
    assert np.linalg.norm(expected[0] - expected[1]) > 1
    assert found.recovered == 1
    assert light_on_kit(FL11, kit, bundled, {"a": one}).parted is None
    assert light_on_kit(D65, kit, bundled, {"a": one, "b": other}).parted == ()


def test_the_last_days_spectra_count(bundled):
    kit = Kit.from_lab(["a", "b"], [[50, 20, 10], [60, 0, 20]])

    def read(cloth, level, day, uv="with"):
        return spectral_reading(cloth, [level] * 81, ReadingCircumstances(day=day, uv=uv))

    colour_alone = ClothReading(
        cloth="b", lab=(60, 0, 20), conditions=D65_10, how=ReadingCircumstances(day="2026-11-01")
    )
    found = measured_spectra(
        [
            read("a", 0.1, "2026-11-02"),
            read("a", 0.2, "2026-11-03"),
            read("a", 0.4, "2026-11-03"),
            read("a", 0.9, "2026-11-03", "without"),
            read("a", 0.8, "2026-11-01"),
            read("x", 0.5, "2026-11-03"),
            colour_alone,
        ],
        kit,
    )
    assert list(found) == ["a"]
    assert_allclose(found["a"], 0.3)
    assert light_on_kit(FL11, kit, bundled, found).recovered == 1


def test_spectra_of_other_cloths_are_refused(demo_kit, bundled):
    with pytest.raises(UnknownName, match="cloth with a spectrum"):
        light_on_kit(FL11, demo_kit, bundled, {"X": np.ones(81)})
    with pytest.raises(TenterError, match="every 5 nm"):
        light_on_kit(FL11, demo_kit, bundled, {"D001": np.ones(31)})


def test_skins_are_measured_and_the_lightest_is_first(under_tube):
    assert [s.name for s in under_tube.skins] == ["very light", "light", "intermediate", "tan", "brown"]
    assert all(s.measured and s.delta_e > 0.5 for s in under_tube.skins)


@pytest.mark.parametrize(
    ("after", "words"),
    [
        ([50, 10, 10], "hardly changed"),
        ([50.4, 10.3, 10.3], "hardly changed"),
        ([52, 10, 10], "lighter"),
        ([47, 10, 13], "darker, yellower and stronger"),
        ([50, 8, 8], "softer"),
    ],
)
def test_a_change_in_words(after, words):
    assert look_words(np.array([50.0, 10.0, 10.0]), np.array(after, dtype=float)) == words
