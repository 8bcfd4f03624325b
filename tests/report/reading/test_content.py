"""The reading sheet as an object: what is said, before anything is drawn."""

import re
from collections.abc import Iterator
from dataclasses import asdict, fields, replace

import numpy as np
import pytest

from tenter import Kit, PhaseMissing, Sitting
from tenter.colorimetry.measurement import Colours
from tenter.consultation.client.consent import MINORS_PHOTOGRAPH_DAYS
from tenter.consultation.findings.border import BorderCheck
from tenter.consultation.palette.palette_parts import Fit
from tenter.consultation.words.odds_words import OddsWord
from tenter.errors import TenterError
from tenter.language import gettext_lazy
from tenter.report.reading.content import reading_sheet
from tenter.report.reading.finding import finding
from tenter.report.reading.wearing import wearing
from tenter.report.reading.why import why
from tenter.report.words.cautions import cautions
from tenter.report.words.marks import Mark
from tenter.report.words.swatches import NOT_SHOWN_TRULY, SET_BY_HAND, kit_swatches
from tenter.report.words.wording import printed_percent
from tests.support.unkind_words import unkind_words

CLIENTS = ("K1", "K2", "K3", "K4", "K5")
FOUR = ("K2", "K3")  # those who are read by four seasons as well
SHEETS = [*((c, "four-by-three") for c in CLIENTS), *((c, "four-seasons") for c in FOUR)]


