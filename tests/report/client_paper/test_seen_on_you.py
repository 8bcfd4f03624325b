"""What was seen, axis by axis, against the answers that it tells of."""

from dataclasses import replace

import pytest

from tenter import Answer, FanJudgement, PairJudgement, Sitting
from tenter.consultation.axes import Axis
from tenter.consultation.findings.contradictions import Contradiction
from tenter.consultation.words.odds_words import Degree
from tenter.language import written_in
from tenter.report.client_paper.answer_words import place_words
from tenter.report.client_paper.seen_on_you import seen_on_you
from tenter.translations import catalogue

WARM_RED, COOL_RED = "D061", "D062"
WARM_PINK, COOL_PINK = "D063", "D064"
WARM_GREEN, COOL_GREEN = "D065", "D066"
HIGH_LEAF, MID_LEAF, LOW_LEAF = "D073", "D074", "D075"


@pytest.fixture
def told(kit, bundled, verdict_of):
    """Return what is told of some answers, beside the verdict of a strongly warm client."""

    def tell(*judgements, **changes):
        sitting = Sitting(kit, bundled, seed=7).record_all(judgements)
        return seen_on_you(sitting, replace(verdict_of("K5"), **{"contradictions": (), **changes}))

    return tell


def won(left, right, region, **more):
    return PairJudgement(left, right, Answer.LEFT, region=region, **more)


def test_signs_say_what_warm_and_cool_did_and_where(told):
    assert told(
        won(WARM_RED, COOL_RED, "cheek", signs=[f"{WARM_RED}:even"]),
        won(WARM_PINK, COOL_PINK, "jaw", signs=[f"{COOL_PINK}:shadowed"]),
    ) == ("Warm colours evened your cheeks; cool ones shadowed your jaw.",)


def test_one_answer_with_a_sign_is_said_to_be_one(told):
    held = won(WARM_RED, COOL_RED, "cheek", signs=[f"{WARM_RED}:even"])
    assert told(held) == ("Warm colours evened your cheeks. This was seen once.",)


def test_a_sign_against_the_answer_is_no_reason_for_it(told):
    assert told(
        won(WARM_RED, COOL_RED, "cheek", signs=[f"{COOL_RED}:even", f"{WARM_RED}:shadowed"]),
        won(WARM_PINK, COOL_PINK, "cheek"),
    ) == ("Warm colours did more for your cheeks than cool ones.",)


def test_without_signs_nothing_is_said_but_where_more_was_done(told):
    assert told(won(WARM_RED, COOL_RED, "cheek"), won(WARM_PINK, COOL_PINK, "under-eye")) == (
        "Warm colours did more for your cheeks and under-eye area than cool ones.",
    )


def test_places_come_by_how_often_and_the_whole_face_only_where_no_part_is_named(told):
    parts = [won(WARM_RED, COOL_RED, r) for r in ("jaw", "lips", "lips", "whole", None)]
    assert told(*parts) == ("Warm colours did more for your lips and jaw than cool ones.",)
    assert told(won(WARM_RED, COOL_RED, "whole face")) == (
        "A warm colour did more for your whole face than a cool one (seen once).",
    )
    assert told(won(WARM_RED, COOL_RED, None)) == ("A warm colour did more for your face than a cool one (seen once).",)


def test_one_answer_the_other_way_is_said_with_its_place(told):
    held = [won(WARM_RED, COOL_RED, "jaw"), won(WARM_PINK, COOL_PINK, "jaw"), won(COOL_GREEN, WARM_GREEN, "eye")]
    assert told(*held) == (
        "Warm colours did more for your jaw than cool ones. Once, at your eyes, it was the other way round.",
    )


def test_as_many_answers_either_way_are_no_reason(told):
    held = won(WARM_RED, COOL_RED, "jaw"), won(COOL_GREEN, WARM_GREEN, "eye")
    [line] = told(*held)
    assert line == (
        "Warm colours did more for your jaw, cool ones for your eyes. Taken together, that is strongly warm."
    )


def test_a_middle_trait_is_not_said_to_be_ahead(told, verdict_of):
    traits = dict(verdict_of("K5").traits)
    traits[Axis.UNDERTONE] = replace(traits[Axis.UNDERTONE], degree=Degree.MIDDLE, mean=0.1, interval=(-0.4, 0.6))
    both = told(won(WARM_RED, COOL_RED, "jaw"), won(COOL_GREEN, WARM_GREEN, "eye"), traits=traits)
    assert both == ("Warm colours did more for your jaw, cool ones for your eyes: neither is clearly ahead.",)
    one = told(won(WARM_RED, COOL_RED, "jaw"), traits=traits)
    assert one == ("Between warm and cool there was little in it: warm colours did a little more for your jaw.",)


