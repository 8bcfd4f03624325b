"""Papers in another language: no word is left in English, and none falls off the forms that have a fixed size."""

import html
import json
import re
from contextvars import copy_context
from dataclasses import asdict, replace

import pypdfium2
import pytest

from studies.written.write_template import Domain, template
from tenter import Answer, DrapeJudgement, FanJudgement, GarmentJudgement, Method, PairJudgement, Sitting, Suits
from tenter.consultation.conventions.bundled import BUNDLED
from tenter.consultation.record.no_evidence import ConsultantVerdict, Preference
from tenter.consultation.wishes.honouring import honoured
from tenter.consultation.wishes.said_wishes import SaidWish, WishKind, wishes_of
from tenter.consultation.wishes.wishes import Limit, Rule, Wish, Wishes, wished
from tenter.errors import TenterError, UnknownName
from tenter.language import (
    ENGLISH,
    _,
    all_of,
    local_number,
    local_signed,
    long_date,
    ngettext,
    one_of,
    pgettext,
    written_in,
)
from tenter.report.client_paper.content import client_paper
from tenter.report.client_paper.where import what_was_asked
from tenter.report.exports.formats import Format, exported
from tenter.report.handing_over.handed_file import NAMED_AFTER, HandedFile, file_name
from tenter.report.handing_over.mail import mail_text
from tenter.report.handing_over.papers import client_papers
from tenter.report.phone_page.files import phone_page_file
from tenter.report.printing.forms import SwatchForm
from tenter.report.printing.swatch_sheet import swatch_sheets
from tenter.report.printing.swatches import print_swatches
from tenter.report.reading.content import reading_sheet
from tenter.report.reading.one_screen import one_screen
from tenter.report.studio_sheet.content import studio_sheet
from tenter.report.words import terms
from tenter.translations import catalogue, known_languages
from tests.support.pseudo import CODES, TAG, english, pseudo, texts, write_catalogue


@pytest.mark.parametrize(
    ("client", "more"), [("K1", {}), ("K2", {}), ("K3", {"minor": True, "words_only": True}), ("K4", {}), ("K5", {})]
)
def test_no_word_of_the_clients_paper_is_left_in_english(language, sitting_of, palette_made, card, client, more):
    with written_in(language):
        paper = client_paper(card(**more), sitting_of(client), palette_made(client)[0])
    assert paper.language.language == TAG
    assert english(texts(asdict(paper))) == []


def test_nor_of_one_with_a_measured_face_or_a_result_that_the_consultant_named(
    language, kit, bundled, between, sitting_with, face, palette_made, card
):
    palette, _known = palette_made("K3")
    named = sitting_with(face(skin=60.0, hair=36.0))
    named.record(ConsultantVerdict("cool winter", ""))
    with written_in(language):
        papers = [client_paper(card(), one, palette) for one in (named, between)]
    assert english(texts([asdict(paper) for paper in papers])) == []


def test_what_became_of_a_wish_is_in_the_language(language, palette_made):
    colours = palette_made("K5")[0].colours
    about = [Wish(wished("purple"), "12"), Wish(wished("coral"), "34")]
    limits = [
        Limit(Rule.BUDGET, "5", None, 4),
        Limit(Rule.MUST, "6", wished("navy")),
        Limit(Rule.NEVER, "7", wished("red")),
    ]
    told = honoured(Wishes(tuple(about), (Wish(wished("orange"), ""),), tuple(limits)), colours)
    assert len(english(one.answer for one in told)) > 10
    with written_in(language):
        assert english(what_was_asked(told)) == []


def test_a_wish_of_which_no_more_was_said_is_in_the_language_and_named_in_its_words(language):
    said = [SaidWish(WishKind.LOVED, "purple"), SaidWish(WishKind.HATED, "navy"), SaidWish(WishKind.NOTE, "like navy")]
    found = [wishes_of([*said, SaidWish(WishKind.BUDGET, number)]) for number in "13"]
    usual = [one.sentence for made in found for one in (*made.loved, *made.hated, *made.limits)]
    with written_in(language):
        assert english(map(terms.of_a_wish, usual)) == ["like", "navy"]  # the client's own words
        assert [terms.colour_meant(terms.colour("coral").upper()), terms.colour_meant(terms.hue("blue"))] == [
            "coral",
            "blue",
        ]
    assert [terms.colour_meant(word) for word in ("Coral", "bleen", "5")] == ["coral", "bleen", "5"]


