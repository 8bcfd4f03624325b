"""Kit health, labels and the sheet of a pair in another language: no word is left in English."""

from dataclasses import asdict, replace

import pypdfium2
import pytest

from tenter import Kit
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.readings.book import ReadingBook
from tenter.consultation.worth.gain import Gain
from tenter.consultation.worth.shopping import KitWorth, ToBuy
from tenter.language import written_in
from tenter.report.workshop.checked_kit import checked_kit
from tenter.report.workshop.kit_health import kit_health
from tenter.report.workshop.labels import label_pdf, label_sheets
from tenter.report.workshop.shopping_list import shopping_list
from tenter.report.workshop.workshop_paper import workshop_pdf
from tenter.report.workshop_pictures.coverage_picture import coverage_shown
from tenter.report.workshop_pictures.drift_picture import drift_shown, drift_svg
from tenter.report.workshop_pictures.pair_sheet import pair_shown, pair_svg
from tests.support.pseudo import CODES, english, pseudo, texts
from tests.support.workshop_kit import read_over_years

SYMBOLS = {"L", "a", "b", "A", "B", "C"}  # of CIELAB and of gaps, the same in every language
NO_WORDS = CODES | {"svg", "code", "code_path"}


def by_number(cloth: str) -> str:
    return cloth.lstrip("D0")


@pytest.fixture(scope="module")
def numbered(demo_kit):
    """The demo kit with cloths that are called by numbers, so that no name is taken for a word of English."""
    drapes = [replace(d, id=by_number(d.id), name=by_number(d.id), place="") for d in demo_kit.drapes]
    return Kit(tuple(drapes), demo_kit.colours)


@pytest.fixture(scope="module")
def book():
    found = read_over_years()
    readings = [replace(one, cloth=by_number(one.cloth)) for one in found.readings]
    return ReadingBook(tuple(readings), tuple(replace(wash, cloth=by_number(wash.cloth)) for wash in found.washes))


def left_in_english(*said) -> list[str]:
    told = [text for one in said for text in texts(one, codes=NO_WORDS)]
    return [word for word in english(told) if word not in SYMBOLS]


@pytest.mark.parametrize("has_book", [True, False], ids=["read over years", "never read"])
def test_kit_health_is_wholly_in_the_language(language, numbered, bundled, book, has_book):
    with written_in(language):
        paper = kit_health(checked_kit(numbered, bundled, "2026-11-29", book if has_book else None))
        shown = coverage_shown(bench_of(numbered, bundled))
        assert left_in_english(asdict(paper), shown.told, shown.how_drawn) == []
        document, notes = workshop_pdf(paper)
    assert notes == ()
    with pypdfium2.PdfDocument(document) as read:
        assert pseudo("What to do first") in read[0].get_textpage().get_text_range()
    in_english = kit_health(checked_kit(numbered, bundled, "2026-11-29"))
    assert in_english.sections[0].title == "What to do first"


def test_labels_are_wholly_in_the_language(language, numbered):
    with written_in(language):
        sheets = label_sheets(numbered.drapes)
        assert left_in_english(asdict(sheets)) == []
        assert pypdfium2.PdfDocument(label_pdf(sheets, "2026-11-29")[0])[0].get_textpage().count_chars() > 0


@pytest.mark.parametrize(("first", "second"), [("61", "62"), ("86", "87"), ("1", "24")])
def test_the_sheet_of_a_pair_is_wholly_in_the_language(language, numbered, bundled, first, second):
    with written_in(language):
        shown = pair_shown(bench_of(numbered, bundled), first, second)
        said = [shown.title, *shown.lines, *(end for axis in shown.axes for end in axis.ends)]
        assert left_in_english(said) == []
        assert pseudo("Filled") in pair_svg(shown)


def test_what_to_buy_and_a_cloths_change_are_wholly_in_the_language(language, numbered, bundled, book):
    gain = Gain(0.0052, 0.0043, 0.006)
    colours = [
        ToBuy((59.0, 15.4, -4.4), HueFamily.PINK, ("soft", "cool"), gain, share, True) for share in (0.03, 2, 200)
    ]
    worth = KitWorth(0.1746, (), tuple(colours))
    with written_in(language):
        checked = replace(checked_kit(numbered, bundled, "2026-11-29", book), worth=worth)
        drift = drift_shown(book.readings, book.washes, "61")
        lists = [shopping_list(worth, "7", "2026-11-29"), shopping_list(replace(worth, to_buy=()), "7", "2026-11-29")]
        assert left_in_english(asdict(kit_health(checked)), *map(asdict, lists), drift.told) == []
        assert pseudo("from here on it leaves the tests") in drift_svg(drift)
