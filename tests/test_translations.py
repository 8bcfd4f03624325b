"""What is refused, in another language: no word of a refusal is left in English but what a file itself says."""

from collections.abc import Callable
from dataclasses import fields

import pytest

from tenter import Kit, Method
from tenter.colorimetry.illuminants import illuminant_power
from tenter.colorimetry.measurement import D65_10
from tenter.consultation.client.face import Face
from tenter.consultation.cloths.kit import KIT_OPTIONAL, KIT_REQUIRED
from tenter.consultation.cloths.kit_rows import row_faults
from tenter.consultation.cloths.said_cloths import cloths_said
from tenter.consultation.cloths.tables import FaultyRows
from tenter.consultation.cloths.typed_cloth import TypedAs, pasted_cloths
from tenter.consultation.garments.given import parse_reading
from tenter.consultation.readings.reading_files import ReadingCircumstances, ReadingDefaults, parse_readings
from tenter.consultation.reflected.room import factors_of_room
from tenter.consultation.stock.files import STOCK_OPTIONAL, STOCK_REQUIRED, parse_stock
from tenter.consultation.wishes.said_wishes import SaidWish, wishes_of
from tenter.errors import TenterError, what_would_do
from tenter.given import given_number, given_whole
from tenter.language import Catalogue, as_typed, written_in
from tenter.light.face_lux import face_lux_from
from tenter.light.light_values import METER_RANGES, kept_light, meter_values_from
from tenter.light.spectrum_files import parse_lamp_spectrum
from tenter.light.thresholds import LightThresholds, kept_thresholds
from tenter.photo.cards import CardChoice, ChartKind
from tenter.photo.cloth.rack import Order, in_order
from tenter.photo.decoders.decoded import require_sane_size
from tenter.photo.decoders.lengths import png_parts
from tenter.photo.decoders.signature import kind_of
from tenter.photo.files import apart_child
from tenter.photo.own_card.values import card_values_of
from tenter.photo.phones.kept import camera_in
from tenter.photo.regions.request import Exclusion, ExclusionKind
from tenter.photo.series.measure import require_pattern
from tenter.photo.together.compare import compare_faces
from tenter.report.own_words.studio_picture import studio_picture
from tenter.report.own_words.studio_words import Topic, language_from, letterhead_lines, plain_text
from tenter.report.printing.print_correction import correction_from
from tenter.report.printing.printer_profile import read_printer_profile
from tenter.translations import catalogue
from tests.support.pseudo import TAG, english, pseudo, write_catalogue

READINGS = ReadingDefaults(ReadingCircumstances(day="2026-03-14"), D65_10)
KIT = "id,name,L,a,b,illuminant,observer\n1,2,{L},0,0,D65,10\n"
# What a file says itself, and what it is written in: the names of columns, fields, lights and units.
COLUMNS = (
    *KIT_REQUIRED,
    *KIT_OPTIONAL,
    *STOCK_REQUIRED,
    *STOCK_OPTIONAL,
    *METER_RANGES,
    *(field.name for field in fields(LightThresholds)),
)
CODES = {*english([*COLUMNS, "h axes regions FL D U E AB AABB"])}
FALSE_METHOD = """name = "1"\nphases = 3\n"""


@pytest.fixture(scope="module")
def language(tmp_path_factory) -> Catalogue:
    return catalogue(TAG, write_catalogue(tmp_path_factory.mktemp("catalogues")))


def refused(language: Catalogue, ask: Callable[[], object]) -> str:
    with written_in(language), pytest.raises(TenterError) as found:
        ask()
    return str(found.value)