@pytest.mark.parametrize("form", SwatchForm)
def test_no_word_of_the_swatches_is_left_in_english(language, palette_made, form):
    with written_in(language):
        sheets = swatch_sheets(print_swatches(palette_made("K5")[0]), "Maren Tolliver", form)
    assert english(texts(asdict(sheets))) == []


def test_no_word_of_the_phone_page_is_left_in_english(language, palette_made, card):
    with written_in(language):
        page = phone_page_file(card(), *palette_made("K5")).decode()
    assert f'<html lang="{TAG}" dir="ltr">' in page
    told = json.loads(re.search(r'id="told">(.*?)</script>', page)[1])
    asked = {key: value for key, value in told.items() if key not in ("table", "sizes", "axes", "nears", "names")}
    said = [
        *texts(list(asked.values())),
        *(name for name, *_rest in told["names"]),
        *(near for near, _hex in told["nears"]),
    ]
    assert english(line.replace("{name}", "").replace("{names}", "").replace("{off}", "") for line in said) == []
    body = re.sub(r"<(style|script).*?</\1>", " ", page.partition("</head>")[2], flags=re.S)
    labels = re.findall(r'(?:aria-label|alt|title)="(.*?)"', body)
    assert english([html.unescape(re.sub(r"<[^>]*>", " ", body)), *labels]) == []
    assert english(re.findall(r"<title>(.*?)</title>", page)) == []


def test_the_mail_and_the_date_are_in_the_language(language, card):
    with written_in(language):
        text = mail_text(card(), [HandedFile("a.pdf", "application/pdf", b""), HandedFile("b.html", "text/html", b"")])
        date = long_date("2026-03-14")
    assert english([text]) == []
    assert date == f"14 {pseudo('March')} 2026"


def test_the_paper_that_is_printed_is_in_the_language(language, sitting_of, palette_made, card):
    with written_in(language):
        made = client_papers(client_paper(card(), sitting_of("K5"), palette_made("K5")[0]))
    with pypdfium2.PdfDocument(made.content) as document:
        assert english(page.get_textpage().get_text_range() for page in document) == []
    assert made.notes == ()
    assert f"/Lang({TAG})".encode() in made.content


def test_files_are_named_in_the_language_and_what_programs_read_is_not(language, card, palette_made):
    palette = palette_made("K5")[0]
    with written_in(language):
        names = [file_name(card("X1"), what, "pdf") for what in NAMED_AFTER]
        table = exported(palette, Format.CSV, "1", "2026-03-14")
    assert english(name.removesuffix(".pdf").replace("x1", "") for name in names) == []
    assert len(set(names)) == len(names)
    assert table == exported(palette, Format.CSV, "1", "2026-03-14")


def test_a_sentence_without_a_translation_is_seen(tmp_path, palette_made):
    left = catalogue(TAG, write_catalogue(tmp_path, without="near your face"))
    with written_in(left):
        sheets = swatch_sheets(print_swatches(palette_made("K5")[0]), "Maren Tolliver", SwatchForm.GRID)
    assert english(texts(asdict(sheets))) == ["face", "near", "your"]


@pytest.mark.parametrize("domain", Domain)
def test_the_template_is_up_to_date(domain):
    assert domain.template.read_text(encoding="utf-8") == template(domain)


def test_english_is_there_without_a_catalogue_and_another_language_is_refused_by_what_there_is(tmp_path):
    assert known_languages(tmp_path) == ("en",)
    assert catalogue("EN").code == "en"
    write_catalogue(tmp_path, "pt-BR")
    assert catalogue("pt_br", tmp_path).code == "pt-BR"
    with pytest.raises(UnknownName, match=r"no language that papers can be written in is called 'xx'; use en or pt-BR"):
        catalogue("xx", tmp_path)


