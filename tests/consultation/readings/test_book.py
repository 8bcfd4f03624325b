"""The book of readings is only added to: nothing is doubled, nothing is half-written, two writers lose nothing."""

import json
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import pytest

from tenter import durable
from tenter.colorimetry.measurement import D65_2
from tenter.consultation.readings.book import (
    ReadingBook,
    add_readings,
    add_washes,
    read_book,
    reading_document,
    reading_from,
    with_readings,
)
from tenter.consultation.readings.cloth_reading import GivenAs, ReadingCircumstances, spectral_reading
from tenter.consultation.readings.wash_log import Wash
from tenter.errors import TenterError, UnreadableInput
from tests.support.readings_given import HOW, reading

FULL = ReadingCircumstances(
    day="2026-11-29", time="14:30", instrument="own", backing="white tile", folds=4, direction="along", place="left",
    uv="with", note="after \u201cwash\u201d",
)  # fmt: skip


@pytest.fixture
def path(tmp_path):
    return tmp_path / "kit.readings"


def test_what_is_added_is_read_back(path):
    spectral = spectral_reading("D002", [0.25] * 81, FULL, source="b.ti3", row=7)
    photo = replace(reading("D003", conditions=D65_2), given_as=GivenAs.PHOTOGRAPH, half_width_90=(2.0, 1.5, 1.5))
    given = (reading(), spectral, photo)
    done = add_readings(path, given)
    assert (done.added, done.already) == (given, ())
    assert read_book(path) == done.book == ReadingBook(given)
    assert read_book(path).of_cloth("D002") == (spectral,)
    assert [reading_from(json.loads(json.dumps(reading_document(one)))) for one in given] == list(given)


def test_the_same_reading_twice_is_not_doubled_and_is_returned(path):
    add_readings(path, [reading()])
    before = path.read_bytes()
    again = replace(reading(), source="copy.csv", row=9)
    done = add_readings(path, [again, again, reading(time="15:00")])
    assert [one.how.time for one in done.added] == ["15:00:00"]
    assert done.already == (again, again)
    assert path.read_bytes().startswith(before)
    assert len(read_book(path).readings) == 2
    after = path.read_bytes()
    assert add_readings(path, [reading()]).added == ()
    assert path.read_bytes() == after


def test_the_same_reading_twice_in_one_file_is_not_doubled_either(path):
    done = add_readings(path, [reading(), replace(reading(), row=5)])
    assert ([one.row for one in done.added], [one.row for one in done.already]) == ([2], [5])


def test_a_file_without_a_day_that_is_added_again_on_another_is_not_doubled(path):
    add_readings(path, [reading(day="2026-05-01")])
    other = reading(lab=(51.0, 20.0, 10.0), day="2026-05-02")
    done = add_readings(path, [reading(day="2026-05-02"), other], assumed_day="2026-05-02")
    assert (done.added, len(done.already)) == ((other,), 1)
    assert add_readings(path, [reading(day="2026-05-03")]).added == (reading(day="2026-05-03"),)


@pytest.mark.parametrize("other", [{"cloth": "D002"}, {"lab": (50.0, 20.0, 10.1)}, {"day": "2026-11-30"}, {"folds": 4}])
def test_another_reading_is_another(other):
    assert len(with_readings(ReadingBook((reading(),)), [reading(**other)]).added) == 1


def test_washes_are_rows_of_the_book_too(path):
    wash = Wash("D001", "29.11.2026", "machine, 30 °C")
    add_readings(path, [reading()])
    assert add_washes(path, [wash, wash]) == add_washes(path, [wash]) == read_book(path)
    assert read_book(path) == ReadingBook((reading(),), (Wash("D001", "2026-11-29", "machine, 30 °C"),))
    with pytest.raises(TenterError, match="the kind of a wash is a text"):
        Wash("D001", "2026-11-29", " ")


