"""The one door to files of readings: what a file is its content says, and no file at all makes it stumble."""

import json

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from tenter.colorimetry.measurement import D65_10
from tenter.consultation.readings.cloth_reading import ClothReading, labs_under
from tenter.consultation.readings.reading_files import parse_readings, read_readings
from tenter.errors import UnreadableInput
from tests.consultation.readings import test_cgats_readings, test_cxf, test_photo_readings
from tests.support.readings_given import defaults

CSV = "cloth;day;folds;L;a;b\nD001;29.11.2026;4;50,5;20;10\nD001;29.11.2026;4;51;20;10\n"
PHOTO = json.dumps({**test_photo_readings.HEAD, "cloth": test_photo_readings.CLOTH})
SOUND = {
    "csv": CSV,
    "ti3": test_cgats_readings.ti3(),
    "sp": test_cgats_readings.sp(),
    "cgats": test_cgats_readings.SOUND,
    "cxf": test_cxf.SOUND,
    "photo": PHOTO,
}


@pytest.mark.parametrize(("name", "count"), [("csv", 2), ("ti3", 2), ("sp", 1), ("cgats", 2), ("cxf", 2), ("photo", 1)])
def test_a_file_is_known_by_its_content(tmp_path, name, count):
    path = tmp_path / "D007.any"
    path.write_text(SOUND[name], encoding="utf-8")
    found = read_readings(path, defaults())
    assert len(found.readings) == count
    assert found.readings[0].cloth == ("D007" if name in ("sp", "photo") else "A" if name == "cgats" else "D001")
    assert found.readings[0].source == str(path)


def test_a_cloth_that_is_named_goes_before_the_files_name(tmp_path):
    path = tmp_path / "reading.sp"
    path.write_text(SOUND["sp"], encoding="utf-8")
    assert read_readings(path, defaults(cloth="D003")).readings[0].cloth == "D003"
    path.write_text("L;a;b\n50;20;10\n", encoding="utf-8")
    assert read_readings(path, defaults(cloth="D003")).readings[0].cloth == "D003"
    with pytest.raises(UnreadableInput, match="no column says which cloth was read"):
        read_readings(path, defaults())


def test_a_file_that_is_not_there_or_is_endless_is_refused(tmp_path):
    with pytest.raises(UnreadableInput, match="there is no such file"):
        read_readings(tmp_path / "none.csv", defaults())
    with (tmp_path / "long.csv").open("wb") as file:
        file.truncate(20_000_001)
    with pytest.raises(UnreadableInput, match="larger than 20 MB"):
        read_readings(tmp_path / "long.csv", defaults())


def said_of(content):
    """Return what is said of a file that is refused, after its name; of one that is read, its readings convert."""
    readings, said = (), "new: "
    try:
        readings = parse_readings(content, "new", defaults(cloth="D001")).readings
    except UnreadableInput as refusal:
        said = str(refusal)
    assert all(isinstance(one, ClothReading) for one in readings)
    assert labs_under(readings, D65_10).shape == (len(readings), 3)
    return said


@given(st.sampled_from(sorted(SOUND)), st.data())
@settings(max_examples=150)
def test_a_spoilt_file_is_read_or_refused(name, data):
    content = bytearray(SOUND[name].encode())
    for _ in range(data.draw(st.integers(1, 3))):
        start = data.draw(st.integers(0, max(len(content) - 1, 0)))
        end = start + data.draw(st.integers(0, 12))
        content[start:end] = data.draw(st.one_of(st.binary(max_size=6), st.sampled_from(ODD)))
    assert said_of(bytes(content)).startswith("new: ")


ODD = (
    *(b"1e999", b"nan", b"-1", b"", b"\0", b'"', b"<", b"&x;", b"\n", b";", b"9" * 400, b"\xff\xfe", b"\xef\xbb\xbf"),
    *(b"NUMBER_OF_SETS 9\n", b"END_DATA\n", b"<!DOCTYPE a>", b"null", b"{", b"\xd9\xa3", b"1_0", b"]]>", b"<!--"),
)


@given(st.one_of(st.binary(max_size=300), st.text(max_size=300).map(lambda text: text.encode("utf-8", "replace"))))
@example(b"cloth,L,a,b\r")
@example(b"{}")
@example(b"{" * 100_000)
@example(b"<a xmlns:x='y' x:b='1'/>")
@example(b"\xff\xfe")
@example(b'<?xml version="1.0" encoding="nope"?><CxF/>')
@example("cloth,L,a,b\nA,٣,0,0\n".encode())
def test_any_bytes_are_read_or_refused(content):
    assert said_of(content).startswith("new: ")