def test_a_translation_with_another_name_in_braces_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr("tests.support.pseudo.pseudo", lambda text, longer: text.replace("{month}", "{mois}"))
    with pytest.raises(TenterError, match=r"pt translation of '\{day\} \{month\} \{year\}'.*Use day, month, year"):
        catalogue("pt", write_catalogue(tmp_path, "pt"))


def test_lists_counts_and_words_in_one_place_follow_the_language(language):
    with written_in(language):
        assert all_of(["1", "2", "3"]) == f"1, 2 {pseudo('and')} 3"
        assert one_of(["1", "2"]) == f"1 {pseudo('or')} 2"
        assert pgettext("of colours", "warm") == pseudo("warm")
        said = "A few more comparisons, about {count} minute, would complete it."
        assert ngettext(said, "", 1) == pseudo(said).format(count=1)
        assert terms.colour("light coral 2") == f"{pseudo('light')} {pseudo('coral')} 2"
    assert all_of(["1", "2", "3"]) == "1, 2 and 3"
    assert _("Skin") == "Skin"


def test_numbers_have_the_decimal_sign_of_the_language(language, monkeypatch):
    with written_in(language):
        assert local_number(-1.25, 1) == "−1.2"
    monkeypatch.setattr(language.words, "_catalog", {"decimal sign\x04.": ","})
    with written_in(language):
        assert local_number(-1.25, 1) == "−1,2"
    assert local_number(-1.25, 1) == "−1.2"


def test_a_sign_stays_before_its_number_where_lines_are_read_from_the_right(language):
    with written_in(replace(language, code="he")):
        assert (local_signed(1.6), local_signed(-0.3), local_number(2.0, 0)) == ("\u200e+1.6", "\u200e−0.3", "2")
    assert local_signed(1.6) == "+1.6"


def test_what_is_written_elsewhere_at_the_same_time_stays_in_its_own_language(language):
    elsewhere = copy_context()
    with written_in(language):
        assert _("Skin") == pseudo("Skin")
        assert elsewhere.run(_, "Skin") == "Skin"
        with pytest.raises(ZeroDivisionError), written_in(ENGLISH):
            _("Skin").index("Skin") / 0
        assert _("Skin") == pseudo("Skin")


def without_names(told, kit):
    """Return texts without the names of cloths and of where they hang, which a studio gives in whatever language."""
    given = {name for drape in kit.drapes for name in (drape.name, drape.place) if name}
    names = re.compile("|".join(map(re.escape, sorted(given, key=len, reverse=True))))
    return [names.sub("", text) for text in told]


@pytest.mark.parametrize("client", ["K1", "K2", "K3", "K4", "K5"])
def test_what_a_verdict_says_is_in_the_language_in_which_it_is_asked(language, kit, verdict_of, client):
    verdict = verdict_of(client)
    in_english = said_by(verdict)
    with written_in(language):
        told = said_by(verdict)
    assert english(without_names(told, kit)) == []
    assert said_by(verdict) == in_english
    assert len(told) > 8


def test_so_are_the_reasons_of_every_kind_of_answer(language, kit, bundled, sitting_of):
    one, two, three, four, five = kit.ids[:50:10]
    of_a_kind = [
        FanJudgement((one, (two, three), four)),
        DrapeJudgement(five, Suits.WORKS, flags=(f"{five}:too-dark",)),
        PairJudgement((one, two), three, Answer.RIGHT, strength=3, view="split", region="under-eye"),
        PairJudgement(two, four, Answer.BOTH_WRONG, view="photograph", region="left jaw"),
        GarmentJudgement(one, relative=("warmer", "softer"), better=True),
    ]
    sitting = Sitting(kit, bundled, seed=7).record_all([e.judgement for e in sitting_of("K5").entries[:6]] + of_a_kind)
    told = said_by(sitting.verdict())
    for kind in ("the order was", "on its own", "half-face", "photograph", "garment", "although", "under the eye"):
        assert any(kind in text for text in told), kind
    with written_in(language):
        assert english(without_names(said_by(sitting.verdict()), kit)) == []


