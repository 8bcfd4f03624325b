"""Spoilt files end in a picture or a plain refusal: seventy here, a thousand in the photo bench (mutations)."""

import time

import numpy as np
import pytest

from photo.mutations import spoilt_files
from tenter.errors import TenterError
from tenter.photo.loading import photo_from_bytes

COUNT, MOST_SECONDS = 70, 10


@pytest.fixture(scope="module")
def spoilt():
    y, x = np.mgrid[:100, :80]
    rgb = np.stack([x * 3, y * 2, 90 + (x * y) % 50], axis=2).astype(np.uint8)
    return list(spoilt_files(rgb, COUNT, seed=20))


def test_every_kind_of_damage_is_there(spoilt):
    assert {"truncated", "bits_flipped", "giant", "wrong extension", "animated", "inks", "1-bit"} <= {
        file.what for file in spoilt
    }
    assert len(spoilt) == COUNT


def outcome(file):
    """The refusal's words, or the picture."""
    try:
        return photo_from_bytes(file.content, file.name)
    except TenterError as refusal:  # any other exception fails the test
        return str(refusal)


def test_spoilt_files_are_read_or_refused_never_worse(spoilt):
    outcomes, slowest = [], 0.0
    for file in spoilt:
        started = time.perf_counter()
        outcomes.append(outcome(file))
        slowest = max(slowest, time.perf_counter() - started)
    assert slowest < MOST_SECONDS
    refusals = [(file, found) for file, found in zip(spoilt, outcomes, strict=True) if isinstance(found, str)]
    assert 0 < len(refusals) < len(spoilt)
    for file, words in refusals:
        assert words.startswith(file.name)
        assert len(words) > 60, "it says neither what came nor what to do"
    assert all(found.rgb.shape[2] == 3 for found in outcomes if not isinstance(found, str))
