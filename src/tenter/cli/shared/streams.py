"""What the commands write to: any terminal can show it, and nobody has to read it to the end."""

import codecs
import io
import os
import sys
from pathlib import Path
from typing import Any, TextIO

# What a terminal that is not UTF-8 shows in place of the signs that results are full of.
_PLAIN = {"•": "*", "−": "-", "–": "-", "±": "+-", "Δ": "d", "°": " deg", "…": "...", "×": "x", "≤": "<=", "≥": ">="}
_PLAIN |= {"’": "'", "‘": "'", "“": '"', "”": '"', "\u00a0": " "}


def open_streams() -> None:
    """Let standard output and standard error stand signs that they cannot encode, and readers that go away."""
    codecs.register_error("plain", _in_plain_signs)
    sys.stdout, sys.stderr = _lasting(sys.stdout), _lasting(sys.stderr)


def _lasting(stream: TextIO | None) -> TextIO:
    """Return a stream of the same file that goes on without its reader; one that is no file keeps its own ways."""
    if stream is None:  # closed by whoever started us
        return Path(os.devnull).open("w", encoding="utf-8")
    if not isinstance(stream, io.TextIOWrapper):
        return stream
    stream.flush()
    try:
        raw = _PerhapsUnread(stream.fileno(), "wb", closefd=False)
    except OSError:  # no file of the system's, as in a test
        stream.reconfigure(errors="plain")
        return stream
    by_line = stream.line_buffering or stream.write_through or stream.isatty()
    return io.TextIOWrapper(io.BufferedWriter(raw), stream.encoding, "plain", line_buffering=by_line)


class _PerhapsUnread(io.FileIO):
    """A file whose reader may go away, as `head` does: what is then written goes nowhere, and work is done to its end.

    A disk that is full is said once; what was not written is let go of.
    """

    def write(self, data: Any, /) -> int:
        """Write bytes, and return how many."""
        try:
            return super().write(data)
        except OSError as problem:
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, self.fileno())
            os.close(nowhere)
            if not isinstance(problem, BrokenPipeError):
                raise
            return len(data)


def _in_plain_signs(error: UnicodeError) -> tuple[str, int]:
    """Stand in for signs that a stream cannot encode; what has no stand-in becomes a question mark."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(_PLAIN.get(sign, "?") for sign in error.object[error.start : error.end]), error.end
