"""`tenter face measure FOLDER`: no bad file stops the rest, and the run says what became of each."""

import csv
import json
import multiprocessing
import os
import signal
import time
from functools import partial
from pathlib import Path

import pytest
import typer

from tenter.cli.photo.face import _beside
from tenter.cli.photo.face_folder import FolderRun, measure_folder
from tenter.cli.shared.batch import (
    SUMMARY,
    Found,
    PhotoOutcome,
    PhotoResult,
    find_photographs,
    measure_many,
    measure_one,
    summary_csv,
)
from tenter.errors import TenterError
from tenter.photo.cards import CardChoice
from tenter.photo.regions.request import FaceRequest

PORTRAITS = Path(__file__).parents[2] / "data" / "rendered_portraits"
FOREHEAD = {"lab": [60.0, 10.0, 15.0], "lab_interval_90": [[58.0, 62.0], [9.0, 11.0], [14.0, 16.0]]}
GOOD = {
    **{"accepted": True, "reasons": [], "basis": "chart", "illuminant": "D65", "observer": "2"},
    **{"regions": {"forehead": FOREHEAD}, "ita_degrees": None},
}
BAD = {"accepted": False, "reasons": [{"code": "no_face", "text": "No face was found."}], "regions": {}}


def invented(path):
    """Stand in for measuring: the file's name says what becomes of it."""
    if "kill" in path.name:
        os._exit(9)  # as a decoder's crash ends its process
    if "broken" in path.name:
        return PhotoResult(path, PhotoOutcome.UNREADABLE, None, "cut short")
    return PhotoResult.of(path, BAD if "refused" in path.name else GOOD)


@pytest.fixture
def folder(tmp_path):
    place = tmp_path / "photos"
    place.mkdir()
    return place


def put(folder, *names):
    for name in names:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(b"")
    return find_photographs([folder])


def run(found, out, *, measure=invented, options="", jobs=1, again=False, as_json=False):
    try:
        measure_folder(found, measure, options, FolderRun(out, jobs, again, as_json))
    except typer.Exit as ended:
        return ended.exit_code
    return 0


def test_photographs_come_in_natural_order_and_other_files_are_counted(folder):
    found = put(folder, "p10.jpg", "p2.jpg", "deeper/p1.HEIC", "notes.txt", ".hidden.jpg", ".git/p3.jpg")
    assert [p.name for p in found.photographs] == ["p1.HEIC", "p2.jpg", "p10.jpg"]
    assert found.passed_over == 1


def test_a_loop_of_links_ends(folder):
    put(folder, "p1.jpg")
    (folder / "again").symlink_to(folder)
    assert len(find_photographs([folder]).photographs) == 1


def test_a_file_that_is_named_is_tried_whatever_its_name(folder):
    put(folder, "scan.dat")
    assert find_photographs([folder / "scan.dat"]).photographs == (folder / "scan.dat",)


def test_pipes_and_links_to_nothing_are_passed_over(folder):
    put(folder, "a.jpg")
    os.mkfifo(folder / "pipe.jpg")  # opening it would wait for ever
    (folder / "link.jpg").symlink_to(folder / "nowhere.jpg")
    assert find_photographs([folder]) == Found((folder / "a.jpg",), 2)


def test_what_a_run_has_drawn_and_written_is_no_photograph_of_the_next(folder, monkeypatch):
    put(folder, "a.jpg", "drawn/a.jpg.png", "results/b.png")
    monkeypatch.chdir(folder)
    found = find_photographs([Path()], leave_out=[Path("drawn"), folder / "results"])
    assert [path.name for path in found.photographs] == ["a.jpg"]


@pytest.mark.parametrize(
    ("named", "there"),
    [("shoot.v2", "shoot.v2-measured"), ("shoot.v2/.", "shoot.v2-measured"), ("shoot.v2/p1.jpg", "p1-measured")],
)
def test_results_lie_beside_what_is_named(tmp_path, monkeypatch, named, there):
    put(tmp_path / "shoot.v2", "p1.jpg")
    monkeypatch.chdir(tmp_path)
    assert _beside(Path(named)).name == there
    monkeypatch.chdir(tmp_path / "shoot.v2")
    assert _beside(Path()) == _beside(Path("../shoot.v2")).resolve() == tmp_path / "shoot.v2-measured"