def test_a_book_that_cannot_be_written_stays_as_it_was(path, monkeypatch):
    add_readings(path, [reading()])
    before = path.read_bytes()

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(durable.os, "fsync", full)
    with pytest.raises(UnreadableInput, match=r"it cannot be written \(No space left on device\)\. Nothing was added"):
        add_readings(path, [reading("D002")])
    assert path.read_bytes() == before
    assert list(path.parent.iterdir()) == [path]


def test_writers_at_the_same_time_lose_nothing(path):
    with ThreadPoolExecutor(4) as pool:
        list(pool.map(lambda k: add_readings(path, [reading(f"D{k:03}")]), range(12)))
    assert sorted(one.cloth for one in read_book(path).readings) == [f"D{k:03}" for k in range(12)]
    assert list(path.parent.iterdir()) == [path]


def line(**changes):
    document = {**reading_document(reading()), **changes}
    return json.dumps({name: value for name, value in document.items() if value is not None}) + "\n"


HEAD = '{"kind": "tenter readings", "version": 1}\n'


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('{"kind": "other"}\n', "line 1: this is no book of readings"),
        ("cloth,L,a,b\n", "line 1: this is no book of readings; .* with 'tenter kit readings add'"),
        ("cloth,L,a,b\nD1,50,0,0", "line 1: this is no book of readings"),
        (HEAD.replace("1}", "2}"), "line 1: the book was written by a newer Tenter"),
        (HEAD + line()[:-20], "line 2: the file breaks off in it"),
        (HEAD + line()[:-20] + "\n", "line 2: "),
        (HEAD + "7\n", "line 2: "),
        (HEAD + line(kind="note"), "line 2: no kind of line 'note' is known"),
        (HEAD + line() + line(lab=[150, 0, 0]), r"line 3: L\* is a finite number from 0 to 115"),
        (HEAD + line(lab=None), "line 2: this is no reading: 'lab'"),
        (HEAD + line(lab="red"), "line 2: a colour has three numbers"),
        (HEAD + line(reflectance=[0.5] * 80), "a reading's spectrum has 81 values"),
        (HEAD + line(reflectance=[-0.5] * 81), "a reflectance is a finite number from 0 to 2"),
        (HEAD + line(observer="3"), "no observer is called '3'"),
        (HEAD + line(given_as="guess"), "line 2: this is no reading"),
        (HEAD + line(row="x"), "line 2: this is no reading"),
        (HEAD + line(folds="4"), "the number of folds is a whole number"),
        (HEAD + '{"kind": "wash", "cloth": "D1", "day": "yesterday", "wash": "hand"}\n', "'yesterday' is no day"),
        (HEAD + '{"kind": "wash", "cloth": "D1"}\n', "line 2: 'day'"),
    ],
)  # fmt: skip
def test_what_is_no_book_is_refused_by_line_and_left_as_it_is(path, text, said):
    path.write_text(text, encoding="utf-8")
    for way in (lambda: read_book(path), lambda: add_readings(path, [reading()])):
        with pytest.raises(UnreadableInput, match=said):
            way()
    assert path.read_text(encoding="utf-8") == text


def test_a_folder_that_is_not_there_is_said(tmp_path):
    with pytest.raises(UnreadableInput, match="it cannot be written"):
        add_readings(tmp_path / "nowhere" / "kit.readings", [reading()])
    with pytest.raises(UnreadableInput, match="there is no such file"):
        read_book(tmp_path / "kit.readings")


@pytest.mark.parametrize(
    ("said", "given"),
    [
        ("a cloth's number is a text", {"cloth": " "}),
        ("cannot be a cloth's number", {"cloth": "x" * 121}),
        ("is no time", {"time": "half past two"}),
        ("is no day", {"day": "2026-02-30"}),
        ("no word for ultraviolet", {"uv": "perhaps"}),
    ],
)
def test_a_reading_is_checked_where_it_is_made(said, given):
    with pytest.raises(TenterError, match=said):
        reading(**given)
    assert HOW.time == ""
