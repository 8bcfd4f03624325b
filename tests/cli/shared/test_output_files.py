"""Every command that writes a file asks first whether it may: of the folder, and of a file that is there."""

import pytest
import typer
from typer.testing import CliRunner

from tenter.cli.main import app
from tenter.cli.shared import output_files
from tenter.cli.shared.inputs import UNREADABLE

MISSING = "missing.jpg"  # asked for the place first, a command never comes to open it
WRITERS = {
    "sheet": ("sheet", "--client", "K3", "--out"),
    "palette": ("palette", "--client", "K3", "--out"),
    "phone-page": ("phone-page", "--client", "K3", "--out"),
    "lock-screen": ("lock-screen", "--client", "K3", "--out"),
    "export": ("export", "--client", "K3", "--format", "css", "--out"),
    "swatches": ("swatches", "--client", "K3", "--out"),
    "printer sheet": ("printer", "sheet"),
    "printer learn": ("printer", "learn", MISSING, "--out"),
    "card print": ("card", "print"),
    "card calibrate": ("card", "calibrate", MISSING, "--out"),
    "cloth rack": ("cloth", "rack", MISSING, "--rows", "2", "--columns", "2", "--csv"),
    "face measure": ("face", "measure", MISSING, "--picture"),
    "kit health": ("kit", "health", "--out"),
    "kit labels": ("kit", "labels", "--out"),
    "kit picture coverage": ("kit", "picture", "coverage", "--out"),
    "kit picture drift": ("kit", "picture", "drift", "D061", "--readings", MISSING, "--out"),
    "kit picture pair": ("kit", "picture", "pair", "D061", "D062", "--out"),
    "kit readings kit": ("kit", "readings", "kit", MISSING, "--on", "2026-01-31", "--out"),
    "light report": ("light", "report", MISSING, "--out"),
    "light picture": ("light", "picture", MISSING, "--out"),
    "reflect picture": ("reflect", "picture", MISSING, "--drape", "D061", "--drape", "D062", "--out"),
}
FOLDER = "hand-over"  # it writes into a folder, and makes it where it is missing; so does the demo, into one of its own


def paper(said):
    """Return a name that the command may write to: one of them minds the ending."""
    return "paper.png" if said[:2] == ("reflect", "picture") else "paper.pdf"


def run(*said):
    return CliRunner().invoke(app, [*map(str, said)], catch_exceptions=False)


@pytest.mark.parametrize("said", WRITERS.values(), ids=WRITERS)
def test_a_file_that_is_there_is_kept_unless_it_is_to_be_replaced(said, tmp_path):
    kept = tmp_path / paper(said)
    kept.write_text("work of yesterday", encoding="utf-8")
    done = run(*said, kept)
    assert done.exit_code == UNREADABLE
    assert f"{kept} is there already. Nothing was written. Name another file, or overwrite" in done.stderr
    assert kept.read_text(encoding="utf-8") == "work of yesterday"


@pytest.mark.parametrize("said", [said for said in WRITERS.values() if MISSING in said], ids=" ".join)
def test_told_to_replace_a_command_goes_on_to_what_it_reads(said, tmp_path):
    kept = tmp_path / paper(said)
    kept.write_text("work of yesterday", encoding="utf-8")
    done = run(*said, kept, "--replace")
    assert done.exit_code == UNREADABLE
    assert MISSING in done.stderr
    assert "is there already" not in done.stderr
    assert kept.read_text(encoding="utf-8") == "work of yesterday"


@pytest.mark.parametrize("said", WRITERS.values(), ids=WRITERS)
def test_a_folder_that_is_missing_is_named(said, tmp_path):
    done = run(*said, tmp_path / "no" / paper(said))
    assert done.exit_code == UNREADABLE
    assert f"{tmp_path / 'no'} is not a folder" in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_folder_in_the_place_of_the_file_is_said(tmp_path):
    done = run("printer", "sheet", tmp_path)
    assert done.exit_code == UNREADABLE
    assert f"{tmp_path} is a folder. Name a file in it" in done.stderr


def test_what_is_to_be_replaced_is_replaced(tmp_path):
    out = tmp_path / "sheet.pdf"
    out.write_text("work of yesterday", encoding="utf-8")
    assert run("printer", "sheet", out, "--replace").exit_code == 0
    assert out.read_bytes().startswith(b"%PDF-")


def test_every_command_with_a_file_to_write_is_held_to_it():
    """A command that can replace is one of the writers above, and the writers are all that can."""
    found = {name for name, command in commands(typer.main.get_command(app)) if replaces(command)}
    assert found == {*WRITERS, FOLDER}
    writing = {name for name, command in commands(typer.main.get_command(app)) if writes(command)}
    assert writing - {"demo"} <= found


def commands(group, before=""):
    for name, command in group.commands.items():
        if hasattr(command, "commands"):
            yield from commands(command, f"{before}{name} ")
        else:
            yield f"{before}{name}", command


def replaces(command):
    return any("--replace" in parameter.opts for parameter in command.params)


def writes(command):
    return any({"--out", "--csv", "--picture", "out"} & {*parameter.opts} for parameter in command.params)


def test_several_files_that_are_there_are_counted(tmp_path):
    files = [tmp_path / name for name in "abc"]
    files[0].touch()
    files[2].touch()
    with pytest.raises(output_files.TenterError, match=f"{files[0]} is there already, and 1 more of these files"):
        output_files.require_free(files, replace=False)
    output_files.require_free(files, replace=True)
    output_files.require_free(files[1:2], replace=False)
