"""The command's frame: any terminal can show what is said, and a full disk is said and not traced."""

import io
import json
import sys

import pytest

from tenter.cli import main
from tenter.cli.shared.inputs import print_json


@pytest.fixture
def run(monkeypatch):
    """Run something as the whole command, with a standard output of an encoding; return what came out."""

    def run(action, encoding="utf-8"):
        out = io.TextIOWrapper(io.BytesIO(), encoding=encoding)
        monkeypatch.setattr(sys, "stdout", out)
        monkeypatch.setattr(main, "app", action)
        main.run()
        out.flush()
        return out.buffer.getvalue().decode(encoding)

    return run


def test_signs_that_a_terminal_cannot_show_are_put_plainly(run):
    said = "• ΔE00 1.5 ± 0.2, b* −3, 10° ö"
    assert run(lambda: sys.stdout.write(said), "ascii") == "* dE00 1.5 +- 0.2, b* -3, 10 deg ?"
    assert run(lambda: sys.stdout.write(said), "latin-1") == "* dE00 1.5 ± 0.2, b* -3, 10° ö"
    assert run(lambda: sys.stdout.write(said)) == said


def test_json_is_whole_on_any_terminal(run):
    document = {"photograph": "Käthe ±.jpg", "broken name": "\udcff.jpg"}
    for encoding in ("ascii", "utf-8"):
        assert json.loads(run(lambda: print_json(document), encoding)) == document


@pytest.mark.parametrize(
    ("problem", "said"),
    [
        (OSError(28, "No space left on device"), "the output cannot be read or written (No space left on device)"),
        (PermissionError(13, "Permission denied", "results/a.json"), "results/a.json cannot be read or written"),
    ],
)
def test_a_place_that_cannot_be_written_ends_with_2_and_no_traceback(run, capsys, problem, said):
    def action():
        raise problem

    with pytest.raises(SystemExit) as ended:
        run(action)
    assert ended.value.code == 2
    assert said in capsys.readouterr().err
