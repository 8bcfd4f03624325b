"""A decoder that hangs, dies or eats memory costs one file: refused in plain words, and the rest goes on."""

import io
import json
import os
import re
import socket
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest

from tenter.cli.shared.batch import PhotoOutcome, measure_many
from tenter.errors import TenterError, UnreadableInput
from tenter.photo.decoders.decoded import MAX_WORKING_SIDE
from tenter.photo.decoders.signature import FileKind, kind_of
from tenter.photo.decoders.unpacking import DECODERS, unpack
from tenter.photo.files import apart
from tenter.photo.files.apart import _understood, unpack_apart
from tenter.photo.files.apart_child import MEMORY_BYTES
from tenter.photo.files.loading import photo_from_bytes
from tests.support.pictures import bad_decoders
from tests.support.pictures.bad_decoders import named
from tests.support.pictures.picture_files import (
    boasting_png,
    display_p3,
    dng,
    encoded,
    fine_gradient,
    fine_heic,
    fine_png,
    fine_tiff,
    gradient,
    heic,
    owned,
)

SOUND = {
    "JPEG": encoded(gradient(), "JPEG", icc_profile=display_p3(), exif=owned(6), quality=60),
    "PNG": encoded(gradient()),
    "16-bit PNG": fine_png(fine_gradient(), icc=display_p3()),
    "WebP": encoded(gradient(), "WEBP", exif=owned(8)),
    "TIFF": encoded(gradient(), "TIFF", icc_profile=display_p3()),
    "16-bit TIFF": fine_tiff(fine_gradient(), orientation=6),
    "grey TIFF": encoded(gradient()[..., 0], "TIFF"),
    "HEIC": heic(gradient(), 70),
    "HEIC named colours": fine_heic(fine_gradient(), 70).replace(b"nclx\0\1", b"nclx\0\x0c"),
    "DNG": dng(np.full((80, 120, 3), 0.4)),
}


@pytest.mark.parametrize("form", SOUND)
def test_the_picture_is_the_same_in_a_process_of_its_own(form):
    content = SOUND[form]
    kind = kind_of(content, "a")
    here, there = unpack(content, "a", kind, 2400), unpack_apart(content, "a", kind, 2400)
    np.testing.assert_array_equal(there.values, here.values)
    assert there.values.dtype == here.values.dtype
    said = [(one.reduction, one.notes, one.jpeg_step, one.orientation) for one in (here, there)]
    assert said[0] == said[1]


def test_every_format_is_among_them():
    assert {kind_of(content, "a") for content in SOUND.values()} == set(FileKind) == set(DECODERS)


def test_no_format_is_unpacked_in_the_process_that_asks():
    """Seen from a new process: every decoder of this one fails, and those that nothing else needs are not loaded."""
    code = """
import io, sys, cv2, numpy, PIL.Image, PIL.ImageCms
from tests.photo.files.test_apart import SOUND
from tenter.photo.files.loading import photo_from_bytes
def here(*_, **__):
    raise SystemExit("unpacked here")
PIL.Image.open = PIL.ImageCms.profileToProfile = cv2.imdecode = here
for module in ("pillow_heif", "rawpy"):
    sys.modules[module].open_heif = sys.modules[module].imread = here
for name, content in SOUND.items():
    print(name, photo_from_bytes(content, "a").rgb.shape[2])
"""
    env = os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)}
    ran = subprocess.run([sys.executable, "-c", code], env=env, capture_output=True, text=True, check=False)
    assert ran.stdout.splitlines() == [f"{name} 3" for name in SOUND], ran.stderr


def test_nothing_else_of_the_program_opens_pictures():
    """A call that is looked for by name, wherever it stands: these modules run in a process of their own only."""
    package = Path(apart.__file__).parents[2]
    opens = re.compile(r"Image\.open\(|imdecode|imread|open_heif|profileToProfile|frombytes|PIL.*(Jpeg|Png|Tiff)Image")
    found = {path.relative_to(package).as_posix() for path in package.rglob("*.py") if opens.search(path.read_text())}
    writes_alone = {"report/phone_page/lock_screen.py"}
    apart_alone = {f"photo/decoders/{name}.py" for name in ("heif", "on_white", "profiles", "raster", "raw", "webp")}
    assert found == apart_alone | writes_alone


def test_reading_a_picture_loads_no_decoder_into_the_process_that_asks():
    code = """
import sys
from pathlib import Path
from tenter.photo.files.loading import load_photo
load_photo(Path(sys.argv[1]))
print([name for name in ("cv2", "pillow_heif", "rawpy", "PIL.ImageCms", "PIL.JpegImagePlugin") if name in sys.modules])
"""
    env = os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)}
    picture = Path(__file__).parents[2] / "data" / "rendered_portraits" / "p1a.jpg"
    ran = subprocess.run([sys.executable, "-c", code, picture], env=env, capture_output=True, text=True, check=False)
    assert ran.stdout == "[]\n", ran.stderr