def texts(value: object) -> Iterator[str]:
    """Yield every text in a sheet's plain data."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for part in value.values():
            yield from texts(part)
    elif isinstance(value, list | tuple):
        for part in value:
            yield from texts(part)


def drawn(sheet):
    """Return every swatch that a sheet draws."""
    why = sheet.why
    lines = [*sheet.wearing.first, *(line for s in sheet.wearing.sections for line in s.lines)]
    rows = [*why.reasons, *why.against, *why.contradictions, why.settling]
    return [line.swatch for line in lines] + [s for row in rows for s in row.swatches]


@pytest.mark.parametrize(("client", "method"), SHEETS)
def test_every_part_is_there(sheet_of, sitting_of, client, method, names, verdict_of, palette_of):
    sheet, sitting = sheet_of(client, method), sitting_of(client, method)
    verdict = verdict_of(client, method)
    assert sheet.title == f"Studio’s sheet for {names[client]}"
    assert printed_percent(verdict.probability) in sheet.finding.odds
    assert str(verdict.odds_word) in sheet.finding.odds
    assert len(sheet.finding.traits) == 3
    assert len(sheet.finding.categories) == len(sitting.method.categories)
    assert sheet.why.by_axis_note.startswith("Each answer counts under its main axis only")
    assert len(sheet.why.reasons) == min(3, len(verdict.reasons))
    assert len(sheet.why.contradictions) == len(verdict.contradictions)
    assert len(sheet.why.settling.swatches) == 2
    assert [s.key for s in sheet.wearing.sections if s.key != "small" or s.lines] == [
        *("best", "yes", "neutrals", "whites", "metals"),
        *(["small"] if any(e.in_small_areas for e in palette_of(client, method).entries) else []),
        *("borrow", "leave"),
    ]
    assert [m.mark for m in sheet.marks] == list(Mark)


@pytest.mark.parametrize(("client", "method"), SHEETS)
def test_the_season_stands_with_its_probability(sheet_of, client, method, verdict_of):
    verdict = verdict_of(client, method)
    said = " ".join(s.text for s in sheet_of(client, method).finding.statements)
    assert f"{verdict.season.capitalize()} as a season: {printed_percent(verdict.season_probability)}" in said


@pytest.mark.parametrize("client", CLIENTS)
def test_a_trait_is_drawn_with_its_interval(sheet_of, client, verdict_of):
    for line, trait in zip(sheet_of(client).finding.traits, verdict_of(client).traits.values(), strict=True):
        assert line.text.startswith(trait.degree)
        assert 0 <= line.low <= line.at <= line.high <= 1
        assert (line.at > 0.5) == (trait.mean > 0)
        low, high = (round(end, 1) for end in trait.interval)
        verb = "crosses" if low < 0 < high else "reaches" if 0 in (low, high) else ""
        assert line.note == (f"the interval {verb} the middle" if verb else "")


@pytest.mark.parametrize("client", CLIENTS)
def test_neighbours_are_named_and_that_they_differ(sheet_of, client, verdict_of):
    verdict = verdict_of(client)
    said = " ".join(s.text for s in sheet_of(client).finding.neighbours)
    assert verdict.runner_up in said
    assert verdict.trait_neighbour in said
    by_convention = f"by convention it is {verdict.trait_neighbour}."
    assert (by_convention in said) == verdict.neighbours_differ


def test_neighbours_that_are_one_are_said_to_be_one(sitting_of, verdict_of):
    verdict = verdict_of("K3")
    same = replace(verdict, runner_up=verdict.trait_neighbour, neighbours_differ=False)
    said = " ".join(s.text for s in finding(sitting_of("K3"), same, minor=False).neighbours)
    assert "It is also second by the odds." in said


@pytest.mark.parametrize("check", BorderCheck)
def test_the_border_is_told_as_seen_unless_it_is_untested(sitting_of, verdict_of, check):
    verdict = verdict_of("K3")
    told = replace(verdict, border=replace(verdict.border, check=check, told=gettext_lazy("Of the border.")))
    said = [s.mark for s in finding(sitting_of("K3"), told, minor=False).neighbours if s.text == "Of the border."]
    assert said == ([] if check is BorderCheck.UNTESTED else [Mark.SEEN])


@pytest.mark.parametrize("client", FOUR)
def test_four_seasons_name_no_leading_trait_and_no_trait_neighbour(sheet_of, client):
    found = sheet_of(client, "four-seasons").finding
    assert "This method names no leading trait" in found.lead.text
    assert [s.text.split(":")[0] for s in found.neighbours] == ["Second by the odds"]


def test_an_open_verdict_stays_open_between_two(sitting_of, verdict_of):
    verdict = replace(verdict_of("K4"), odds_word=OddsWord.OPEN, edge=True)
    found = finding(sitting_of("K4"), verdict, minor=False)
    assert found.headline == f"Open between {verdict.category} and {verdict.runner_up}"
    assert found.odds.startswith("open: ")
    said = " ".join(s.text for s in found.statements)
    assert "Not finished: " in said
    assert f"The client sits between {verdict.category} and {verdict.runner_up}: " in said


def test_a_plain_verdict_says_nothing_of_an_edge(sitting_of, verdict_of):
    verdict = replace(verdict_of("K5"), edge=False)
    said = " ".join(s.text for s in finding(sitting_of("K5"), verdict, minor=False).statements)
    assert "edge" not in said
    assert "open" not in said


def test_the_second_route_is_said_when_it_differs(sitting_of, verdict_of):
    verdict = replace(verdict_of("K5"), second_route="bright", leading_trait="warm")
    assert "another one, bright" in finding(sitting_of("K5"), verdict, minor=False).lead.text


def test_photographed_comparisons_are_said(sheet_of):
    assert any("3 of 10 comparisons were made on a photograph" in s.text for s in sheet_of("K3").finding.statements)
    assert not any("photograph" in s.text for s in sheet_of("K5").finding.statements)


@pytest.mark.parametrize("client", CLIENTS)
def test_a_reason_keeps_its_text_and_shows_its_cloths(sheet_of, client, verdict_of):
    for line, reason in zip(sheet_of(client).why.reasons, verdict_of(client).reasons, strict=False):
        assert line.text == reason.text
        assert all(s.name in line.text for s in line.swatches)
        assert line.worth.startswith("×")
    assert all(line.worth.startswith("÷") for line in sheet_of(client).why.against)


def test_no_two_clients_share_a_reason(sheet_of):
    told = [(c, r.text) for c in CLIENTS for r in (*sheet_of(c).why.reasons, *sheet_of(c).why.against)]
    assert len({text for _, text in told}) == len(told)


def test_a_contradiction_brings_causes_and_what_to_hold_again(sheet_of, verdict_of):
    contradictions = sheet_of("K5").why.contradictions
    assert len(contradictions) == len(verdict_of("K5").contradictions) > 0
    for line in contradictions:
        assert line.causes
        assert line.repeat.startswith("To hold again: ")
        assert all(s.name in line.repeat for s in line.swatches)


def test_a_sitting_without_contradictions_says_so(sitting_of, verdict_of):
    sitting = sitting_of("K5")
    quiet = replace(verdict_of("K5"), contradictions=(), against=(), settling_pair=None)
    told = why(sitting, quiet, kit_swatches(sitting.kit))
    assert told.contradictions_note == "No answer strongly contradicts the others."
    assert told.against_note == "No answer clearly speaks against it."
    assert "No pair left in this kit" in told.settling.text


@pytest.mark.parametrize("client", CLIENTS)
def test_what_would_settle_it_names_the_cloths_and_their_place(sheet_of, sitting_of, client, verdict_of):
    kit, pair = sitting_of(client).kit, verdict_of(client).settling_pair
    text = sheet_of(client).why.settling.text
    assert all(f"{kit[c].name} ({kit[c].place})" in text for c in pair)


@pytest.mark.parametrize("client", CLIENTS)
def test_seen_cloths_come_first_with_their_answer(sheet_of, client):
    for section in sheet_of(client).wearing.sections:
        assert all(line.mark is Mark.SEEN for line in section.seen)
        assert all(line.mark is Mark.PREDICTED and not line.answer for line in section.predicted)
        if section.key in ("best", "yes", "borrow", "leave"):
            assert all(line.answer for line in section.seen)


@pytest.mark.parametrize("client", CLIENTS)
def test_page_one_shows_the_best_cloths_that_nothing_speaks_against(sheet_of, client, palette_of):
    wearing, palette = sheet_of(client).wearing, palette_of(client)
    shown = [line.swatch.id for line in wearing.first]
    seen_first = [line.swatch.id for key in ("best", "yes") for line in wearing.section(key).lines]
    assert shown == [i for i in seen_first if palette.entry(i).for_cover][:5]


@pytest.mark.parametrize("client", CLIENTS)
def test_every_cloth_of_the_palette_is_handed_over_once(sheet_of, client, palette_of):
    sheet, palette = sheet_of(client), palette_of(client)
    given = [line.swatch.id for s in sheet.wearing.sections for line in s.lines]
    wanted = [e.drape.id for f in (Fit.BEST, Fit.YES, Fit.BORROW) for e in palette.of_fit(f)]
    assert set(wanted) <= set(given)
    assert len(given) == len(set(given))


@pytest.mark.parametrize("client", CLIENTS)
def test_no_white_is_called_best_that_lost_to_another_one(sheet_of, client, palette_of):
    sheet = sheet_of(client)
    text = sheet.wearing.section("whites").text
    best = re.match(r"Best white of the kit: (.+?), by", text)[1]
    line = next(x for x in sheet.wearing.section("whites").lines if x.swatch.name == best)
    whites = {e.drape.name for e in palette_of(client).whites}
    assert not any(f"not as good as {name}" in line.answer for name in whites)


def test_a_liking_is_kept_apart_and_answered(sheet_of):
    assert len(sheet_of("K5").wearing.likings) == 1
    assert "Favourites did not influence the result." in sheet_of("K5").wearing.likings[0]
    assert sheet_of("K2").wearing.likings == ()


def test_metals_are_marked_as_set_by_hand(sheet_of, sitting_of):
    for client in CLIENTS:
        metals = sheet_of(client).wearing.section("metals").lines
        assert all(SET_BY_HAND in line.swatch.notes for line in metals)
    assert SET_BY_HAND not in kit_swatches(sitting_of("K5").kit)["D001"].notes


def test_a_swatch_beyond_srgb_is_marked_wherever_it_is_drawn(sheet_of, kit):
    _, truly = kit.colours.on_screen()
    in_gamut = dict(zip(kit.ids, truly, strict=True))
    assert not all(truly)
    swatches = kit_swatches(kit)
    assert all((NOT_SHOWN_TRULY in swatches[i].notes) != in_gamut[i] for i in kit.ids)
    found = [s for client in CLIENTS for s in drawn(sheet_of(client)) if not s.shown_truly]
    assert found
    assert all(NOT_SHOWN_TRULY in s.notes for s in found)


@pytest.mark.parametrize("client", CLIENTS)
def test_every_swatch_carries_a_name_and_words(sheet_of, client):
    for swatch in drawn(sheet_of(client)):
        assert swatch.name
        assert swatch.words
        assert re.fullmatch(r"#[0-9a-f]{6}", swatch.hex, re.IGNORECASE)


def test_an_empty_palette_is_said_in_words(sitting_of, verdict_of, palette_of):
    sitting = sitting_of("K3")
    palette = replace(palette_of("K3"), entries=(), neutrals=(), whites=(), metals=())
    parts = wearing(sitting, verdict_of("K3"), palette, kit_swatches(sitting.kit))
    assert parts.first == ()
    assert "no neutral" in parts.section("neutrals").text
    assert "no white" in parts.section("whites").text
    assert "no metal" in parts.section("metals").text
    assert "nothing for you to borrow" in parts.section("borrow").text


def test_two_sides_of_metal_are_both_handed_over(sitting_of, verdict_of, palette_of):
    sitting = sitting_of("K3")
    both = tuple(e for e in palette_of("K3").entries if e.drape.is_metal)
    parts = wearing(sitting, verdict_of("K3"), replace(palette_of("K3"), metals=both), kit_swatches(sitting.kit))
    assert "both the client’s" in parts.section("metals").text


def test_another_face_changes_the_contrast_and_the_white_and_not_the_verdict(sitting_with, card, face, kit):
    soft = replace(kit["D087"], id="NEW", name="Soft White")  # the same undertone as Paper White, and less light
    more = Kit((*kit.drapes, soft), Colours(np.vstack([kit.lab, (89.5, 0.0, 3.0)]), kit.colours.conditions))
    high, low = (reading_sheet(card(), sitting_with(f, more)) for f in (face(hair=12.0), face(hair=52.0)))
    assert "Contrast: high" in high.face.statements[0].text
    assert "Contrast: low" in low.face.statements[0].text
    whites = [sheet.wearing.section("whites") for sheet in (high, low)]
    assert "the high contrast in the face" in whites[0].text
    assert "the low contrast in the face" in whites[1].text
    assert "Best white of the kit: Paper White" in whites[0].text
    assert "Best white of the kit: Soft White" in whites[1].text
    assert high.face.statements[1] != low.face.statements[1]
    assert high.finding == low.finding


def test_a_measured_face_shows_every_region_with_intervals(sitting_with, card, face):
    regions = reading_sheet(card(), sitting_with(face())).face.regions
    assert [r.name for r in regions] == ["forehead", "left cheek", "lips", "hair"]
    assert regions[0].values == ("62", "14", "17")
    assert regions[0].intervals[0] == "60 to 64"


def test_every_number_of_a_face_carries_its_interval(card, face, sitting_with):
    angle = {"value": 35.3, "interval_90": [31.9, 38.6], "class": "intermediate"}
    told = [s.text for s in reading_sheet(card(), sitting_with(face(ita=angle))).face.statements]
    assert told[0] == (
        "Contrast: medium, though its interval allows high. From the skin (L* 62, 90 % interval 60 to 63) to the "
        "darkest feature (hair) it is 38 steps of L* (34 to 41)."
    )
    assert "Individual typology angle (ITA) of the skin: 35° (90 % interval 32 to 39°), as under D65/2°." in told
    assert any("Shading and gloss are part of these colours" in text for text in told)
    unkept = reading_sheet(card(), sitting_with(face(ita={"value": 35.3, "class": "intermediate"}))).face
    assert any("its interval was not kept" in s.text for s in unkept.statements)


def test_a_contrast_well_inside_a_level_allows_no_other(card, face, sitting_with):
    told = reading_sheet(card(), sitting_with(face(hair=12.0))).face.statements[0].text
    assert told.startswith("Contrast: high. From the skin")


def test_a_face_that_lent_a_hint_is_not_said_to_have_decided_nothing(card, face, sitting_of):
    first, measured = sitting_of("K3"), face()
    for hint in (False, True):
        sitting = Sitting(first.kit, first.method, seed=7, face=measured, face_prior=hint)
        told = reading_sheet(card(), sitting.record_all(e.judgement for e in first.entries)).face.statements[-1].text
        assert ("None of it decided the season" in told) != hint
        assert ("hint about undertone" in told) == hint


def test_numbers_under_a_swatch_name_their_light_and_observer(sheet_of):
    found = drawn(sheet_of("K5"))
    assert found
    assert all(re.fullmatch(r"Lab \d+, −?\d+, −?\d+ \(D65/10°\)", s.numbers) for s in found)


def test_a_face_without_a_dark_feature_states_no_contrast(sitting_with, card, face):
    sheet = reading_sheet(card(), sitting_with(face(hair=None)))
    assert "no contrast is stated" in sheet.face.statements[0].text


def test_without_a_face_no_contrast_is_claimed(sheet_of):
    sheet = sheet_of("K5")
    assert sheet.face.regions == ()
    assert "No face was measured" in sheet.face.statements[0].text
    assert "no contrast was measured" in sheet.wearing.section("whites").text


# common practice, no source. W7: the handover goes from the leading trait by the why to best, neutrals, borrow, avoid.
@pytest.mark.parametrize("client", CLIENTS)
def test_the_handover_has_its_order(sheet_of, client):
    parts = [field.name for field in fields(sheet_of(client))]
    assert parts.index("finding") < parts.index("why") < parts.index("wearing")
    keys = [s.key for s in sheet_of(client).wearing.sections]
    assert [k for k in keys if k in ("best", "neutrals", "borrow", "leave")] == ["best", "neutrals", "borrow", "leave"]


def test_hues_that_the_kit_lacks_are_named_and_what_to_wear_instead(sheet_of, palette_of):
    for client in CLIENTS:
        said = " ".join(r.text for r in sheet_of(client).wearing.section("yes").rest)
        for answer in palette_of(client).hues:
            assert (f"{answer.family} ({answer.version})" in said) == (answer.entry is None and bool(answer.version))
            assert (f"No {answer.family}; instead {answer.instead}" in said) == bool(answer.instead)


# The texts of the cautions a client sheet needs: who can be hurt, and the words that must be there for it.
NEEDED = {
    "skin": ("does not assess or treat skin", "Ask a clinician about any change that worries you"),
    "over-claim": (
        "trained visual judgement supported by measurements",
        "Another trained person",
        "shows that seasons exist in nature",
    ),
    "money": ("Nothing needs to be thrown away", "Wear what you have first", "they say so"),
    "privacy": ("your choice", "never a template", "deleted", "90 days", "erased"),
    "advice": ("No medical, dermatological or psychological advice", "cosmetic"),
    "complexion": ("how light or deep your skin is",),
    "next-sitting": ("flickering", "latex", "Never look into the lamp"),
    "law": ("check the law where you work",),
}


def test_every_caution_is_there(sheet_of):
    told = {c.key: c.text for c in sheet_of("K5").cautions}
    assert set(told) == set(NEEDED)
    for key, phrases in NEEDED.items():
        assert all(phrase in told[key] for phrase in phrases), key


def test_a_minor_gets_the_caution_of_minors(sitting_of, card):
    sheet = reading_sheet(card(minor=True), sitting_of("K3"))
    assert sheet.cautions[0].key == "minor"
    assert all(word in sheet.cautions[0].text for word in ("guardian", "published", "deleted", "provisional"))
    assert any("provisional" in s.text for s in sheet.finding.statements)
    assert "minor" not in {c.key for c in cautions(minor=False)}
    [privacy] = [c.text for c in sheet.cautions if c.key == "privacy"]
    assert f"within {MINORS_PHOTOGRAPH_DAYS} days" in privacy


def test_words_only_brings_the_rules_of_pairing(sitting_of, sheet_of, card):
    assert reading_sheet(card(words_only=True), sitting_of("K4")).pairing
    assert sheet_of("K4").pairing == ()


@pytest.mark.parametrize(("client", "method"), SHEETS)
def test_nothing_unkind_is_said(sheet_of, kit, client, method):
    sheet = sheet_of(client, method)
    reasons = {r.text for r in (*sheet.why.reasons, *sheet.why.against)}
    names = sorted((d.name for d in kit.drapes), key=len, reverse=True)
    for text in texts(asdict(sheet)):
        said = text
        for name in names:
            said = said.replace(name, "this cloth")
        found = unkind_words(said)
        if text in reasons:  # "X and Y were both wrong [eye]" speaks of the cloths
            found = tuple(w for w in found if w != "wrong")
        assert not found, (text, found)


@pytest.mark.parametrize("client", CLIENTS)
def test_no_percent_is_certain(sheet_of, client):
    said = " ".join(texts(asdict(sheet_of(client))))
    assert not re.search(r"(?<![\d.])(0|100) %", said)


def test_relabelling_the_groups_changes_nothing_on_the_sheet(sitting_of, sitting_with, kit, card):
    relabelled = Kit(tuple(replace(d, group=f"g{i % 5}", role="x") for i, d in enumerate(kit.drapes)), kit.colours)
    assert reading_sheet(card(), sitting_with(other_kit=relabelled)) == reading_sheet(card(), sitting_of("K3"))


def test_the_sheet_says_what_was_kept_out(sheet_of):
    assert "1 void entry" in sheet_of("K4").notes[0]


def test_a_sitting_without_a_verdict_gives_no_sheet(kit, sitting_of, card):
    with pytest.raises(PhaseMissing):
        reading_sheet(card(), Sitting(kit, sitting_of("K3").method))


@pytest.mark.parametrize("wrong", ["14 March", "2026-02-30", ""])
def test_a_date_that_is_none_is_refused(wrong, card):
    with pytest.raises(TenterError, match="is not a date"):
        card(date=wrong)


@pytest.mark.parametrize(
    ("field", "wrong"), [("name", " "), ("name", ""), ("studio", "half a \ud83d"), ("consultant", None)]
)
def test_a_card_that_cannot_be_printed_is_refused(field, wrong, card):
    with pytest.raises(TenterError, match=f"the {'client' if field == 'name' else field}"):
        card(**{field: wrong})
    assert card(studio="", consultant="").studio == ""
