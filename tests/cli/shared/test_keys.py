"""Keys and lines: one key at a terminal, a whole line where there is none."""

import io
import os
import pty
import select
import sys
import termios
import threading
import time

import pytest

from tenter.cli.shared.keys import read_key, read_line


@pytest.fixture
def keyboard(monkeypatch):
    """A terminal as standard input; what is written to the returned end is typed at it."""
    ours, theirs = pty.openpty()
    with os.fdopen(theirs, encoding="utf-8") as terminal:
        monkeypatch.setattr(sys, "stdin", terminal)
        yield ours
    os.close(ours)


def press(keyboard, keys):
    """Type keys from beside, as soon as the terminal waits for a single one."""

    def when_waiting():
        for _ in range(500):
            if not termios.tcgetattr(keyboard)[3] & termios.ICANON:
                break
            time.sleep(0.01)
        os.write(keyboard, keys)

    typist = threading.Thread(target=when_waiting, daemon=True)
    typist.start()
    return typist


def test_a_key_at_a_terminal_needs_no_return_and_the_terminal_is_left_as_it_was(keyboard):
    before = termios.tcgetattr(keyboard)
    typist = press(keyboard, b"a")
    assert read_key() == "a"
    typist.join()
    assert termios.tcgetattr(keyboard) == before


def test_a_key_pressed_before_the_pair_was_shown_answers_nothing(keyboard):
    os.write(keyboard, b"s\n")
    assert select.select([sys.stdin], [], [], 5)[0]  # it has arrived
    typist = press(keyboard, b"k")
    assert read_key() == "k"
    typist.join()


def test_control_d_ends_the_sitting(keyboard):
    typist = press(keyboard, b"\x04")
    assert read_key() == ""
    typist.join()


def test_a_line_after_a_key_is_read_whole(keyboard):
    typist = press(keyboard, b"o")
    assert read_key() == "o"
    typist.join()
    os.write(keyboard, b" D063 D064 \n")
    assert read_line("two cloths: ") == "D063 D064"


@pytest.mark.parametrize(
    ("typed", "keys"),
    [("a\nk\n", ["a", "k", ""]), (" a \n\nk", ["a", " ", "k", ""]), ("", ["", ""])],
)
def test_without_a_terminal_each_line_is_a_key_and_the_end_is_empty(monkeypatch, typed, keys):
    monkeypatch.setattr(sys, "stdin", io.StringIO(typed))
    assert [read_key() for _ in keys] == keys


def test_a_prompt_goes_to_standard_error(monkeypatch, capsys):
    monkeypatch.setattr(sys, "stdin", io.StringIO("lamp was off \n"))
    assert read_line("  reason: ") == "lamp was off"
    assert capsys.readouterr() == ("", "  reason: ")
