"""The step from a standard deviation to the half-width of a 90 % interval."""

import pytest
from scipy.special import ndtr, ndtri

from tenter.colorimetry.intervals import DEVIATIONS_TO_90


def test_nine_in_ten_normal_errors_lie_within():
    assert pytest.approx(float(ndtri(0.95)), abs=0.5e-4) == DEVIATIONS_TO_90
    assert ndtr(DEVIATIONS_TO_90) - ndtr(-DEVIATIONS_TO_90) == pytest.approx(0.9, abs=1e-5)
