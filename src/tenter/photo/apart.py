"""Unpack a file in a process of its own, which may hang, die or eat memory without taking more than that file with it.

The child gets a time, an address space and no leave to write files. It answers in numbers and words that are checked
here, never in objects, so that a decoder that a file has taken over can say no more than a wrong picture. On systems
without such limits (Windows) the time alone is kept.
"""

import importlib
import io
import json
import os
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import IO, Any, cast

import numpy as np

from tenter.arrays import AnyArray
from tenter.errors import UnreadableInput
from tenter.photo.decoded import MAX_BYTES, MAX_UNPACKED_BYTES, REMEDY, Decoded, Space, refusing
from tenter.photo.profiles import MatrixProfile

SECONDS = 20.0
MEMORY_BYTES = (
    1_250_000_000  # of address space, libraries counted; the largest picture that is read takes four fifths of it
)
_LONGEST_LINE = 65_536
_CODE = "from tenter.photo.apart import answer; answer()"
# One thread a library: each thread more would take address space for its stack and for a heap of its own.
_ONE_THREAD = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "MALLOC_ARENA_MAX"), "1")
_KINDS = {"uint8": np.uint8, "uint16": np.uint16, "float32": np.float32}


def decode_apart(
    decode: Callable[[bytes, str], Decoded], content: bytes, name: str, seconds: float = SECONDS
) -> Decoded:
    """Return what `decode`, a function that can be imported by its name, makes of a file in a process of its own.

    Raises
    ------
    UnreadableInput
        If it refuses the file, dies of it, or takes more time or memory than a picture needs.
    """
    with _child(decode, seconds) as (child, late):
        threading.Thread(target=_feed, args=(child.stdin, content), daemon=True).start()
        try:
            return _understood(cast("io.BufferedReader", child.stdout), name)
        except UnreadableInput:
            raise
        except Exception:  # whatever came is no answer
            raise _no_answer(name, late.is_set(), seconds) from None


@contextmanager
def _child(
    decode: Callable[[bytes, str], Decoded], seconds: float
) -> Iterator[tuple[subprocess.Popen[bytes], threading.Event]]:
    late = threading.Event()
    path = os.pathsep.join(place for place in sys.path if place)
    child = subprocess.Popen(
        [sys.executable, "-P", "-c", _CODE, decode.__module__, decode.__qualname__, str(seconds)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env=os.environ | _ONE_THREAD | {"PYTHONPATH": path},
    )

    def end() -> None:
        late.set()
        child.kill()

    alarm = threading.Timer(seconds, end)
    alarm.daemon = True
    alarm.start()
    try:
        yield child, late
    finally:
        alarm.cancel()
        child.kill()
        child.wait()
        for pipe in (child.stdout, child.stdin):
            _close(pipe)


def _close(pipe: IO[bytes] | None) -> None:
    try:
        if pipe is not None:
            pipe.close()
    except OSError:  # what was left to write has nobody to read it
        pass


def _feed(pipe: IO[bytes] | None, content: bytes) -> None:
    try:
        if pipe is not None:
            pipe.write(content)
            pipe.close()
    except (OSError, ValueError):  # the child has its answer, or is dead; the reader will know
        pass


def _no_answer(name: str, late: bool, seconds: float) -> UnreadableInput:
    if late:
        return UnreadableInput(
            name, f"it was not unpacked within {seconds:g} seconds", "Export it as a JPEG; the file may be broken"
        )
    return UnreadableInput(
        name, "the part of the program that unpacks such files died of it", f"{REMEDY}; this file seems to be broken"
    )


# -- the answer --------------------------------------------------------------------------------------------------------


def answer() -> None:
    """Unpack what comes in, and write what became of it: a line of JSON, then numbers. Runs in the child."""
    module, function, seconds = sys.argv[1:4]
    out = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # what a library prints goes nowhere
    decode = getattr(importlib.import_module(module), function)
    _set_limits(float(seconds))
    content = sys.stdin.buffer.read()
    try:
        with refusing(""):
            _write(out, decode(content, ""))
    except UnreadableInput as refusal:
        out.write(json.dumps({"problem": refusal.problem, "remedy": refusal.remedy}).encode() + b"\n")
    out.flush()


def _set_limits(seconds: float) -> None:
    try:
        resource = importlib.import_module("resource")
    except ImportError:  # Windows has none
        return
    wanted = {
        resource.RLIMIT_AS: MEMORY_BYTES,
        resource.RLIMIT_CPU: int(seconds) + 1,  # should nobody be left to stop it
        resource.RLIMIT_FSIZE: 0,  # no file is written
        resource.RLIMIT_CORE: 0,  # and no photograph left in the image of a dead process
    }
    for kind, most in wanted.items():
        _, hard = resource.getrlimit(kind)
        allowed = most if hard == resource.RLIM_INFINITY else min(most, hard)
        resource.setrlimit(kind, (allowed, allowed))


def _write(out: IO[bytes], decoded: Decoded) -> None:
    profile = decoded.profile
    parts: list[AnyArray] = [decoded.values]
    if isinstance(profile, MatrixProfile):
        parts += [profile.curves, profile.to_srgb]
    elif profile:
        parts.append(np.frombuffer(profile, np.uint8))
    head = {
        "parts": [[part.dtype.name, part.shape] for part in parts],
        "space": decoded.space,
        "full_size": decoded.full_size,
        "orientation": decoded.orientation,
        "notes": decoded.notes,
    }
    out.write(json.dumps(head).encode() + b"\n")
    for part in parts:
        out.write(np.ascontiguousarray(part).data)


def _understood(pipe: io.BufferedReader, name: str) -> Decoded:
    """Return the child's answer, or raise something where it is none."""
    head: dict[str, Any] = json.loads(pipe.readline(_LONGEST_LINE))
    if "problem" in head:
        raise UnreadableInput(name, str(head["problem"]), str(head["remedy"]))
    values, *more = [_read(pipe, kind, tuple(shape)) for kind, shape in head["parts"]]
    if values.ndim not in {2, 3} or values.dtype == np.float32:
        raise ValueError("no picture")
    profile: bytes | MatrixProfile | None = None
    if len(more) == 1:
        profile = more[0].tobytes()
    elif more:
        profile = MatrixProfile(more[0], more[1])
    width, height = (int(side) for side in head["full_size"])
    notes = tuple(str(note) for note in head["notes"])
    return Decoded(values, Space(head["space"]), (width, height), profile, int(head["orientation"]), notes)


def _read(pipe: io.BufferedReader, kind: str, shape: tuple[int, ...]) -> AnyArray:
    dtype = np.dtype(_KINDS[kind])
    wanted = dtype.itemsize
    for side in shape:
        wanted *= int(side)
    if not 0 <= wanted <= max(MAX_BYTES, MAX_UNPACKED_BYTES) or min(shape, default=0) < 0:
        raise ValueError("more than a picture has")
    found: AnyArray = np.empty(shape, dtype)
    room = found.reshape(-1).view(np.uint8).data
    have = 0
    while have < wanted:
        got = pipe.readinto(room[have:])
        if not got:
            raise ValueError("cut short")
        have += got
    return found