def test_a_name_that_is_no_text_is_answered_for(folder, tmp_path, capsys):
    (folder / "a.jpg").write_bytes(b"")
    (folder / os.fsdecode(b"b-refused\xff.jpg")).write_bytes(b"")
    assert run(find_photographs([folder]), tmp_path / "out", as_json=True) == 3
    told = capsys.readouterr()
    assert "b-refused\ufffd.jpg, refused" in told.err
    assert json.loads(told.out)["photographs"][1]["photograph"].endswith("b-refused\ufffd.jpg")
    assert "b-refused\ufffd.jpg" in (tmp_path / "out" / SUMMARY).read_text(encoding="utf-8")


def test_a_place_for_results_that_is_a_file_is_said(folder, tmp_path):
    (tmp_path / "out").write_text("kept")
    with pytest.raises(TenterError, match="--out"):
        run(put(folder, "a.jpg"), tmp_path / "out")
    assert (tmp_path / "out").read_text() == "kept"


def test_what_is_not_there_is_named(folder):
    with pytest.raises(TenterError, match="nowhere"):
        find_photographs([folder / "nowhere"])


def test_every_photograph_is_answered_for(folder, tmp_path, capsys):
    found = put(folder, "a.jpg", "b-refused.jpg", "c-broken.jpg", "d.txt")
    assert run(found, tmp_path / "out") == 3
    said = capsys.readouterr().err
    assert said.startswith("3 photographs: 1 measured, 1 refused, 1 unreadable")  # no bar where no one sees it move
    assert "b-refused.jpg, refused: No face was found." in said
    assert "c-broken.jpg, unreadable: cut short" in said
    assert "1 other file skipped" in said
    assert json.loads((tmp_path / "out" / "a.jpg.json").read_text()) == GOOD
    with (tmp_path / "out" / SUMMARY).open(newline="") as table:
        rows = list(csv.DictReader(table))
    assert [(row["outcome"], row["L"]) for row in rows] == [("measured", "60.0"), ("refused", ""), ("unreadable", "")]


@pytest.mark.parametrize(("names", "code"), [(["a.jpg"], 0), (["a.jpg", "x-refused.jpg"], 3), (["x-broken.jpg"], 2)])
def test_the_exit_code_says_how_it_went(folder, tmp_path, names, code):
    assert run(put(folder, *names), tmp_path / "out") == code


def test_json_is_one_object_and_alone_on_stdout(folder, tmp_path, capsys):
    run(put(folder, "a.jpg", "b-refused.jpg"), tmp_path / "out", as_json=True)
    document = json.loads(capsys.readouterr().out)
    assert document["summary"] == {"measured": 1, "refused": 1, "unreadable": 0, "crashed": 0}
    assert [p["result"] for p in document["photographs"]] == [GOOD, BAD]


def test_a_process_that_dies_takes_one_photograph(folder, tmp_path):
    found = put(folder, "a.jpg", "kill.jpg", "z.jpg")
    results = {r.path.name: r.outcome for r in measure_many(found.photographs, invented, jobs=2)}
    assert results == {"a.jpg": PhotoOutcome.MEASURED, "kill.jpg": PhotoOutcome.CRASHED, "z.jpg": PhotoOutcome.MEASURED}


def trace_of(path):
    return path.with_name(f"{path.name}.asked")


def asked_times(path):
    return len(trace_of(path).read_text().split())


def slow_beside_a_killer(path):
    """Stand in for measuring in which a process dies while another is at work, which ends with it."""
    with trace_of(path).open("a") as trace:
        trace.write("asked ")
    if "kill" in path.name:
        while not trace_of(path.with_name("a.jpg")).exists():
            time.sleep(0.01)
        os._exit(9)
    if path.name == "a.jpg" and asked_times(path) == 1:
        time.sleep(20)  # far longer than the processes beside the killer live
    return PhotoResult.of(path, GOOD)


