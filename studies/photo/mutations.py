"""A thousand spoilt photographs, each measured in a child process, so that a crash is seen.

The files are made by tests/support/pictures/mutations.py from one of the ten rendered portraits: truncated, bits
flipped, giant dimensions, wrong extension, animated, inks, 1-bit, over JPEG, PNG, WebP, TIFF, HEIC and DNG. With
--hostile, 423 files made to do harm by tests/support/pictures/hostile.py: bombs, loops, lying profiles and lengths,
thousands of tiles. Each must end in a measured face or a plain refusal, within ten seconds and a gigabyte.
"""

import argparse
import logging
import multiprocessing
import resource
import sys
import time
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from multiprocessing.context import SpawnProcess
from pathlib import Path

import numpy as np
from PIL import Image

ROOT = Path(__file__).parents[2]
if str(ROOT / "tests") not in sys.path:
    sys.path.append(str(ROOT / "tests"))

from tenter.arrays import ByteArray  # noqa: E402
from tenter.errors import TenterError  # noqa: E402
from tenter.photo.face.measure import measure_face  # noqa: E402
from tenter.photo.files.loading import photo_from_bytes  # noqa: E402
from tests.support.pictures.hostile import hostile_files  # noqa: E402  # the tests' own, found beside them
from tests.support.pictures.mutations import Spoilt, spoilt_files  # noqa: E402

PORTRAIT = ROOT / "tests" / "data" / "rendered_portraits" / "p1a.jpg"
MOST_SECONDS, MOST_BYTES = 10.0, 1_000_000_000
_PATIENCE_SECONDS = 60.0  # a child that has not answered by then hangs


@dataclass
class Outcomes:
    """What became of the files, by what was done to them; `bad` must stay empty."""

    counts: dict[str, Counter[str]] = field(default_factory=dict)
    seconds: list[float] = field(default_factory=list)
    peak_bytes: int = 0
    bad: list[str] = field(default_factory=list)

    def add(self, file: Spoilt, ending: str, seconds: float) -> None:
        kind = ending.partition(":")[0]
        self.counts.setdefault(file.what, Counter())[kind] += 1
        self.seconds.append(seconds)
        if kind not in {"measured", "refused picture", "refused file"}:
            self.bad.append(f"{file.what}, {file.name}: {ending}")
        elif seconds > MOST_SECONDS:
            self.bad.append(f"{file.what}, {file.name}: {seconds:.1f} s")

    def lines(self) -> list[str]:
        kinds = sorted({kind for counts in self.counts.values() for kind in counts})
        rows = [
            f"{what:18s}" + "".join(f"{counts[kind]:16d}" for kind in kinds) for what, counts in self.counts.items()
        ]
        every = sum(self.counts.values(), Counter[str]())
        return [
            f"{len(self.seconds)} spoilt files",
            " " * 18 + "".join(f"{kind:>16s}" for kind in kinds),
            *rows,
            f"{'all':18s}" + "".join(f"{every[kind]:16d}" for kind in kinds),
            f"slowest {max(self.seconds):.1f} s of {MOST_SECONDS:.0f}, memory of the process at most "
            f"{self.peak_bytes / 1e6:.0f} MB of {MOST_BYTES / 1e6:.0f}",
            f"crashes, hangs, other exceptions, too slow: {len(self.bad)}",
            *self.bad,
        ]


def _serve(pipe: Connection) -> None:
    """Measure what comes through the pipe until nothing more does; runs in the child."""
    logging.disable(logging.CRITICAL)
    while (file := pipe.recv()) is not None:
        started = time.perf_counter()
        ending = _ending(file)
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
        pipe.send((ending, time.perf_counter() - started, peak))


def _ending(file: Spoilt) -> str:
    try:
        measured = measure_face(photo_from_bytes(file.content, file.name))
    except TenterError:
        return "refused file"
    except Exception as problem:  # that is what is looked for
        return f"exception: {type(problem).__name__}: {problem}"
    return "measured" if measured.accepted else "refused picture"


class _Child:
    """A process that measures, started anew when it has died."""

    def __init__(self) -> None:
        self.process: SpawnProcess | None = None

    def outcome(self, file: Spoilt) -> tuple[str, float, int]:
        if self.process is None:
            self.start()
        started = time.perf_counter()
        self.pipe.send(file)
        if not self.pipe.poll(_PATIENCE_SECONDS):
            self.stop()
            return "hang", time.perf_counter() - started, 0
        try:
            found: tuple[str, float, int] = self.pipe.recv()
        except EOFError:
            self.stop()
            return "crash", time.perf_counter() - started, 0
        return found

    def start(self) -> None:
        context = multiprocessing.get_context("spawn")
        self.pipe, theirs = context.Pipe()
        self.process = context.Process(target=_serve, args=(theirs,), daemon=True)
        self.process.start()
        theirs.close()
        sound = Spoilt("sound", "a.jpg", PORTRAIT.read_bytes())
        self.pipe.send(sound)  # the models load with the first face, which is not the files' fault
        self.pipe.recv()

    def stop(self) -> None:
        if self.process is not None:
            self.process.kill()
            self.process.join()
        self.process = None


def run(count: int = 1000, seed: int = 20) -> Outcomes:
    """Measure `count` spoilt files and return what became of them."""
    return outcomes_of(spoilt_files(_portrait(), count, seed), count)


def run_hostile() -> Outcomes:
    """Measure every file that was made to do harm and return what became of them."""
    files = hostile_files(_portrait())
    return outcomes_of(files, len(files))


def _portrait() -> ByteArray:
    with Image.open(PORTRAIT) as picture:
        return np.array(picture.convert("RGB"))


def outcomes_of(files: Iterable[Spoilt], count: int) -> Outcomes:
    outcomes, child = Outcomes(), _Child()
    for number, file in enumerate(files, 1):
        ending, seconds, peak = child.outcome(file)
        outcomes.add(file, ending, seconds)
        outcomes.peak_bytes = max(outcomes.peak_bytes, peak)
        print(f"\rspoilt files: {number} of {count}", end="", file=sys.stderr, flush=True)
    print(file=sys.stderr)
    child.stop()
    if outcomes.peak_bytes > MOST_BYTES:
        outcomes.bad.append(f"memory: {outcomes.peak_bytes / 1e6:.0f} MB")
    return outcomes


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=20)
    parser.add_argument("--hostile", action="store_true", help="the files made to do harm instead")
    options = parser.parse_args()
    outcomes = run_hostile() if options.hostile else run(options.count, options.seed)
    print("\n".join(outcomes.lines()))
    sys.exit(bool(outcomes.bad))
