"""Spoilt and hostile files end in a picture or a plain refusal: some here, all of them by mutations.py."""

import time

import numpy as np
import pytest

from tenter.errors import TenterError
from tenter.photo.files.loading import photo_from_bytes
from tests.support.pictures.hostile import grid_heic, hostile_files
from tests.support.pictures.mutations import spoilt_files

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
    assert {file.what for file in spoilt if file.content[8:12] == b"WEBP"} >= {"animated", "giant", "bits_flipped"}


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


@pytest.fixture(scope="module")
def hostile():
    y, x = np.mgrid[:100, :80]
    return hostile_files(np.stack([x * 3, y * 2, 90 + (x * y) % 50], axis=2).astype(np.uint8), megabytes=3)


def test_hostile_files_are_read_or_refused_never_worse(hostile):
    assert len(hostile) >= 200
    assert {
        "polyglot",
        "png chunk",
        "png boast",
        "webp",
        "tiff loop",
        "tiff boast",
        "jpeg",
        "profile",
        "orientation",
        "raw",
        "tiles",
        "frames",
    } <= {file.what for file in hostile}
    for file in hostile[:: len(hostile) // 20]:
        started = time.perf_counter()
        found = outcome(file)
        assert time.perf_counter() - started < MOST_SECONDS
        assert not isinstance(found, str) or (found.startswith(file.name) and len(found) > 60)


def test_a_heic_of_tiles_is_read_and_one_of_too_many_is_refused():
    tile = np.full((64, 64, 3), (200, 120, 60), np.uint8)
    read = photo_from_bytes(grid_heic(tile, 3, 4), "a.heic").rgb
    assert read.shape == (192, 256, 3)
    np.testing.assert_allclose(read, np.broadcast_to((200, 120, 60), read.shape), atol=6)
    with pytest.raises(TenterError, match=r"a\.heic: "):
        photo_from_bytes(grid_heic(tile, 256, 256), "a.heic")
