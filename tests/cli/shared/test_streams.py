"""Whoever reads what a command says may go away, and a disk may be full: it ends as the contract says."""

import io
import os
import sys
from pathlib import Path

import pytest

from tenter.cli import main
from tenter.cli.shared import streams
from tenter.cli.shared.inputs import UNREADABLE

PRINTING = {
    "help": ("--help",),
    "version": ("--version",),
    "table": ("kit", "show"),
    "json": ("kit", "show", "--json"),
    "long": ("kit", "audit"),
}


@pytest.fixture
def ended(monkeypatch):
    """Run the whole command with a standard output of its own, and return its exit code."""

    def ended(out, *said):
        monkeypatch.setattr(sys, "stdout", out)
        monkeypatch.setattr(sys, "stderr", io.StringIO())
        monkeypatch.setattr(sys, "argv", ["tenter", *said])
        with pytest.raises(SystemExit) as ending:
            main.run()
        sys.stdout.flush()  # as the interpreter does at its end
        return ending.value.code, sys.stderr.getvalue()

    return ended


@pytest.fixture
def unread():
    """A standard output whose reader has gone away."""
    reading, writing = os.pipe()
    os.close(reading)
    with os.fdopen(writing, "w", encoding="utf-8") as out:
        yield out


@pytest.mark.parametrize("said", PRINTING.values(), ids=PRINTING)
def test_a_closed_pipe_ends_quietly_with_0(ended, unread, said):
    assert ended(unread, *said) == (0, "")


def test_a_closed_pipe_changes_no_other_exit_code(ended, unread):
    code, said = ended(unread, "kit", "show", "--kit", "nowhere.csv")
    assert code == UNREADABLE
    assert "nowhere.csv" in said


def test_what_was_read_before_the_pipe_was_closed_is_whole():
    reading, writing = os.pipe()
    with os.fdopen(writing, "w", encoding="utf-8") as out:
        lasting = streams._lasting(out)
        print("1.5 °", file=lasting, flush=True)
        assert os.read(reading, 100) == "1.5 °\n".encode()
        os.close(reading)
        print("nobody reads this", file=lasting, flush=True)


def test_a_full_disk_is_said_with_2(ended):
    with Path("/dev/full").open("w", encoding="utf-8") as out:
        code, said = ended(out, "--version")
    assert code == UNREADABLE
    assert (
        said == "the output cannot be read or written (No space left on device); check the place, and its free space\n"
    )


def test_a_closed_output_is_no_fault(ended):
    assert ended(None, "--version") == (0, "")