@pytest.mark.parametrize(
    "ask",
    [
        lambda: given_number("1", "", 0, 1),
        lambda: given_whole(-1, "", 0),
        lambda: illuminant_power("7"),
        lambda: Kit.parse("", "1"),
        lambda: Kit.parse("id;name\n1;2", "1"),
        lambda: Kit.parse(KIT.format(L=400), "1"),
        lambda: Kit.parse(KIT.format(L="?"), "1"),
        lambda: Kit.parse("\0", "1"),
        lambda: cloths_said(Kit.parse(KIT.format(L=40), "1"), "77"),
        lambda: Method.parse(FALSE_METHOD, "1"),
        lambda: parse_readings(b"cloth,L,a,b\n1,400,0,0\n2,1,?,0", "1", READINGS),
        lambda: parse_readings(b"cloth,L,C,h\n1,40,10,700\n", "1", READINGS),
        lambda: parse_readings(b"<!DOCTYPE a><a/>", "1", READINGS),
        lambda: Face.from_json({}, "1"),
        lambda: factors_of_room({}, "1"),
        lambda: parse_reading("1,2"),
        lambda: parse_stock("drawer,name,L,a,b\n1,2,400,0,x\n", "1"),
        lambda: wishes_of([SaidWish("budget", "", "77")]),
        lambda: face_lux_from("1=2"),
        lambda: face_lux_from("chin=2,chin=3"),
        lambda: meter_values_from("cct=1"),
        lambda: kept_light({}, "1"),
        lambda: kept_thresholds({"7": 1}, "1"),
        lambda: parse_lamp_spectrum(b"400 1\n700 -1\n", "1"),
        lambda: kind_of(b"%PDF", "1"),
        lambda: kind_of(b"\0\0\0\0ftypisom", "1"),
        lambda: require_sane_size(10, 10, 3, "1"),
        lambda: require_sane_size(100_000, 100_000, 3, "1"),
        lambda: png_parts(b"12345678\xff\xff\xff\xff7890", "1"),
        lambda: CardChoice(ChartKind.GREY, grey=7.0),
        lambda: card_values_of(b"1/", "1"),
        lambda: camera_in(b"1/", "1"),
        lambda: in_order(["1"], 2, 2, Order.ROWS),
        lambda: require_pattern("AB", 3, ChartKind.CLASSIC24),
        lambda: require_pattern("AABB", 4, ChartKind.CLASSIC24),
        lambda: compare_faces([]),
        lambda: Exclusion(ExclusionKind.BEARD, ((1, 2),)),
        lambda: plain_text("\u202e", Topic.LETTERHEAD),
        lambda: letterhead_lines("1\n" * 7),
        lambda: language_from("7"),
        lambda: studio_picture(b"<svg", "1"),
        lambda: read_printer_profile(b"", "1"),
        lambda: correction_from({}, "1"),
    ],
)
def test_no_word_of_a_refusal_is_left_in_english(language, ask):
    assert set(english([refused(language, ask)])) <= CODES


def test_what_is_wrong_with_a_pasted_cloth_is_told_by_its_column(language):
    cells = {"id": "1", "name": "2", "L": "400", "a": "0", "b": "0", "illuminant": "D65", "observer": "10"}
    with written_in(language):
        [(column, problem)] = row_faults(cells)
        [cloth] = pasted_cloths("1;2;400 0 0", TypedAs.LAB, D65_10, [])
    assert column == "L"
    assert set(english([problem, *cloth.faults])) <= CODES
    assert row_faults(cells) == [("L", "400 is outside 0 to 115")]


def test_the_number_at_fault_is_said_of_its_column_in_every_language(language):
    with written_in(language), pytest.raises(FaultyRows) as found:
        parse_readings(b"cloth,L,C,h\n1,40,10,700\n", "1", READINGS)
    assert [(fault.line, fault.column) for fault in found.value.faults] == [(2, "h")]


def test_names_that_would_do_are_listed_as_the_language_has_it(language):
    with written_in(language):
        assert what_would_do("1", ["2", "3"]) == f"{pseudo('use')} 2 {pseudo('or')} 3"


def test_the_process_that_unpacks_pictures_refuses_in_the_language_of_whoever_asks(tmp_path, monkeypatch):
    folder = write_catalogue(tmp_path)
    monkeypatch.setattr("tenter.translations.catalogue_folder", lambda: folder)
    assert apart_child._words(TAG).code == TAG
    assert apart_child._words("xx").code == "en"


def test_what_somebody_typed_is_between_the_quotes_of_the_language():
    assert [as_typed(came) for came in ("45x", "it's", 4.5)] == ["'45x'", "'it's'", "4.5"]
    with written_in(catalogue("de")):
        assert [as_typed(came) for came in ("45x", "it's", "a\nb", 4.5)] == ["„45x“", "„it's“", "„a\\nb“", "4.5"]
