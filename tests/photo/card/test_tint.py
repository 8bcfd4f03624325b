"""A change of colour across a card is told from what dyes and cameras leave over."""

import numpy as np
import pytest

from tenter.photo.card.calibration import calibrate
from tenter.photo.card.tint import card_tint
from tenter.photo.files.loading import Photo
from tenter.photo.patches.chart import find_chart
from tenter.photo.patches.reference import classic24
from tests.support.pictures.other_light import tinted


def tint_of(photo):
    reading = find_chart(photo)
    return card_tint(calibrate(classic24(), (reading, reading.turned_half()), photo))


def test_no_portrait_as_it_is_has_a_tint(portraits):
    assert not any(tint_of(Photo(portraits[file].rgb)).found for file in ("p1a.jpg", "p2b.jpg", "p4a.jpg"))


@pytest.mark.parametrize(("channel", "axis"), [(0, 0), (1, 0), (2, 1)], ids=["red", "green", "blue"])
def test_a_graded_tint_is_found_with_its_direction(portraits, channel, axis):
    found = tint_of(tinted(portraits["p1a.jpg"], channel, 0.25))
    assert found.found
    assert abs(found.change[axis]) > 5
    other = tint_of(tinted(portraits["p1a.jpg"], channel, -0.2))
    assert np.sign(other.change[axis]) == -np.sign(found.change[axis])