def spoilt(function, content=b"x", seconds=20.0):
    return unpack_apart(content, "face.heic", "HEIC", MAX_WORKING_SIDE, seconds, named(function))


@pytest.mark.parametrize(
    ("decode", "seconds", "says"),
    [
        (bad_decoders.hangs, 0.8, "not unpacked within 0.8 seconds.*Export it as a JPEG"),
        (bad_decoders.dies, 20, "crashed.*Give a JPEG"),
        (bad_decoders.eats_memory, 20, "more memory than a picture needs.*Export it smaller"),
        (bad_decoders.ends_early, 20, "crashed"),
        (bad_decoders.is_too_large, 20, "crashed"),
    ],
    ids=["hangs", "dies", "eats memory", "ends early", "too large"],
)
def test_a_decoder_that_fails_ends_in_a_plain_refusal_and_the_next_picture_is_read(decode, seconds, says):
    started = time.perf_counter()
    with pytest.raises(UnreadableInput, match=says) as caught:
        spoilt(decode, b"x" * 3_000_000, seconds)  # more than a pipe holds
    assert caught.value.source == "face.heic"
    assert time.perf_counter() - started < 8
    np.testing.assert_array_equal(photo_from_bytes(SOUND["PNG"], "a").rgb, gradient())


def test_what_a_decoder_prints_is_no_answer():
    assert (spoilt(bad_decoders.talks, b"x" * 7).values == 7).all()


def test_a_decoder_writes_and_opens_no_file(tmp_path):
    there = tmp_path / "there.txt"
    there.write_bytes(b"x")
    for function, path in (
        (bad_decoders.writes_a_file, tmp_path / "written.txt"),
        (bad_decoders.appends_to_a_file, there),
        (bad_decoders.reads_a_file, there),
    ):
        with pytest.raises(UnreadableInput, match="OSError"):
            spoilt(function, bytes(path))
    assert [file.name for file in tmp_path.iterdir()] == ["there.txt"]


def test_a_decoder_has_no_way_to_another_machine():
    with socket.create_server(("127.0.0.1", 0)) as server, pytest.raises(UnreadableInput, match="OSError"):
        spoilt(bad_decoders.calls_home, str(server.getsockname()[1]).encode())


def test_a_decoder_does_not_see_what_this_process_was_started_with(monkeypatch):
    apart.end_all()
    monkeypatch.setenv("TENTER_PHOTO_PASSPHRASE", "four words of hers")
    monkeypatch.setenv("DATABASE_URL", "postgres://a:b@c/d")
    found = spoilt(bad_decoders.tells_its_environment, b"PATH TENTER_PHOTO_PASSPHRASE DATABASE_URL HOME USER")
    assert found.notes == ("PATH",)
    [child] = apart._idle
    assert b"of hers" not in Path(f"/proc/{child._process.pid}/environ").read_bytes()


HEAD = {
    "shape": [80, 80, 3],
    "dtype": "uint8",
    "reduction": 1,
    "notes": [],
    "jpeg_step": 0,
    "orientation": 1,
    "focal_35mm": None,
}


@pytest.mark.parametrize(
    "other",
    [
        {"shape": [10**7, 10**7, 3]},
        {"shape": [101, 10, 3]},
        {"shape": [-80, -80, 3]},
        {"shape": [80, 0, 3]},
        {"dtype": "float32"},
        {"dtype": "object"},
        {"shape": [80, 81, 3]},
        {"shape": [80, 80]},
        {"notes": 7},
        {"focal_35mm": "long"},
    ],
    ids=[
        "giant",
        "larger than asked for",
        "negative",
        "nothing",
        "fractions",
        "objects",
        "cut short",
        "flat",
        "notes",
        "lens",
    ],
)
def test_an_answer_that_is_no_picture_is_not_believed(other):
    def pipe(head):
        return io.BufferedReader(io.BytesIO(json.dumps(head).encode() + b"\n" + bytes(80 * 80 * 3)))

    assert _understood(pipe(HEAD), "a", 100).values.shape == (80, 80, 3)
    with pytest.raises((ValueError, KeyError, TypeError)):
        _understood(pipe(HEAD | other), "a", 100)


def test_a_batch_goes_on_after_a_file_whose_decoder_dies(tmp_path):
    sound = SOUND["TIFF"]
    paths = [tmp_path / f"{k}.tif" for k in range(4)]
    for path, spoils in zip(paths, (None, b"dies", b"eats", None), strict=True):
        path.write_bytes(sound if spoils is None else sound[:8] + spoils + sound[12:])
    results = {result.path: result for result in measure_many(paths, bad_decoders.opened, jobs=2)}
    found = [results[path].outcome for path in paths]
    assert found == [PhotoOutcome.MEASURED, PhotoOutcome.UNREADABLE, PhotoOutcome.UNREADABLE, PhotoOutcome.MEASURED]
    assert "1.tif: the part of the program that unpacks" in results[paths[1]].problem


# -- the processes that wait -------------------------------------------------------------------------------------------


