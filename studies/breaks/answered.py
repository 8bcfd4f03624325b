"""Spoilt files read in a process of its own, so that a crash, a hang, its memory and its time are seen.

For `bench_breaks.py`.
"""

import multiprocessing
import resource
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from pathlib import Path

from studies.breaks.spoilt_texts import Format, backup_format, client_format, formats, keys_format, spoilt
from tenter.errors import TenterError

MOST_SECONDS, MOST_MB = 20.0, 1200.0
_PATIENCE = 120.0  # seconds, on a machine that has other work too


@dataclass
class Answers:
    """What became of a format's files. `bad`: everything but a reading or a plain refusal, in time."""

    name: str
    endings: Counter[str] = field(default_factory=Counter)
    slowest: float = 0.0
    peak_mb: float = 0.0
    bad: list[str] = field(default_factory=list)

    def add(self, way: str, ending: str, seconds: float, peak_mb: float) -> None:
        self.endings[ending.partition(":")[0]] += 1
        self.slowest, self.peak_mb = max(self.slowest, seconds), max(self.peak_mb, peak_mb)
        if ending not in {"read", "refused"} or seconds > MOST_SECONDS or peak_mb > MOST_MB:
            self.bad.append(f"{self.name}, {way}: {ending}, {seconds:.1f} s, {peak_mb:.0f} MB")

    def line(self) -> str:
        told = ", ".join(f"{count} {ending}" for ending, count in sorted(self.endings.items()))
        return f"{self.name:28s} {told:32s} slowest {self.slowest:5.2f} s, memory at most {self.peak_mb:4.0f} MB"


def _ending(form: Format, path: Path) -> str:
    try:
        form.read(path)
    except TenterError:
        return "refused"
    except Exception as problem:  # that is what is looked for
        return f"exception: {type(problem).__name__}: {str(problem)[:200]}"
    return "read"


def _serve(pipe: Connection, made: Callable[[Path], list[Format]]) -> None:
    """Read what comes through the pipe; runs in the child. Processor time counts, so that other work does not."""
    with tempfile.TemporaryDirectory() as folder:
        known = {form.name: form for form in made(Path(folder))}
        pipe.send([(form.name, form.ending, form.sound) for form in known.values()])
        while (asked := pipe.recv()) is not None:
            name, content = asked
            path = Path(folder) / f"spoilt{known[name].ending}"
            path.write_bytes(content)
            began = time.process_time()
            ending = _ending(known[name], path)
            peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
            pipe.send((ending, time.process_time() - began, peak))


class _Child:
    """A process that reads, started anew when it has died or hangs."""

    def __init__(self, made: Callable[[Path], list[Format]]) -> None:
        self._made = made
        self.sound = self._start()

    def _start(self) -> list[Format]:
        context = multiprocessing.get_context("spawn")
        self._pipe, theirs = context.Pipe()
        self._process = context.Process(target=_serve, args=(theirs, self._made), daemon=True)
        self._process.start()
        theirs.close()
        return [Format(name, ending, sound, len) for name, ending, sound in self._pipe.recv()]

    def answer(self, form: Format, content: bytes) -> tuple[str, float, float]:
        self._pipe.send((form.name, content))
        try:
            if not self._pipe.poll(_PATIENCE):
                raise EOFError
            found: tuple[str, float, float] = self._pipe.recv()
        except EOFError:
            ending = "hang" if self._process.is_alive() else "crash"
            self.stop()
            self._start()
            return ending, _PATIENCE, 0.0
        return found

    def stop(self) -> None:
        self._process.kill()
        self._process.join()


def studio_formats(folder: Path) -> list[Format]:
    """Return the formats of a backup, a client's file and the photographs' keys, of a demo studio in the folder."""
    from studies.web.bench_pages import studio_in  # noqa: PLC0415

    with studio_in(folder / "data") as owner:
        return [backup_format(folder), client_format(owner), keys_format()]


def answers(made: Callable[[Path], list[Format]], count: int, seed: int) -> list[Answers]:
    """Spoil `count` files of every format that `made` gives in the child, and return what became of them."""
    child, found = _Child(made), []
    for form in child.sound:
        ours = Answers(form.name)
        if child.answer(form, form.sound)[0] != "read":
            ours.bad.append(f"{form.name}: the sound file is not read")
        for number, (way, content) in enumerate(spoilt(form, count, seed), 1):
            ours.add(way, *child.answer(form, content))
            print(f"\r{form.name}: {number} of {count}   ", end="", file=sys.stderr, flush=True)
        print(file=sys.stderr)
        print(ours.line(), *ours.bad, sep="\n  ", flush=True)
        found.append(ours)
    child.stop()
    return found


def every_answer(count: int, seed: int) -> list[Answers]:
    """Return what became of the spoilt files of every format that is no picture."""
    return answers(formats, count, seed) + answers(studio_formats, count, seed)
