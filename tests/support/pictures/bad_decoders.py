"""Decoders that a broken file might make of the real ones; named, so that a process of its own can import them."""

import os
import signal
import socket
import tempfile
import time
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np

from tenter.cli.shared.batch import PhotoOutcome, PhotoResult
from tenter.errors import TenterError
from tenter.photo.decoders.decoded import Unpacked
from tenter.photo.files import loading
from tenter.photo.files.apart import UNPACK, unpack_apart

OPENED, _place = tempfile.mkstemp()  # open before any limit is set, and nameless
Path(_place).unlink()


def hangs(content, name, kind, longest):
    while True:
        time.sleep(0.01)


def dies(content, name, kind, longest):
    os.kill(os.getpid(), signal.SIGSEGV)


def eats_memory(content, name, kind, longest):
    kept = [np.ones(50_000_000, np.uint8) for _ in range(60)]
    return talks(kept[0][:7].tobytes(), name, kind, longest)


def talks(content, name, kind, longest):
    os.write(1, b'{"shape": [64, 64, 3], "dtype": "uint8"}\nand more')
    return picture_of(len(content))


def picture_of(value):
    return Unpacked(np.full((64, 64, 3), value, np.uint8))


def writes_a_file(content, name, kind, longest):
    """Write into the file whose path is the content."""
    with Path(content.decode()).open("wb") as file:
        file.write(content)
    return picture_of(1)


def appends_to_a_file(content, name, kind, longest):
    """Write into a file that is open already, as whoever started the process may have left one."""
    os.write(OPENED, content)
    return picture_of(1)


def reads_a_file(content, name, kind, longest):
    return picture_of(Path(content.decode()).read_bytes()[0])


def calls_home(content, name, kind, longest):
    socket.create_connection(("127.0.0.1", int(content)), timeout=2).close()
    return picture_of(1)


def tells_its_environment(content, name, kind, longest):
    """Give the names that were asked for and are set, as a note."""
    return replace(picture_of(1), notes=tuple(name for name in content.decode().split() if name in os.environ))


def tells_who_it_is(content, name, kind, longest):
    return replace(picture_of(1), notes=(str(os.getpid()),))


def is_too_large(content, name, kind, longest):
    return Unpacked(np.zeros((longest + 1, 64, 3), np.uint8))


def trusts_the_file(content, name, kind, longest):
    """Unpack a file without a look at what it says of its lengths."""
    return Unpacked(cv2.imdecode(np.frombuffer(content, np.uint8), cv2.IMREAD_UNCHANGED))


def ends_early(content, name, kind, longest):
    os._exit(0)


def named(function):
    """Return what a process of its own finds one of these by."""
    return f"{function.__module__}:{function.__qualname__}"


BAD = {b"hang": hangs, b"dies": dies, b"eats": eats_memory}


def opened(path):
    """What a batch makes of a photograph whose first letters say how its decoder ends."""
    bad = BAD.get(path.read_bytes()[8:12])
    by = named(bad) if bad else UNPACK
    loading.unpack_apart = lambda *given: unpack_apart(*given, by=by)
    try:
        loading.load_photo(path)
    except TenterError as problem:
        return PhotoResult(path, PhotoOutcome.UNREADABLE, None, str(problem))
    return PhotoResult(path, PhotoOutcome.MEASURED, {}, "")
