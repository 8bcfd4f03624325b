"""What the phone page says: every colour in words, sure where it is sure, kind, and nothing lost."""

import re
from dataclasses import replace
from html import unescape

import pytest

from tenter import ConsultantVerdict, Sitting
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.colours.colours import Basis, PaletteColour, Part, Staple, StapleAnswer, Suited
from tenter.consultation.garments.role import GarmentAnswer, role_of
from tenter.consultation.personal.making import personal_palette
from tenter.consultation.words.odds_words import OddsWord
from tenter.report.client_paper.result import result
from tenter.report.client_paper.where import wear_where
from tenter.report.phone_page.content import PALER, phone_page, shown_on_phone
from tenter.report.phone_page.drawing import phone_page_html
from tenter.report.reading.content import ClientCard
from tenter.report.reading.named_result import BY_JUDGEMENT
from tenter.report.words.palette_words import worn_instead
from tests.support.unkind_words import unkind_words

CARD = ClientCard("Maren Tolliver", "The North Room", "Wenna Castrall", "2026-03-14")


def colour(name: str, part: Part, **fields) -> PaletteColour:
    given = {"lab": (50.0, 30.0, 20.0), "hue_family": HueFamily.RED, "fit": Suited.BEST, "basis": Basis.PREDICTED}
    return PaletteColour(name=name, part=part, **{**given, "suitability": 0.7, "interval": (0.5, 0.9), **fields})


def test_every_colour_of_a_palette_is_shown_once_or_named_first(kept):
    for client in ("K1", "K2", "K3", "K4", "K5"):
        palette = kept(client).palette
        shown = [band.name.lower() for block in shown_on_phone(palette).every_block for band in block.bands]
        assert set(shown) == {c.name.lower() for c in (*palette.colours, *palette.borrowed)}
        strip = {c.name.lower() for c in palette.of_part(Part.NEAR_FACE)}
        twice = {name for name in shown if shown.count(name) > 1}
        assert twice <= strip  # a red of the strip is named among the first again


def test_the_order_is_what_is_used_first(kept):
    page = phone_page(CARD, kept("K5").palette)
    html = phone_page_html(page).decode()
    order = ("strip", "first", "neutrals", "staples", "accents", "metals", "screens")
    places = [html.index(f'<section id="{key}"') for key in order]
    assert places == sorted(places)
    assert page.shown.bands("first")[0].use == "your red"
    assert page.shown.bands("first")[1].use == "your white"


def test_a_use_that_repeats_the_name_is_not_said_beside_it(kept):
    """K2's own neutrals are a denim, a navy and a black, each for just that."""
    html = phone_page_html(phone_page(CARD, kept("K2").palette)).decode()
    named = re.findall(r'<span class="name">([^<]*)</span>', html)
    assert {"Denim", "Navy", "Black"} <= set(named)
    assert {"Watermelon: your red", "Pink-grey: trench"} <= set(named)


def test_phone_and_paper_say_with_the_same_words_what_is_worn_away_and_what_instead_of_a_hue(kept):
    palette = kept("K1").palette
    page = phone_page(CARD, palette)
    near, away, _small = wear_where((), has_metals=True, has_borrowed=False)
    things = away.text.partition(":")[0].lower()
    assert [line.answer for line in page.shown.staples if "away" in line.answer] == [
        f"Yes, away from your face: {things}."
    ] * 2
    assert (near.title, away.title) == ("Near your face", "Away from your face")
    [accents] = [block for block in page.shown.blocks if block.key == "accents"]
    sent_away = [c for c in palette.of_part(Part.ACCENT) if role_of(c) is not GarmentAnswer.NEAR_FACE]
    assert sent_away
    assert not re.search("tops|scarves|ties", accents.text, re.IGNORECASE), "the answer about some sends them away"
    assert page.missing == worn_instead(palette.missing)
    [no_orange] = page.missing
    assert no_orange == "No orange: wear soft watermelon instead."


def test_how_sure_is_said_and_never_more(kept):
    settled = phone_page(CARD, kept("K5").palette)
    assert (settled.headline, settled.sure, settled.note) == ("Warm spring", "a clear result", "")
    unfinished = phone_page(CARD, kept("K4").palette)
    assert unfinished.headline == "The first of your colours"
    assert "not finished" in unfinished.sure
    assert phone_page(CARD, kept("K1").palette).headline == "Soft summer, so far"
    assert "may change" in unfinished.note
    between = phone_page(CARD, replace(kept("K4").palette, categories=("warm autumn", "soft autumn")))
    assert between.headline == "Between warm autumn and soft autumn"
    likely = replace(kept("K5").palette, odds_word=OddsWord.LIKELY)
    assert "not a certain one" in phone_page(CARD, likely).sure
    low = replace(kept("K5").palette, odds_word=OddsWord.OPEN)
    assert phone_page(CARD, low).sure == "still open"