def test_what_was_under_way_beside_a_process_that_dies_is_measured_again(folder):
    found = put(folder, "a.jpg", "kill.jpg", "z.jpg")
    results = {r.path.name: r.outcome for r in measure_many(found.photographs, slow_beside_a_killer, jobs=2)}
    assert results == {"a.jpg": PhotoOutcome.MEASURED, "kill.jpg": PhotoOutcome.CRASHED, "z.jpg": PhotoOutcome.MEASURED}
    assert {name: asked_times(folder / name) for name in results} == {"a.jpg": 2, "kill.jpg": 2, "z.jpg": 1}


def test_a_second_run_measures_only_what_is_new_unless_told_or_asked_otherwise(folder, tmp_path):
    asked = []

    def counting(path):
        asked.append(path.name)
        return invented(path)

    found = put(folder, "a.jpg")
    for options, again in (("", False), ("", False), ("--hair", False), ("--hair", True)):
        run(found, tmp_path / "out", measure=counting, options=options, again=again)
    assert asked == ["a.jpg"] * 3
    for times, text in ((4, "{"), (5, '{"accepted": true}')):  # cut short by a power cut, and no face
        (tmp_path / "out" / "a.jpg.json").write_text(text)
        run(found, tmp_path / "out", measure=counting, options="--hair")
        assert asked == ["a.jpg"] * times


def test_stopping_keeps_what_is_done(folder, tmp_path, capsys):
    def stopped(path):
        if path.name == "b.jpg":
            raise KeyboardInterrupt
        return invented(path)

    with pytest.raises(KeyboardInterrupt):  # which ends every command alike
        run(put(folder, "a.jpg", "b.jpg"), tmp_path / "out", measure=stopped)
    assert (tmp_path / "out" / "a.jpg.json").is_file()
    assert "a.jpg" in (tmp_path / "out" / SUMMARY).read_text()
    said = capsys.readouterr().err
    assert "1 of 2" in said
    assert "1 photograph: 1 measured" in said


def slow(path):
    """Stand in for measuring that takes its time, and leave a trace of having been asked."""
    (path.parent / f"{path.name}.asked").touch()
    time.sleep(0.3)
    return PhotoResult.of(path, GOOD)


@pytest.fixture
def ctrl_c_heard():
    """Ctrl-C means to stop, as at a terminal; a shell starts its background jobs deaf to it."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.usefixtures("ctrl_c_heard")
def test_stopping_leaves_what_is_not_begun_and_the_processes_do_not_hear_of_it(folder):
    found = put(folder, *(f"{k:02d}.jpg" for k in range(40)))
    results = measure_many(found.photographs, slow, jobs=2)
    next(results)
    for child in multiprocessing.active_children():
        os.kill(child.pid, signal.SIGINT)  # as a terminal sends it to all of them
    next(results)
    results.close()
    assert len(list(folder.glob("*.asked"))) < 12
    assert not multiprocessing.active_children()
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def test_two_photographs_of_one_name_are_not_written_over_each_other(folder, tmp_path):
    with pytest.raises(TenterError, match="more than once"):
        run(put(folder, "one/a.jpg", "two/a.jpg"), tmp_path / "out")


def test_an_empty_folder_is_said(folder, tmp_path):
    with pytest.raises(TenterError, match="no photograph"):
        run(Found((), 3), tmp_path / "out")


def test_measuring_one_raises_nothing(tmp_path):
    empty = tmp_path / "empty.jpg"
    empty.write_bytes(b"")
    result = measure_one(empty, CardChoice(), FaceRequest())
    assert result.outcome is PhotoOutcome.UNREADABLE
    assert result.problem.startswith("this is not a picture")  # its name stands beside it in every summary


def test_real_photographs_in_processes_of_their_own(tmp_path):
    (tmp_path / "pictures").mkdir()
    measure = partial(measure_one, choice=CardChoice(), request=FaceRequest(), pictures=tmp_path / "pictures")
    (result,) = measure_many([PORTRAITS / "p1a.jpg"], measure, jobs=2)
    assert result.outcome is PhotoOutcome.MEASURED
    assert (tmp_path / "pictures" / "p1a.jpg.png").read_bytes().startswith(b"\x89PNG")
    assert "p1a.jpg" in summary_csv([result])
