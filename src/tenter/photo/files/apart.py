"""Unpack pictures in processes of their own, which may hang, die or eat memory without taking more than a file along.

A process with the decoders loaded waits for pictures (`apart_child.py`), so that none pays for its start; each picture
is unpacked in a copy of it that ends with the picture, where the system can make one. It gets a time, an address space,
no leave to write files or to open any, and nothing of this process's environment but what Python needs to start. It
answers in numbers and words that are checked here, never in objects, so that a decoder that a file has taken over can
say no more than a wrong picture. On systems without such limits (Windows) the time alone is kept.
"""

import atexit
import importlib
import io
import json
import os
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO, Any, cast

import numpy as np

from tenter.arrays import AnyArray
from tenter.errors import TenterError, UnreadableInput
from tenter.language import _, as_written, language
from tenter.photo.decoders.decoded import REMEDY, Unpacked

SECONDS = 20.0  # that one picture may take to unpack
UNPACK = "tenter.photo.decoders.unpacking:unpack"
READY, GO = b"+", b"+"
CAN_COPY = hasattr(os, "fork") and sys.platform != "darwin"  # on macOS some libraries do not outlive a fork
PICTURES_EACH = 50  # where a process cannot copy itself: what decoders leave behind is cleared away after so many
_SECONDS_TO_START, _SECONDS_TO_STOP = 60.0, 5.0  # of the child process, to start and to stop
_AT_ONCE = max(1, min(4, os.cpu_count() or 1))  # processes that unpack, one a core and four at most
_LONGEST_LINE = 65_536  # bytes of the head that a child answers with
_PIPE_BYTES = 1_048_576  # a picture of 14 million bytes then goes through in a few gulps
_CODE = "from tenter.photo.files.apart_child import unpack_for_another; unpack_for_another()"
# One thread a library: each thread more would take address space for its stack and for a heap of its own.
_ONE_THREAD = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "MALLOC_ARENA_MAX"), "1")
# What Python and its libraries need to start; all else stays here, a passphrase among it.
_NEEDED = ("PATH", "PYTHONHOME", "LD_LIBRARY_PATH", "DYLD_LIBRARY_PATH", "LANG", "LC_ALL", "LC_CTYPE", "SYSTEMROOT")
_KINDS = {"uint8": np.uint8, "uint16": np.uint16}


def unpack_apart(
    content: bytes, name: str, kind: str, longest: int, seconds: float = SECONDS, by: str = UNPACK
) -> Unpacked:
    """Return the picture in a file of a kind, with at most `longest` pixels a side; `name` is only used in messages.

    seconds: how many a process may take. by: the function that unpacks it, by its module and its name.

    Raises
    ------
    UnreadableInput
        If the file is refused, or unpacking it takes more time or memory than a picture needs.
    TenterError
        If no process can be started.
    """
    job = {"by": by, "kind": kind, "longest": longest, "seconds": seconds, "size": len(content)}
    job["language"] = language().code
    with _lent() as child, _killed_after(child, seconds) as late:
        try:
            child.tell(GO + json.dumps(job).encode() + b"\n", content)
            found = _understood(child.answers, name, longest)
        except Exception:  # whatever came is no answer
            raise _no_answer(name, late.is_set(), seconds) from None
    if isinstance(found, UnreadableInput):
        raise found
    return found


def _no_answer(name: str, late: bool, seconds: float) -> UnreadableInput:
    if late:
        return UnreadableInput(
            name,
            _("it was not unpacked within {seconds} seconds", seconds=as_written(f"{seconds:g}")),
            _("Export it as a JPEG; the file may be broken"),
        )
    return UnreadableInput(
        name,
        _("the part of the program that unpacks pictures crashed"),
        _("{remedy}; this file seems to be broken", remedy=_(REMEDY)),
    )


# -- processes that wait -----------------------------------------------------------------------------------------------


