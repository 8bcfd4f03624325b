"""Kit health, labels, the light report and the sheet of a pair in another language: no word is left in English."""

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
from tenter.light.check import check_light
from tenter.light.face_lux import face_lux_from
from tenter.light.light_values import meter_values_from
from tenter.light.photographed_light import values_of_photograph
from tenter.light.threshold_terms import THRESHOLD_TERMS
from tenter.light.thresholds import LightThresholds
from tenter.report.workshop.checked_kit import checked_kit
from tenter.report.workshop.kit_health import kit_health
from tenter.report.workshop.labels import label_pdf, label_sheets
from tenter.report.workshop.light_report import ReportedLight, light_report
from tenter.report.workshop.shopping_list import shopping_list
from tenter.report.workshop.workshop_paper import workshop_pdf
from tenter.report.workshop_pictures.coverage_picture import coverage_shown
from tenter.report.workshop_pictures.drift_picture import drift_shown, drift_svg
from tenter.report.workshop_pictures.pair_sheet import pair_shown, pair_svg
from tests.report.workshop.test_light_report import reported
from tests.support.pseudo import CODES, english, pseudo, texts
from tests.support.workshop_kit import read_over_years

SYMBOLS = {"L", "a", "b", "A", "B", "C"}  # of CIELAB and of gaps, the same in every language
OF_LIGHTS = {"CCT", "K", "Duv", "Ra", "Rf", "Rg", "R", "lx", "FL", "csv", "D", "ISO", "ASTM", "CIE", "E"}
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


@pytest.mark.parametrize("lux", ["cheek_left=1200,cheek_right=900,chin=800", "cheek_left=5100,cheek_right=5300"])
def test_the_light_report_is_wholly_in_the_language(language, numbered, bundled, lux):
    with written_in(language):
        light = reported("FL2", lux, numbered, bundled, reported("D65", "1000"))
        paper = light_report(light, "2026-11-29")
        assert [w for w in left_in_english(asdict(paper), light.check.headline) if w not in OF_LIGHTS] == []
        document, notes = workshop_pdf(paper)
    assert notes == ()
    with pypdfium2.PdfDocument(document) as read:
        assert pseudo("To correct") in read[0].get_textpage().get_text_range()


def test_a_light_that_is_good_not_wholly_measured_or_photographed_is_in_the_language(language):
    of_photograph = (("LED-B3", 0.5), ("FL2", 0.3), ("X9", 0.2))
    with written_in(language):
        lights = [
            meter_values_from("cct=5600,duv=0,ra=97,r9=90").with_face(
                face_lux_from("cheek_left=1200,cheek_right=1200")
            ),
            meter_values_from("cct=7600,duv=0.02,ra=60"),
            meter_values_from("cct=4600,duv=-0.02,ra=60"),
            values_of_photograph(of_photograph, 0.6, (0.95, 1.0, 1.08), 0.2, "1.jpg", 5500.0),
            values_of_photograph((), 0.0, (0.95, 1.0, 1.08), None, "1.jpg"),
        ]
        own = LightThresholds(least_cct=5200, most_cct=6000, least_rf=90)
        checks = [check_light(light, t) for light in lights for t in (own, LightThresholds())]
        said = [(asdict(light_report(ReportedLight(check), "2026-11-29")), check.headline) for check in checks]
        left = left_in_english(*said, *(str(text) for term in THRESHOLD_TERMS for text in (term.title, term.basis)))
    symbols = OF_LIGHTS | {"TM", "LED", "jpg", "tests", "white", "balance"}
    assert [word for word in left if word not in symbols] == []