def said_by(verdict):
    """Return what a verdict says of itself."""
    told = [verdict.headline, verdict.stop.why, *map(str, verdict.traits.values())]
    told += [reason.text for reason in (*verdict.reasons, *verdict.against)]
    return told + [doubt.text for doubt in verdict.tendencies] + ([verdict.border.text] if verdict.border else [])


def left_of(sheet, kit):
    """Return the words of a studio's sheet that are left in English, but for names, codes and signs of CIELAB."""
    codes = CODES | {"mark", "odds_mark", "season", "place"}  # a place in the studio is called as the studio calls it
    signs = {"Lab", "L", "a", "b", "D", "E"}
    told = without_names(texts(asdict(sheet), codes=codes), kit)
    return [word for word in english(told) if word not in signs]


@pytest.mark.parametrize(
    ("client", "more"),
    [("K1", {}), ("K2", {"minor": True}), ("K3", {"minor": True, "words_only": True}), ("K4", {}), ("K5", {})],
)
def test_no_word_of_the_studios_sheet_is_left_in_english(language, sitting_of, palette_made, card, client, more):
    sitting, palette = sitting_of(client), palette_made(client)[0]
    with written_in(language):
        sheet = studio_sheet(reading_sheet(card(**more), sitting), sitting.kit, palette)
    assert left_of(sheet, sitting.kit) == []


def test_nor_of_one_on_a_border_or_not_finished_or_with_a_face_or_a_result_by_judgement(
    language, between, sitting_of, sitting_with, face, kit, bundled, palette_made, card
):
    named = sitting_with(face(skin=60.0, hair=36.0))
    named.record(ConsultantVerdict("cool winter", ""))
    named.record(Preference((kit.ids[10], kit.ids[20])))
    short = Sitting(kit, bundled, seed=7).record_all(e.judgement for e in sitting_of("K5").entries[:9])
    assert short.verdict().not_finished
    palette = palette_made("K3")[0]
    with written_in(language):
        sheets = [studio_sheet(reading_sheet(card(), one), kit, palette) for one in (between, named, short)]
    assert [left_of(sheet, kit) for sheet in sheets] == [[], [], []]


def test_no_number_of_the_studios_sheet_has_another_decimal_sign(
    language, sitting_with, face, palette_made, card, monkeypatch
):
    sitting = sitting_with(face(skin=60.0, hair=36.0))
    monkeypatch.setattr(language.words, "_catalog", {"decimal sign\x04.": ","})
    with written_in(language):
        sheet = studio_sheet(reading_sheet(card(), sitting), sitting.kit, palette_made("K3")[0])
    told = " ".join(texts(asdict(sheet)))
    assert re.findall(r"\d\.\d", told) == []
    assert len(re.findall(r"\d,\d", told)) > 20


def test_what_the_verdicts_page_says_beside_the_sheet_is_in_the_language(language, sitting_of, card):
    methods = [Method.bundled(name) for name in BUNDLED]
    with written_in(language):
        screen = one_screen(card(), sitting_of("K5"), methods)
    told = [line.text for line in (*screen.without_phase, *screen.other_methods)]
    assert len(told) > 4
    assert english(told) == []


def test_a_sheet_is_written_in_the_language_of_its_moment(language, sheet_of, sitting_of, card, names):
    with written_in(language):
        other = reading_sheet(card(names["K5"]), sitting_of("K5"))
    assert other.language.language == TAG
    assert reading_sheet(card(names["K5"]), sitting_of("K5")) == sheet_of("K5")


def test_what_no_catalogue_knows_is_printed_as_it_is(language):
    with written_in(language):
        assert terms.season("Gloaming") == "Gloaming"
        assert terms.colour("Mum's curtain") == "Mum's curtain"
        assert terms.in_line("Mum's curtain") == "mum's curtain"
