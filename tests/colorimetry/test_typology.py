import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from studies.written.write_mean_skins import TABLE, mean_skins_text
from tenter.colorimetry.measurement import D65_10
from tenter.colorimetry.reflectance import reflectance_to_lab
from tenter.colorimetry.typology import (
    ItaClass,
    individual_typology_angle,
    ita_class,
    mean_skin_reflectance,
    skins_by_ita_class,
)
from tenter.errors import TenterError

LIGHTEST_FIRST = list(ItaClass)

# Chardon et al. (1991); Del Bino and Bernerd (2013): very light > 55 > light > 41 > intermediate > 28 > tan > 10 >
# brown > -30 > dark. That a border belongs to the darker class is the usual reading, and ours.
BORDERS = [
    (55, ItaClass.VERY_LIGHT, ItaClass.LIGHT),
    (41, ItaClass.LIGHT, ItaClass.INTERMEDIATE),
    (28, ItaClass.INTERMEDIATE, ItaClass.TAN),
    (10, ItaClass.TAN, ItaClass.BROWN),
    (-30, ItaClass.BROWN, ItaClass.DARK),
]


@pytest.mark.parametrize(("border", "above", "below"), BORDERS)
def test_classes_meet_at_the_published_borders(border, above, below):
    assert ita_class(np.nextafter(border, np.inf)) is above
    assert ita_class(border) is below
    assert ita_class(np.nextafter(border, -np.inf)) is below


@given(angles=st.tuples(st.floats(-180, 180), st.floats(-180, 180)))
def test_a_smaller_angle_is_never_a_lighter_class(angles):
    low, high = sorted(angles)
    assert LIGHTEST_FIRST.index(ita_class(low)) >= LIGHTEST_FIRST.index(ita_class(high))


def test_an_angle_that_is_not_a_number_is_not_dark_skin():
    with pytest.raises(TenterError, match="not a number"):
        ita_class(float("nan"))


# The definition, arctan((L* - 50) / b*) in degrees: exact at these.
@pytest.mark.parametrize(
    ("lab", "degrees"), [((60, 3, 10), 45), ((50, 9, 20), 0), ((40, 5, 10), -45), ((50 + np.sqrt(3), 0, 1), 60)]
)
def test_angle_by_definition(lab, degrees):
    assert individual_typology_angle(lab) == pytest.approx(degrees, abs=1e-12)


@given(lightness=st.floats(0, 100), a=st.floats(-60, 60), b=st.floats(0.1, 60))
def test_redness_does_not_count(lightness, a, b):
    assert individual_typology_angle((lightness, a, b)) == individual_typology_angle((lightness, 0, b))


@given(lightness=st.floats(0, 99), step=st.floats(0.01, 1), b=st.floats(0.1, 60))
def test_lighter_skin_has_the_larger_angle(lightness, step, b):
    assert individual_typology_angle((lightness + step, 9, b)) > individual_typology_angle((lightness, 9, b))


@given(lightness=st.floats(51, 100))
def test_angle_is_continuous_where_yellow_ends(lightness):
    either_side = individual_typology_angle([[lightness, 9, -1e-9], [lightness, 9, 1e-9]])
    assert np.ptp(either_side) < 1e-6


@pytest.mark.parametrize("shape", [(3,), (7, 3), (2, 5, 3), (0, 3)])
def test_shapes(shape, rng):
    assert individual_typology_angle(rng.uniform(1, 60, shape)).shape == shape[:-1]


# C. C. Cooksey, D. W. Allen, B. K. Tsai (2017), J. Res. NIST 122, Art. 26, doi:10.6028/jres.122.026: 100 forearms.
COUNTS = {"very light": 13, "light": 64, "intermediate": 13, "tan": 4, "brown": 6}


def test_the_table_is_what_its_script_writes():
    assert TABLE.read_text(encoding="utf-8") == mean_skins_text()


def test_the_classes_by_how_many_are_in_them_come_to_everybody():
    skins = skins_by_ita_class()
    assert list(skins) == list(COUNTS)
    mean = sum(COUNTS[name] * skin for name, skin in skins.items()) / 100
    assert_allclose(mean, mean_skin_reflectance(), rtol=0, atol=1e-5 + 1e-9)  # both are written to five digits


def test_each_mean_skin_is_in_its_own_class_and_darker_than_the_last():
    lab = reflectance_to_lab(np.stack(list(skins_by_ita_class().values())), D65_10.illuminant, D65_10.observer)
    assert [ita_class(float(angle)) for angle in individual_typology_angle(lab)] == list(COUNTS)
    assert np.all(np.diff(lab[:, 0]) < 0)


def test_the_skins_cannot_be_written_to():
    with pytest.raises(ValueError, match="read-only"):
        mean_skin_reflectance()[0] = 1