class _Child:
    """A process that unpacks one picture after another. sound: whether it may have the next one too."""

    def __init__(self) -> None:
        places = (str(Path(place).absolute()) for place in sys.path if place)
        self._process = subprocess.Popen(
            [sys.executable, "-P", "-c", _CODE],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            cwd=Path(sys.prefix).anchor,
            env={name: os.environ[name] for name in _NEEDED if name in os.environ}
            | _ONE_THREAD
            | {"PYTHONPATH": os.pathsep.join(places)},
            start_new_session=True,  # Ctrl-C is for this process
            creationflags=getattr(subprocess, "CREATE_NEW_PROCESS_GROUP", 0),
        )
        self.answers = cast("io.BufferedReader", self._process.stdout)
        for pipe in (self._process.stdin, self._process.stdout):
            _widen(cast("IO[bytes]", pipe))
        self.sound = True
        self.pictures = 0

    @property
    def alive(self) -> bool:
        return self._process.poll() is None

    def tell(self, *parts: bytes) -> None:
        pipe = cast("io.BufferedWriter", self._process.stdin)
        for part in parts:
            pipe.write(part)
        pipe.flush()

    def stop(self) -> None:
        """End it, and its copy with it; what reads its answers finds no more of them."""
        self._process.terminate()
        with suppress(subprocess.TimeoutExpired):
            self._process.wait(_SECONDS_TO_STOP)
        self._process.kill()
        if CAN_COPY:
            with suppress(ProcessLookupError):  # there is none left of its group, as there should not be
                os.killpg(self._process.pid, signal.SIGKILL)
        self._process.wait()

    def end(self) -> None:
        """Stop it, and give back what it takes of this process."""
        self.stop()
        for pipe in (self._process.stdout, self._process.stdin):
            with suppress(OSError):  # what was left to write has nobody to read it
                cast("Any", pipe).close()


def _widen(pipe: IO[bytes]) -> None:
    """Let a pipe hold more at a time, where the system knows how and has room for it; it works as well, if slower."""
    with suppress(ImportError, AttributeError, OSError):
        fcntl: Any = importlib.import_module("fcntl")
        fcntl.fcntl(pipe.fileno(), fcntl.F_SETPIPE_SZ, _PIPE_BYTES)


_idle: list[_Child] = []
_room = threading.BoundedSemaphore(_AT_ONCE)  # more pictures than these at once wait, and so does their memory


@contextmanager
def _lent() -> Iterator[_Child]:
    """Lend a process that nobody else has, and keep it for the next picture if it comes back sound."""
    with _room:
        child = _waiting() or _started()
        try:
            yield child
        except BaseException:  # it may be in the midst of a picture
            child.sound = False
            raise
        finally:
            child.pictures += 1
            if child.sound and (CAN_COPY or child.pictures < PICTURES_EACH):
                _idle.append(child)
            else:
                child.end()


def _waiting() -> _Child | None:
    while True:
        try:
            child = _idle.pop()
        except IndexError:
            return None
        if child.alive:
            return child
        child.end()


def _started() -> _Child:
    child = _Child()
    with _killed_after(child, _SECONDS_TO_START):
        if child.answers.read(1) == READY:
            return child
    child.end()
    raise TenterError(_("the part of the program that unpacks pictures does not start; try again, or reinstall Tenter"))


@contextmanager
def _killed_after(child: _Child, seconds: float) -> Iterator[threading.Event]:
    late = threading.Event()

    def end() -> None:
        late.set()
        child.stop()

    alarm = threading.Timer(seconds, end)
    alarm.daemon = True
    alarm.start()
    try:
        yield late
    finally:
        alarm.cancel()
        alarm.join()  # or it may yet kill what is lent to the next picture
        child.sound &= not late.is_set()


@atexit.register
def end_all() -> None:
    """End every process that waits for a picture; the next picture starts one anew."""
    while child := _waiting():
        child.end()


# -- the answer --------------------------------------------------------------------------------------------------------


def _understood(pipe: io.BufferedReader, name: str, longest: int) -> Unpacked | UnreadableInput:
    """Return the answer, a picture or a refusal, or raise something where it is neither."""
    head: dict[str, Any] = json.loads(pipe.readline(_LONGEST_LINE))
    if "problem" in head:
        return UnreadableInput(name, str(head["problem"]), str(head["remedy"]))
    height, width, channels = (int(side) for side in head["shape"])
    if not (0 < height <= longest and 0 < width <= longest and channels == 3):
        raise ValueError("no picture, or more than was asked for")
    values: AnyArray = np.empty((height, width, channels), _KINDS[head["dtype"]])
    _fill(values, pipe)
    notes = tuple(str(note) for note in head["notes"])
    reduction, step, orientation = float(head["reduction"]), float(head["jpeg_step"]), int(head["orientation"])
    focal = None if head["focal_35mm"] is None else float(head["focal_35mm"])
    return Unpacked(values, reduction, notes, step, orientation, focal)


def _fill(values: AnyArray, pipe: io.BufferedReader) -> None:
    room = values.reshape(-1).view(np.uint8).data
    have = 0
    while have < len(room):
        got = pipe.readinto(room[have:])
        if not got:
            raise ValueError("cut short")
        have += got
