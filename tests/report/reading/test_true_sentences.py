"""Sentences of the sheet that were once false: each is read against the numbers that it speaks of."""

from dataclasses import replace

import pytest

from tenter import ConsultantVerdict, Preference, Sitting
from tenter.consultation.findings.diagnostics import Doubt
from tenter.consultation.findings.ending import Ending, Owed, Reached
from tenter.consultation.palette.palette import palette
from tenter.consultation.palette.palette_parts import Fit
from tenter.consultation.words.odds_words import OddsWord, odds_word
from tenter.report.reading.content import reading_sheet
from tenter.report.reading.finding import finding
from tenter.report.reading.named_result import Paper
from tenter.report.reading.wearing import wearing
from tenter.report.reading.why import why
from tenter.report.words.doubts import doubt_words
from tenter.report.words.leading import leading_trait
from tenter.report.words.swatches import kit_swatches
from tenter.report.words.wording import printed_percent


def worn(sitting, verdict, palette):
    return wearing(sitting, verdict, palette, kit_swatches(sitting.kit))


def misfitting(verdict, **changes):
    diagnostics = replace(verdict.diagnostics, misfit=0.001, position_bias=None, fatigue=None, change=None)
    return replace(verdict, diagnostics=diagnostics, **changes)


@pytest.mark.parametrize(
    ("probability", "text"),
    [(0.5976, "59.7 %"), (0.7498, "74.9 %"), (0.8982, "89.8 %"), (0.9469, "94.6 %"), (0.9807, "98.1 %")],
)
def test_a_percent_never_rounds_across_the_limit_of_a_word(probability, text):
    assert printed_percent(probability) == text
    shown = float(text.split()[0]) / 100
    assert odds_word(shown) is odds_word(probability)


def test_odds_short_of_the_end_are_not_said_to_be_those_that_would_end_it(sitting_of, verdict_of):
    short = replace(verdict_of("K2"), probability=0.9487, reached=Reached(Ending.UNFINISHED, (Owed.ODDS,), 9))
    assert "the odds are 94.8 %, not yet 95 %." in short.stop.why


def test_what_is_owed_names_the_cloths_and_counts_no_pair_twice(sitting_of, verdict_of):
    owed = Reached(Ending.UNFINISHED, (Owed.DEPTH, Owed.NEIGHBOUR), 2)
    told = replace(verdict_of("K3"), reached=owed).stop.why
    assert "depth was not yet tried twice on different cloths" in told
    assert "no cloth of soft summer or light spring was held" in told
    assert "needs two pairs" not in told


def test_an_axis_that_no_answer_is_about_is_not_said_to_lack_a_second_one(verdict_of):
    reached = verdict_of("K1").reached
    assert reached.untried == (Owed.DEPTH,)
    assert "Not finished: depth was not yet tried; the odds" in verdict_of("K1").stop.why
    two = replace(reached, owed=(Owed.UNDERTONE, Owed.DEPTH, Owed.CLARITY), untried=(Owed.DEPTH, Owed.CLARITY))
    told = replace(verdict_of("K1"), reached=two).stop.why
    assert "depth and clarity were not yet tried; undertone was not yet tried twice on different cloths" in told


def test_the_clearest_trait_is_said_to_be_the_leading_one_or_another(sitting_of, verdict_of):
    method, verdict = sitting_of("K5").method, verdict_of("K5")
    assert leading_trait(method, verdict).text.endswith(" It is also the clearest trait.")
    other = leading_trait(method, replace(verdict, second_route="light")).text
    assert other.endswith(" The clearest trait is another one, light.")


def test_a_word_that_is_open_by_its_odds_is_not_said_to_be_lowered(verdict_of):
    opened = misfitting(verdict_of("K4"))
    assert opened.odds_word is OddsWord.OPEN is odds_word(opened.probability)
    assert opened.doubts == (Doubt.MISFIT,)
    assert not any("one step less sure" in line for line in doubt_words(opened))
    lowered = misfitting(verdict_of("K5"), odds_word=OddsWord.FIRM)
    assert any("one step less sure" in line for line in doubt_words(lowered))


def test_a_misfit_speaks_of_cloths_in_doubt_only_where_there_are_some(sitting_of, verdict_of):
    sitting = sitting_of("K5")
    some, none = misfitting(verdict_of("K5")), misfitting(verdict_of("K5"), contradictions=())
    assert some.contradictions
    assert "hold the cloths in doubt again" in doubt_words(some)[0]
    assert "in doubt" not in doubt_words(none)[0]
    assert why(sitting, none, kit_swatches(sitting.kit)).contradictions_note == "No single answer stands out."