@pytest.mark.parametrize("client", ["K1", "K2", "K3", "K4", "K5"])
def test_phone_and_paper_call_the_result_by_the_same_name(kept, client, sitting_of, bundled):
    sitting = sitting_of(client)
    verdict = sitting.verdict()
    on_paper = result(bundled, verdict, None, minor=False).cover
    assert phone_page(CARD, kept(client).palette).headline == on_paper
    rest = sitting.method.categories.index(verdict.category) - 1
    again = Sitting(sitting.kit, bundled, seed=sitting.seed).record_all(e.judgement for e in sitting.evidence)
    again.record(ConsultantVerdict(bundled.categories[rest], note="her eyes decide"))
    page = phone_page(CARD, personal_palette(again, again.verdict()))
    assert page.headline.lower() == bundled.categories[rest]
    assert (page.sure, page.note) == (BY_JUDGEMENT, "")


def test_each_colour_says_how_it_is_known_and_what_a_screen_cannot_show(kept):
    palette = replace(
        kept("K5").palette,
        colours=(
            colour("coral", Part.NEAR_FACE, basis=Basis.SEEN, answer="evened your cheeks"),
            colour("tomato", Part.ACCENT, chosen=True),
            colour("lagoon", Part.ACCENT, lab=(50.0, -60.0, -20.0), hue_family=HueFamily.TEAL),
        ),
        borrowed=(),
        metals=(),
    )
    shown = shown_on_phone(palette)
    known = {band.name: band.known for block in shown.every_block for band in block.bands}
    assert known["Coral"] == "seen on you: evened your cheeks"
    assert known["Tomato"] == "chosen by your consultant"
    assert known["Lagoon"] == "predicted"
    assert [band.name for band in shown.bands("accents") if not band.shown_truly] == ["Lagoon"]
    assert phone_page_html(phone_page(CARD, palette)).decode().count(PALER) == 1


def test_staples_say_near_away_or_swap(kept):
    staples = (
        Staple("black", (15.0, 0.0, 0.0), StapleAnswer.SWAP, "graphite"),
        Staple("navy", (22.0, 2.0, -20.0), StapleAnswer.NEAR),
        Staple("camel", (62.0, 7.0, 24.0), StapleAnswer.AWAY),
        Staple("white", (95.0, 0.0, 0.0), StapleAnswer.SWAP),
        Staple("beige", (78.0, 3.0, 13.0), StapleAnswer.SWAP, "beige"),
    )
    said = [line.answer for line in shown_on_phone(replace(kept("K5").palette, staples=staples)).staples]
    assert said[0] == "Swap it for graphite."
    assert said[1].startswith("Yes, near")
    assert "away from your face" in said[2]
    assert said[3]
    assert "of your own palette" in said[4]


def test_the_words_are_kind_and_without_laboratory(kept):
    for client in ("K1", "K4", "K5"):
        html = phone_page_html(phone_page(CARD, kept(client).palette)).decode()
        text = html[html.index("<body>") :]
        assert set(unkind_words(text)) <= {"old", "grey"}  # old gold and warm grey are colours
        for word in ("Lab ", "ΔE", "bench", "odds", "posterior", "suitability"):
            assert word not in text


def test_a_palette_without_colours_still_makes_a_page(kept):
    bare = replace(kept("K5").palette, colours=(), metals=(), borrowed=(), missing=(), staples=())
    html = phone_page_html(phone_page(CARD, bare)).decode()
    assert "Warm spring" in html
    assert '<ul class="bands' not in html


@pytest.mark.parametrize("name", ["W" * 40, "<b>Zoë</b> & \"$title\" 'x' ${style}", "נועה בת־שבע לוי", "مریم"])
def test_a_name_stands_as_it_was_given_and_turns_nothing_round(kept, name):
    page = phone_page(ClientCard(name, "", "", "2026-03-14"), kept("K5").palette)
    html = phone_page_html(page).decode()
    shown = re.findall(r"<bdi>(.*?)</bdi>", html)[0]  # set apart, so that its direction is its own
    assert unescape(shown) == name
    [title] = re.findall(r"<title>(.*?)</title>", html)
    assert unescape(title) == f"Colours of {name}"
    assert not re.search("[<>]", shown + title)
