"""A decoder that hangs, dies or eats memory costs one file: refused in plain words, and the rest goes on."""

import io
import json
import os
import subprocess
import time

import numpy as np
import pytest

from photo import bad_decoders
from photo.picture_files import display_p3, dng, encoded, fine_gradient, fine_heic, fine_tiff, gradient, heic
from tenter.cli.batch import Outcome, measure_many
from tenter.errors import UnreadableInput
from tenter.photo.apart import _understood, decode_apart
from tenter.photo.heif import decode_heif
from tenter.photo.loading import photo_from_bytes
from tenter.photo.profiles import MatrixProfile
from tenter.photo.raster import decode_tiff
from tenter.photo.raw import decode_raw

SOUND = {
    "TIFF": (decode_tiff, encoded(gradient(), "TIFF", icc_profile=display_p3())),
    "16-bit TIFF": (decode_tiff, fine_tiff(fine_gradient(), orientation=6)),
    "grey TIFF": (decode_tiff, encoded(gradient()[..., 0], "TIFF")),
    "HEIC": (decode_heif, heic(gradient(), 70)),
    "HEIC named colours": (decode_heif, fine_heic(fine_gradient(), 70).replace(b"nclx\0\1", b"nclx\0\x0c")),
    "DNG": (decode_raw, dng(np.full((80, 120, 3), 0.4))),
}


@pytest.mark.parametrize(("decode", "content"), SOUND.values(), ids=SOUND)
def test_the_picture_is_the_same_in_a_process_of_its_own(decode, content):
    here, there = decode(content, "a"), decode_apart(decode, content, "a")
    np.testing.assert_array_equal(there.values, here.values)
    assert there.values.dtype == here.values.dtype
    assert (there.space, there.full_size, there.orientation, there.notes) == (
        here.space,
        here.full_size,
        here.orientation,
        here.notes,
    )
    if isinstance(here.profile, MatrixProfile):
        np.testing.assert_array_equal(there.profile.curves, here.profile.curves)
        np.testing.assert_array_equal(there.profile.to_srgb, here.profile.to_srgb)
    else:
        assert there.profile == here.profile


def test_one_of_the_pictures_names_its_colours_by_number():
    decode, content = SOUND["HEIC named colours"]
    assert isinstance(decode(content, "a").profile, MatrixProfile)


@pytest.mark.parametrize(
    ("decode", "seconds", "says"),
    [
        (bad_decoders.hangs, 0.8, "not unpacked within 0.8 seconds.*Export it as a JPEG"),
        (bad_decoders.dies, 20, "died of it.*Give a JPEG"),
        (bad_decoders.eats_memory, 20, "more memory than a picture needs.*Export it smaller"),
        (bad_decoders.ends_early, 20, "died of it"),
    ],
    ids=["hangs", "dies", "eats memory", "ends early"],
)
def test_a_decoder_that_fails_ends_in_a_plain_refusal(decode, seconds, says):
    started = time.perf_counter()
    with pytest.raises(UnreadableInput, match=says) as caught:
        decode_apart(decode, b"x" * 3_000_000, "face.heic", seconds)  # more than a pipe holds
    assert caught.value.source == "face.heic"
    assert time.perf_counter() - started < 8


def test_what_a_decoder_prints_is_no_answer():
    assert (decode_apart(bad_decoders.talks, b"x" * 7, "a").values == 7).all()


def test_a_decoder_writes_no_file(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    with pytest.raises(UnreadableInput):
        decode_apart(bad_decoders.writes_a_file, b"x" * 7, "a")
    left = tmp_path / bad_decoders.WRITTEN
    assert not left.exists() or left.stat().st_size == 0


@pytest.mark.parametrize(
    "parts",
    [
        [["uint8", [10**7, 10**7, 3]]],
        [["uint8", [-80, -80]]],
        [["float32", [40, 40]]],
        [["object", [80, 80]]],
        [["uint8", [80, 80, 3]]],
        [["uint8", [4800]]],
    ],
    ids=["giant", "negative", "fractions", "objects", "cut short", "no picture"],
)
def test_an_answer_that_is_no_picture_is_not_believed(parts):
    head = {"parts": parts, "space": "RGB ", "full_size": [80, 80], "orientation": 1, "notes": []}
    pipe = io.BufferedReader(io.BytesIO(json.dumps(head).encode() + b"\n" + bytes(80 * 80 * 2)))
    with pytest.raises((ValueError, KeyError)):
        _understood(pipe, "a")


def test_a_batch_goes_on_after_a_file_whose_decoder_dies(tmp_path):
    sound = encoded(gradient(), "TIFF")
    paths = [tmp_path / f"{k}.tif" for k in range(4)]
    for path, spoils in zip(paths, (None, b"dies", b"eats", None), strict=True):
        path.write_bytes(sound if spoils is None else sound[:8] + spoils + sound[12:])
    results = {result.path: result for result in measure_many(paths, bad_decoders.opened, jobs=2)}
    found = [results[path].outcome for path in paths]
    assert found == [Outcome.MEASURED, Outcome.UNREADABLE, Outcome.UNREADABLE, Outcome.MEASURED]
    assert "1.tif: the part of the program that unpacks" in results[paths[1]].problem


def test_no_child_is_left_behind(monkeypatch):
    started = []

    class Watched(subprocess.Popen):
        def __init__(self, *given, **named):
            super().__init__(*given, **named)
            started.append(self)

    monkeypatch.setattr(subprocess, "Popen", Watched)
    photo_from_bytes(SOUND["TIFF"][1], "a.tif")
    with pytest.raises(UnreadableInput):
        decode_apart(bad_decoders.hangs, b"x", "a", seconds=0.3)
    assert len(started) == 2
    for child in started:
        with pytest.raises(ProcessLookupError):  # ended, and waited for
            os.kill(child.pid, 0)