def test_contradictions_are_not_passed_over_where_nothing_speaks_against(sitting_of, verdict_of):
    sitting = sitting_of("K5")
    told = why(sitting, replace(verdict_of("K5"), against=()), kit_swatches(sitting.kit))
    assert told.contradictions
    assert "Some answers disagree with the rest all the same" in told.against_note


def test_a_trait_is_named_only_between_two_that_are_likelier_than_the_rest(sitting_of, verdict_of):
    sitting, verdict = sitting_of("K4"), verdict_of("K4")
    assert "open between warm and soft" in leading_trait(sitting.method, verdict).text
    even = dict.fromkeys(verdict.probabilities, 1 / 12)
    assert "no trait can be named yet" in leading_trait(sitting.method, replace(verdict, probabilities=even)).text


def test_a_finished_sitting_leaves_nothing_to_settle(sitting_of, verdict_of, between):
    swatches = kit_swatches(between.kit)
    finished, owing = (why(sitting_of(c), verdict_of(c), swatches).settling.text for c in ("K5", "K1"))
    assert finished.startswith("Nothing is left to settle.")
    assert owing.startswith("Hold ")
    assert why(between, between.verdict(), swatches).settling.text.startswith("More pairs would hardly change it.")


def test_between_two_seasons_the_palette_is_said_to_be_of_both(between, card):
    sheet = reading_sheet(card(), between)
    for key in ("best", "yes"):
        assert all(season in sheet.wearing.section(key).text for season in ("light spring", "light summer"))
    said = " ".join(line.text for line in sheet.finding.statements)
    assert "What follows assumes" not in said
    assert "The reasons refer to" in said


def test_an_open_verdict_says_what_the_palette_assumes(sitting_of, verdict_of):
    said = " ".join(s.text for s in finding(sitting_of("K4"), verdict_of("K4"), minor=False).statements)
    assert "What follows assumes warm autumn, which is ahead." in said


def test_who_names_one_of_two_hands_over_the_colours_of_that_one(between, bundled, card):
    named = between.verdict().runner_up
    again = Sitting(between.kit, bundled, seed=2).record_all(e.judgement for e in between.entries)
    again.record(ConsultantVerdict(named))
    sheet = reading_sheet(card(), again, Paper.CLIENT)
    other = between.verdict().category
    cells = dict(zip(again.kit.ids, map(bundled.category_at, again.bench.coordinates), strict=True))
    own = [line.swatch.id for key in ("best", "yes") for line in sheet.wearing.section(key).lines]
    assert own
    assert not [i for i in own if cells[i] == other]
    assert sheet.wearing.section("best").text.startswith(f"The cloths of {bundled.season_of[named]} nearest")


def test_a_section_without_cloths_says_so(sitting_of, verdict_of, palette_of):
    handed = palette_of("K3")
    bare = replace(handed, entries=tuple(e for e in handed.entries if e.fit in (Fit.LEAVE, Fit.BORROW)))
    parts = worn(sitting_of("K3"), verdict_of("K3"), bare)
    assert parts.section("best").lines == parts.section("yes").lines == ()
    assert parts.section("best").text == "No cloth of summer in this kit is for wearing close to the face."
    assert parts.section("yes").text == "This kit holds no other colour of summer for the client."
    assert "one of your best" not in parts.section("borrow").text


def test_a_cloth_to_borrow_that_another_section_shows_is_not_said_to_be_lacking(sitting_of, verdict_of, palette_of):
    handed = palette_of("K3")
    borrowed = handed.of_fit(Fit.BORROW)
    assert borrowed
    parts = worn(sitting_of("K3"), verdict_of("K3"), replace(handed, neutrals=borrowed[:6]))
    assert parts.section("borrow").lines == ()
    assert parts.section("borrow").text == "What you may borrow from a neighbour is named above."


def test_one_cloth_that_was_not_held_was_not(sitting_of, verdict_of, palette_of):
    handed = palette_of("K3")
    left = [e for e in handed.of_fit(Fit.LEAVE) if not e.seen][:2]
    for entries, verb in ((left[:1], "1 more of the kit was"), (left, "2 more of the kit were")):
        parts = worn(sitting_of("K3"), verdict_of("K3"), replace(handed, entries=tuple(entries), plain=(), coats=()))
        assert parts.section("leave").rest[-1].text.startswith(f"{verb} not held on the client")