@pytest.fixture
def started(monkeypatch):
    """The processes that are started meanwhile; none is there before."""
    apart.end_all()
    found = []

    class Watched(subprocess.Popen):
        def __init__(self, *given, **named):
            super().__init__(*given, **named)
            found.append(self)

    monkeypatch.setattr(subprocess, "Popen", Watched)
    return found


def test_one_process_waits_for_many_pictures_and_each_has_a_copy_of_its_own(started):
    copies = {spoilt(bad_decoders.tells_who_it_is).notes[0] for _ in range(5)}
    assert len(started) == 1
    assert len(copies) == 5
    assert str(started[0].pid) not in copies


def test_a_process_that_cannot_copy_itself_is_replaced_after_a_number_of_pictures(started, monkeypatch):
    monkeypatch.setattr(apart, "CAN_COPY", False)
    monkeypatch.setattr(apart, "PICTURES_EACH", 3)
    for _ in range(7):
        photo_from_bytes(SOUND["JPEG"], "a")
    assert len(started) == 3
    assert [process.poll() is None for process in started] == [False, False, True]


def test_a_process_that_waits_has_one_thread_as_a_copy_of_more_may_hang(started):
    photo_from_bytes(SOUND["JPEG"], "a")
    assert "\nThreads:\t1\n" in Path(f"/proc/{started[0].pid}/status").read_text()


def test_a_process_that_was_ended_from_outside_is_replaced(started):
    photo_from_bytes(SOUND["JPEG"], "a")
    started[0].kill()
    started[0].wait()
    assert photo_from_bytes(SOUND["JPEG"], "a").rgb.shape == (120, 80, 3)
    assert len(started) == 2


def test_no_process_is_left_behind(started):
    photo_from_bytes(SOUND["TIFF"], "a.tif")
    with pytest.raises(UnreadableInput):
        spoilt(bad_decoders.hangs, seconds=0.3)
    apart.end_all()
    assert len(started) == 1
    assert started[0].returncode == 0  # it has ended, and waited for its copy
    with pytest.raises(ProcessLookupError):  # neither it nor its copy: they are one group
        os.killpg(started[0].pid, 0)


def test_where_no_process_starts_that_is_said_and_not_the_files_fault(monkeypatch):
    apart.end_all()
    monkeypatch.setattr(apart, "_CODE", "raise SystemExit")
    with pytest.raises(TenterError, match="does not start") as caught:
        photo_from_bytes(SOUND["PNG"], "a")
    assert not isinstance(caught.value, UnreadableInput)


# -- memory ------------------------------------------------------------------------------------------------------------


def peaks(content, by):
    """What a new process, and the largest of those it asks, hold at most in bytes, and what came of a file of a kind.

    Of the first it is what it holds more than before.
    """
    code = """
import resource, sys
from tests.support.pictures.picture_files import encoded, gradient
from tenter.errors import UnreadableInput
from tenter.photo.files import apart
from tenter.photo.decoders.signature import kind_of
def peak(who): return resource.getrusage(who).ru_maxrss * 1024
apart.unpack_apart(encoded(gradient()), "a", "PNG", 2400)
content, before = sys.stdin.buffer.read(), peak(resource.RUSAGE_SELF)
try:
    said = str(apart.unpack_apart(content, "a", kind_of(content, "a"), 2400, by=sys.argv[1]).values.shape)
except UnreadableInput as refusal:
    said = str(refusal)
apart.end_all()
print(peak(resource.RUSAGE_SELF) - before, peak(resource.RUSAGE_CHILDREN), said)
"""
    env = os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)}
    ran = subprocess.run([sys.executable, "-c", code, by], env=env, input=content, capture_output=True, check=True)
    more, child, said = ran.stdout.decode().split(maxsplit=2)
    return int(more), int(child), said


@pytest.mark.parametrize("kind", [b"IDAT", b"iCCP", b"tEXt"], ids=bytes.decode)
def test_a_png_of_57_bytes_that_claims_4_gb_is_refused_before_there_is_room_for_it(kind):
    assert len(boasting_png(kind)) == 57
    more, child, said = peaks(boasting_png(kind), apart.UNPACK)
    assert "a part of the file says that it is 4,294,967,295 bytes long, and 16 are left" in said
    assert more < 100_000_000
    assert child < 200_000_000


def test_where_a_decoder_believes_it_all_the_same_its_process_does_not_get_that_memory():
    more, child, said = peaks(boasting_png(length=2_000_000_000), named(bad_decoders.trusts_the_file))
    assert "not a picture that can be read" in said
    assert more < 100_000_000
    assert child < MEMORY_BYTES


def test_the_largest_picture_that_is_read_takes_the_process_that_asks_no_more_than_what_comes_of_it():
    side = 7000
    more, child, said = peaks(encoded(np.full((side, side, 3), 90, np.uint8), compress_level=1), apart.UNPACK)
    assert said.strip() == "(2400, 2400, 3)"
    assert more < 100_000_000
    assert 3 * side * side < child < MEMORY_BYTES
