"""Several readings of a cloth: their mean, how far they spread, why, and whether it has a brightener."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_2, D65_10
from tenter.consultation.readings.cloth_reading import ConversionBasis, spectral_reading
from tenter.consultation.readings.summary import brightened_cloths, cloth_summaries
from tests.support.readings_given import HOW, reading


def one_of(*readings):
    [found] = cloth_summaries(readings)
    return found


def test_the_mean_and_the_mean_difference_from_it():
    labs = [(50.0, 0.0, 0.0), (52.0, 0.0, 0.0), (54.0, 0.0, 0.0)]
    found = one_of(*(reading(lab=lab) for lab in labs))
    assert found.lab == pytest.approx((52, 0, 0))
    # ISO/CIE 11664-6: two greys differ in lightness alone, by 2 / S_L with S_L = 1 + 0.015 d² / sqrt(20 + d²), where d
    # is how far the middle of the two, 51 or 53, is from 50
    apart = [2 / (1 + 0.015 * d**2 / (20 + d**2) ** 0.5) for d in (1, 3)]
    assert found.mcdm == pytest.approx(sum(apart) / 3, abs=1e-8)
    assert found.furthest == pytest.approx(max(apart), abs=1e-8)
    assert (found.cloth, found.day, len(found.readings)) == ("D001", "2026-11-29", 3)


def test_one_reading_shows_no_spread():
    found = one_of(reading())
    assert (found.mcdm, found.furthest, found.is_wide, found.warnings) == (None, None, False, ())
    assert found.lab == (50.0, 20.0, 10.0)


def test_cloths_and_days_have_a_summary_each():
    found = cloth_summaries(
        [
            reading("B"),
            reading("A", day="2026-12-01"),
            reading("A", day="2025-12-01"),
            reading("B", lab=(51.0, 20.0, 10.0)),
        ]
    )
    assert [(one.cloth, one.day, len(one.readings)) for one in found] == [
        ("B", "2026-11-29", 2),
        ("A", "2025-12-01", 1),
        ("A", "2026-12-01", 1),
    ]


NEAR = (50.5, 20.0, 10.0)
FAR = (56.0, 20.0, 10.0)


@pytest.mark.parametrize(
    ("first", "second", "third", "said"),
    [
        ({"direction": "along"}, {"direction": "along"}, {"direction": "against"}, "from the pile direction"),
        ({"folds": 4}, {"folds": 4}, {"folds": 1}, "probably comes from the folds: what lay under it showed through"),
        ({"backing": "white"}, {"backing": "white"}, {"backing": "black"}, "probably comes from the backing"),
        ({"place": "left"}, {"place": "left"}, {"place": "edge"}, "the place on the cloth: it is dyed, faded"),
        ({"instrument": "a"}, {"instrument": "a"}, {"instrument": "b"}, "the instrument; read a cloth always"),
        ({"place": "1"}, {"place": "2"}, {"place": "3"}, "The likely cause is the place on the cloth"),
        ({"place": "1", "folds": 1}, {"place": "2", "folds": 2}, {"place": "3", "folds": 3}, "in folds and place"),
        ({"place": "1", "direction": "a"}, {"place": "2", "direction": "a"}, {"place": "3"}, "from the pile direction"),
        ({}, {}, {}, "Nothing recorded says why"),
        ({"direction": "a"}, {"direction": "b"}, {"direction": "a"}, "Nothing recorded says why"),
    ],
)  # fmt: skip
def test_a_wide_spread_is_warned_of_with_its_likely_cause(first, second, third, said):
    found = one_of(reading(lab=(50.0, 20.0, 10.0), **first), reading(lab=NEAR, **second), reading(lab=FAR, **third))
    assert found.is_wide
    assert found.warnings[0].startswith("The readings spread by ΔE00 2.5 from their mean.")
    assert said in found.warnings[0]


def test_a_narrow_spread_is_not_warned_of():
    found = one_of(reading(direction="along"), reading(lab=NEAR, direction="against"))
    assert 0 < found.mcdm < 1
    assert (found.causes, found.warnings) == ((), ())


def test_a_brightener_is_named_where_ultraviolet_makes_a_cloth_bluer():
    found = one_of(reading(lab=(94.0, 2.0, -9.0), uv="with"), reading(lab=(93.0, 0.5, -2.0), uv="without"))
    assert found.brightener.bluer_by == 7.0
    assert found.brightener.delta_e == pytest.approx(float(delta_e_2000((94, 2, -9), (93, 0.5, -2))))
    assert found.warnings == ("It has a brightener: with ultraviolet in the lamp it is bluer by 7.0 (b*).",)
    assert found.lab == (94.0, 2.0, -9.0)
    assert len(found.apart) == 1


@pytest.mark.parametrize(
    ("lit", "unlit", "named"),
    [((50, 0, 0.0), (50, 0, 1.2), True), ((50, 0, 0.0), (50, 0, 0.8), False), ((50, 0, 1.2), (50, 0, 0.0), False)],
)
def test_a_brightener_needs_the_named_difference_and_the_blue_way(lit, unlit, named):
    found = one_of(reading(lab=lit, uv="with"), reading(lab=unlit, uv="without"))
    assert found.brightener.is_named is named
    assert brightened_cloths(found.readings + found.apart) == ({found.cloth} if named else set())


def test_readings_without_ultraviolet_alone_are_the_cloths():
    found = one_of(reading(uv="without"), reading(lab=NEAR, uv="without"))
    assert (len(found.readings), found.apart, found.brightener) == (2, (), None)


def test_colours_under_other_lights_are_converted_and_labelled():
    grey = spectral_reading("D001", [0.25] * 81, HOW, D65_2)
    found = one_of(reading(), reading(conditions=D65_2), grey)
    assert found.conditions == D65_10
    assert found.basis == (ConversionBasis.MEASURED, ConversionBasis.PREDICTED, ConversionBasis.COMPUTED)
    # a quarter of the light at every wavelength: L* = 116 (1/4)^(1/3) - 16, and grey under every light
    [alone] = cloth_summaries([grey])
    assert alone.lab == pytest.approx((57.0754, 0, 0), abs=1e-4)


@given(st.lists(st.tuples(st.floats(20, 90), st.floats(-30, 30), st.floats(-30, 30)), min_size=2, max_size=5))
def test_the_summary_does_not_hang_on_the_order_of_readings(labs):
    there = one_of(*(reading(lab=lab, place=str(k)) for k, lab in enumerate(labs)))
    back = one_of(*(reading(lab=lab, place=str(k)) for k, lab in reversed(list(enumerate(labs)))))
    assert np.allclose(there.lab, back.lab)
    assert there.mcdm == pytest.approx(back.mcdm, abs=1e-6)
    assert there.mcdm <= there.furthest + 1e-9
