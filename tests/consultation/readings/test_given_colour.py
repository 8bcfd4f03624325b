"""What a file gives of a colour: which wavelengths will do, and whether numbers are percent."""

import pytest

from tenter.consultation.readings.given_colour import check_wavelengths, reflectance_given, scale_of
from tenter.errors import TenterError


@pytest.mark.parametrize(
    ("wavelengths_nm", "said"),
    [
        ([], "covers nothing"),
        ([550], "covers 550 to 550 nm"),
        ([401, 550, 700], "covers 401 to 700 nm"),
        ([400, 410, 410, 700], "do not rise after 410 nm"),
        ([400, 500, 450, 700], "do not rise after 500 nm"),
        ([400, *range(421, 701, 1)], "has steps of 21 nm"),
    ],
)
def test_wavelengths_that_will_not_do(wavelengths_nm, said):
    with pytest.raises(TenterError, match=said):
        check_wavelengths(wavelengths_nm)


def test_gaps_beyond_what_is_seen_do_no_harm():
    values = reflectance_given([0.1, *[0.5] * 16, 0.9], [360, *range(400, 701, 20), 800], 1.0)
    assert len(values) == 81
    assert values[4] == values[64] == 0.5  # 400 and 700 nm


def test_as_many_values_as_wavelengths():
    with pytest.raises(TenterError, match="15 values came for 16 wavelengths"):
        reflectance_given([0.5] * 15, range(400, 701, 20), 1.0)


@pytest.mark.parametrize(("values", "scale"), [([0.2, 1.9], 1.0), ([0.2, 2.1], 0.01), ([], 1.0)])
def test_numbers_above_twice_white_are_percent(values, scale):
    assert scale_of(values) == scale
