"""The step from a standard deviation to the half-width of a 90 % interval, and the points of chi squared."""

import pytest
from scipy.special import ndtr, ndtri
from scipy.stats import chi2

from tenter.colorimetry.intervals import DEVIATIONS_TO_90, chi_square_point


def test_nine_in_ten_normal_errors_lie_within():
    assert pytest.approx(float(ndtri(0.95)), abs=0.5e-4) == DEVIATIONS_TO_90
    assert ndtr(DEVIATIONS_TO_90) - ndtr(-DEVIATIONS_TO_90) == pytest.approx(0.9, abs=1e-5)


@pytest.mark.parametrize(("share", "freedom"), [(0.5, 1), (0.9, 2), (0.9, 3), (0.99, 12)])
def test_points_of_chi_squared_are_scipys(share, freedom):
    assert chi_square_point(share, freedom) == pytest.approx(float(chi2.ppf(share, freedom)), rel=1e-12)
