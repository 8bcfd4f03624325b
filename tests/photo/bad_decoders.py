"""Decoders that a broken file might make of the real ones; named, so that a process of its own can import them."""

import os
import signal
import time
from pathlib import Path

import numpy as np

from tenter.cli.batch import Outcome, Result
from tenter.errors import TenterError
from tenter.photo import loading
from tenter.photo.decoded import Decoded, Space

WRITTEN = "written-by-a-decoder.txt"


def hangs(content, name):
    while True:
        time.sleep(0.01)


def dies(content, name):
    os.kill(os.getpid(), signal.SIGSEGV)


def eats_memory(content, name):
    kept = [np.ones(50_000_000, np.uint8) for _ in range(60)]
    return talks(kept[0][:7].tobytes(), name)


def talks(content, name):
    os.write(1, b'{"parts": [["uint8", [64, 64]]]}\nand more')
    return Decoded(np.full((64, 64, 3), len(content), np.uint8), Space.RGB, (64, 64))


def writes_a_file(content, name):
    with Path(WRITTEN).open("wb") as file:
        file.write(content)
    return talks(content, name)


def ends_early(content, name):
    os._exit(0)


BAD = {b"hang": hangs, b"dies": dies, b"eats": eats_memory}


def opened(path):
    """What a batch makes of a photograph whose first letters say how its decoder ends."""
    content = path.read_bytes()
    loading._DECODERS[loading.FileKind.TIFF] = BAD.get(content[8:12], loading.decode_tiff)
    try:
        loading.load_photo(path)
    except TenterError as problem:
        return Result(path, Outcome.UNREADABLE, None, str(problem))
    return Result(path, Outcome.MEASURED, {}, "")