def test_a_loved_neutral_white_or_metal_of_ones_own_is_not_sent_away(kit, bundled, demo_judgements, palette_of, card):
    handed = palette_of("K3")
    sitting = Sitting(kit, bundled, seed=7).record_all(demo_judgements["K3"])
    loved = [handed.neutrals[0], handed.whites[0], handed.metals[0]]
    for entry in loved:
        sitting.record(Preference(entry.drape.id))
    assert list(reading_sheet(card(), sitting).wearing.likings) == [
        f"The client likes {entry.drape.name}: it is among the best." for entry in loved
    ]


def test_a_metal_of_the_other_side_that_won_is_named(sitting_of, verdict_of, palette_of, kit):
    copper = next(drape.id for drape in kit.drapes if drape.name == "Copper Foil")
    handed = palette_of("K2")
    beaten = tuple(replace(e, found=replace(e.found, lost_to=(copper,))) for e in handed.metals)
    for metals, said in ((handed.metals, False), (beaten, True)):
        text = worn(sitting_of("K2"), verdict_of("K2"), replace(handed, metals=metals)).section("metals").text
        assert text.startswith("Cool metals.")
        assert ("When held, Copper Foil did better, but the cloths say otherwise." in text) == said


def test_an_open_verdict_does_not_hide_that_others_are_nearly_as_likely(sitting_of, verdict_of):
    verdict = verdict_of("K4")
    assert verdict.headline == "open between warm autumn and soft autumn"
    odds = dict.fromkeys(verdict.probabilities, 0.073) | {verdict.category: 0.14, verdict.runner_up: 0.13}
    level = replace(verdict, probabilities=odds)
    assert level.headline == "open, nearest to warm autumn and soft autumn, with others nearly as likely"
    assert finding(sitting_of("K4"), level, minor=False).odds.endswith("13 %, others nearly as likely")
    one_more = {**verdict.probabilities, "deep autumn": 0.5 * verdict.probability}
    assert "with others" in replace(verdict, probabilities=one_more).headline


@pytest.mark.parametrize(
    ("interval", "note"),
    [
        ((0.02, 0.7), "the interval reaches the middle"),
        ((-0.04, 0.7), "the interval reaches the middle"),
        ((-0.2, 0.7), "the interval crosses the middle"),
        ((-0.7, -0.2), ""),
    ],
)
def test_what_is_said_of_the_middle_agrees_with_the_interval_as_printed(sitting_of, verdict_of, interval, note):
    verdict = verdict_of("K4")
    axis, trait = next(iter(verdict.traits.items()))
    moved = replace(verdict, traits={**verdict.traits, axis: replace(trait, interval=interval)})
    assert finding(sitting_of("K4"), moved, minor=False).traits[0].note == note


def test_a_cloth_that_won_and_lost_against_one_other_is_said_so(kit, bundled, demo_judgements, card):
    sitting = Sitting(kit, bundled, seed=7).record_all(demo_judgements["K5"])
    lines = [line for s in reading_sheet(card(), sitting).wearing.sections for line in s.lines]
    reef = [line.answer for line in lines if line.swatch.name == "Warm Reef"]
    assert reef
    assert not [line.answer for line in lines if "better than Lagoon Mist; not as good as" in line.answer]
    assert any("once better than, once less good than Lagoon Mist" in answer for answer in reef)


def test_a_loved_coat_neutral_is_worn_as_neutrals_says(kit, bundled, demo_judgements, palette_of, card):
    for client in ("K1", "K2", "K3", "K4", "K5"):
        named = (*palette_of(client).coats, *palette_of(client).plain)
        if not named:
            continue
        sitting = Sitting(kit, bundled, seed=7).record_all(demo_judgements[client])
        sitting.record(Preference(named[0].drape.id))
        said = reading_sheet(card(), sitting).wearing.likings[-1]
        assert said == f"The client likes {named[0].drape.name}: for coats and trousers, as among the neutrals."
        return
    pytest.fail("no client has a neutral for coats alone")


def test_neutrals_between_two_seasons_are_of_both(between):
    handed = palette(between, between.verdict())
    season_of = between.method.season_of
    found = {season_of[e.category] for e in handed.neutrals}
    assert found <= {"spring", "summer"}
    assert found == {season_of[e.category] for e in handed.entries if e.neutral} & {"spring", "summer"}


def test_an_edge_is_told_with_the_number_that_makes_it_one(sitting_of, verdict_of, monkeypatch):
    told = replace(verdict_of("K4"), edge=True, reached=Reached(Ending.UNFINISHED, (Owed.ODDS,), 9))

    def said():
        return " ".join(s.text for s in finding(sitting_of("K4"), told, minor=False).statements)

    assert "the first is less than twice as likely" in said()
    monkeypatch.setattr("tenter.report.reading.finding.EDGE", 3.5)
    assert "the first is less than 3.5 times as likely" in said()
