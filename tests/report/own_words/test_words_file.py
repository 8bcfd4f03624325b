"""The words file of the command line: the document's own example, every field, and faults by their field."""

import json
import re
from pathlib import Path

import pytest
from PIL import Image

from tenter.consultation.conventions.method import Method
from tenter.errors import UnreadableInput
from tenter.report.own_words.studio_words import MOST_LETTERS, MOST_LINES, StudioWords, TextOf, Topic, require_known
from tenter.report.own_words.words_file import read_words

DOCUMENT = (Path(__file__).parents[3] / "docs" / "reference" / "studio-words.md").read_text(encoding="utf-8")


@pytest.fixture
def given(tmp_path):
    def write(text: str, name: str = "words.toml") -> Path:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return write


def test_the_example_of_the_document_is_read_as_it_says(given) -> None:
    [example] = re.findall(r"^```toml words.toml\n(.*?)^```", DOCUMENT, flags=re.MULTILINE | re.DOTALL)
    words = read_words(given(example))
    assert words.letterhead == ("Studio Linde", "12 Mill Lane, Ludlow", "linde.example")
    assert words.letter_paragraphs[0] == "Dear Mia,"
    assert words.text_for("soft autumn", "autumn")[0] == "Your colours are warm and rich."
    assert len(words.text_for("soft autumn", "autumn")) == 3
    assert words.make_up("light spring", "spring") == ("Less than you think, near a window.",)
    assert (words.signature, words.language, words.version) == ("Anna Linde", "en", "autumn 2026")
    method = Method.bundled()
    seasons = [*method.categories, *(method.season_of[name] for name in method.categories)]
    require_known(words, seasons)


def test_the_document_names_every_field_with_its_limit() -> None:
    rows = dict(re.findall(r"^\| `([^`]+)` \| .* \| ([^|]+) \|$", DOCUMENT, flags=re.MULTILINE))
    assert set(rows) == {
        "language",
        "letterhead",
        "logo",
        "signature",
        "signed",
        "letter",
        "version",
        "[texts]",
        "[make_up]",
    }
    assert rows["letterhead"].startswith(f"{MOST_LINES} lines")
    told = {Topic.SIGNATURE: "signature", Topic.LETTER: "letter", Topic.TEXT: "[texts]", Topic.MAKE_UP: "[make_up]"}
    assert [rows[name].split()[0] for name in told.values()] == [str(MOST_LETTERS[topic]) for topic in told]


def test_an_empty_file_prints_nothing(given) -> None:
    words = read_words(given(""))
    assert words.is_empty
    assert words.version == ""


def test_pictures_lie_beside_the_file(given, tmp_path) -> None:
    Image.new("RGB", (120, 80), "teal").save(tmp_path / "logo.png")
    words = read_words(given('logo = "logo.png"'))
    assert words.logo is not None
    assert words.logo.size == (120, 80)
    assert words.signed is None
    with pytest.raises(UnreadableInput, match=r"gone\.png"):
        read_words(given('signed = "gone.png"'))


def test_without_a_version_of_its_own_a_file_is_known_by_what_it_says(given, tmp_path) -> None:
    one = read_words(given('signature = "Anna"')).version
    assert re.fullmatch("[0-9a-f]{10}", one)
    assert read_words(given('signature = "Anna"')).version == one
    assert read_words(given('signature = "Hanna"')).version != one
    Image.new("RGB", (120, 80), "teal").save(tmp_path / "logo.png")
    teal = read_words(given('logo = "logo.png"')).version
    Image.new("RGB", (120, 80), "navy").save(tmp_path / "logo.png")
    assert read_words(given('logo = "logo.png"')).version != teal


def test_json_says_the_same(given) -> None:
    fields = {"letterhead": ["أستوديو"], "language": "ar", "texts": {"autumn": "نص"}, "version": "3"}
    words = read_words(given(json.dumps(fields), "words.json"))
    assert words == StudioWords(("أستوديو",), texts=(TextOf("autumn", "نص"),), language="ar", version="3")


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("letterhead = 'one line'", "field 'letterhead': a list is needed"),
        ("letterhead = [1]", "field 'letterhead': a text is needed"),
        ("signature = 7", "field 'signature': a text is needed"),
        ("greeting = 'hi'", "unknown field 'greeting'"),
        ("texts = 'autumn'", "a table of texts is needed"),
        ("[texts]\nautumn = 3", "field 'texts': a text is needed"),
        ("language = 'german'", "not a language tag"),
        ("letter = '''" + "x" * 3001 + "'''", "has 3001 letters, and 3000 at most"),
        (f"version = '{'v' * 41}'", "40 letters at most"),
        ("letter = 'no end", "not TOML"),
        ("letter = 'a\u202eb'", "U\\+202E"),
    ],
)
def test_a_fault_is_named_by_its_field(given, text: str, problem: str) -> None:
    path = given(text)
    with pytest.raises(UnreadableInput, match=problem) as caught:
        read_words(path)
    assert caught.value.source == str(path)


@pytest.mark.parametrize("text", ["[1]", "{", '"x"', "[" * 100_000])
def test_a_json_file_that_is_no_table_is_refused(given, text: str) -> None:
    with pytest.raises(UnreadableInput, match=r"JSON|a table"):
        read_words(given(text, "words.json"))