def test_a_place_on_both_sides_belongs_to_neither(told):
    once = won(WARM_RED, COOL_RED, "jaw"), won(COOL_GREEN, WARM_GREEN, "jaw")
    each = "For your jaw, warm and cool colours each did more at times."
    together = "Taken together, that is strongly warm."
    assert told(*once) == (f"{each} {together}",)
    own = won(WARM_PINK, COOL_PINK, "eye")
    assert told(*once, own, won(COOL_PINK, WARM_PINK, "lips")) == (
        f"Warm colours did more for your eyes, cool ones for your lips. {each} {together}",
    )
    theirs = won(COOL_PINK, WARM_PINK, "lips")
    assert told(*once, theirs) == (f"Cool colours did more for your lips. {each} {together}",)


def test_what_a_photograph_showed_is_not_told_where_cloth_was_held(told):
    online = won(WARM_RED, COOL_RED, "cheek", view="photograph")
    assert told(online, won(WARM_PINK, COOL_PINK, "jaw"), won(WARM_GREEN, COOL_GREEN, "eye")) == (
        "Warm colours did more for your jaw and eyes than cool ones.",
    )
    assert told(online, PairJudgement(WARM_RED, COOL_RED, Answer.NOTHING_SEEN)) == ()


def test_photographs_without_cloth_are_told_as_photographs(told):
    once, twice = (won(*pair, "cheek", view="photograph") for pair in ((WARM_RED, COOL_RED), (WARM_PINK, COOL_PINK)))
    not_repeated = "This was not repeated with cloth."
    assert told(once) == (f"On a photograph, a warm colour did more for your cheeks than a cool one. {not_repeated}",)
    both = "On photographs, warm colours did more for your cheeks than cool ones."
    assert told(once, twice) == (f"{both} {not_repeated}",)
    assert told(once, won(COOL_PINK, WARM_PINK, "jaw", view="photograph")) == ()


def test_an_axis_under_which_no_answer_counts_is_left_out(told, verdict_of):
    held = won(WARM_RED, COOL_RED, "jaw"), won(WARM_PINK, COOL_PINK, "jaw")
    others = {a: found for a, found in verdict_of("K5").by_axis.items() if a is not Axis.UNDERTONE}
    assert told(*held) != ()
    assert told(*held, by_axis=others) == ()


def test_the_consultants_remark_comes_before_the_cloths(told):
    """These two differ most in undertone, yet the consultant said that the loser was too soft."""
    [line] = told(won(WARM_RED, COOL_RED, "teeth", flags=[f"{COOL_RED}:too-soft"]))
    assert line == "A bright colour did more for your smile than a soft one (seen once)."


def test_a_fan_speaks_by_its_remarks_alone(told):
    fan = FanJudgement((MID_LEAF, HIGH_LEAF, LOW_LEAF), region="eye", flags=[f"{LOW_LEAF}:too-soft"])
    assert told(fan) == ("A bright colour did more for your eyes than a soft one (seen once).",)
    assert told(replace(fan, flags=())) == ()


def test_equal_and_doubted_answers_are_left_out(told, verdict_of):
    held = won(WARM_RED, COOL_RED, "jaw"), won(WARM_PINK, COOL_PINK, "cheek")
    doubted = replace(verdict_of("K5").contradictions[0], number=1)
    assert isinstance(doubted, Contradiction)
    assert told(*held, contradictions=(doubted,)) == (
        "A warm colour did more for your cheeks than a cool one (seen once).",
    )
    assert told(PairJudgement(WARM_RED, COOL_RED, Answer.BOTH_GOOD, region="jaw")) == ()


@pytest.mark.parametrize(
    ("region", "words"), [("Cheek", "cheeks"), ("under-eye", "under-eye area"), ("Schläfe", "schläfe")]
)
def test_a_place_that_is_not_ours_is_the_consultants_own_word(region, words):
    assert place_words(region) == words


def test_a_trait_before_colours_has_the_form_that_a_language_gives_it_there(told):
    shadowed = won(WARM_PINK, COOL_PINK, "jaw", signs=[f"{COOL_PINK}:shadowed"])
    with written_in(catalogue("de")):
        assert told(won(WARM_RED, COOL_RED, "cheek"), shadowed) == (
            "Warme Farben taten mehr für Ihre Wangen und Ihre Kieferlinie als kühle; "
            "kühle warfen Schatten auf Ihre Kieferlinie.",
        )
