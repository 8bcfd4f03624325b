"""What was seen moves a cloth on the palette by one role. Common practice, no source; one law for each sentence."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tenter import Answer, DrapeJudgement, PairJudgement, Sitting, Suits
from tenter.consultation.palette.palette import palette
from tenter.consultation.palette.palette_parts import Fit
from tenter.consultation.palette.seen import NOTHING_SEEN_OF_IT, ClothFindings
from tenter.consultation.palette.wear_role import ClothStanding, Role, moved
from tenter.consultation.words.flags import Flag
from tenter.report.reading.wearing import wearing
from tenter.report.words.swatches import kit_swatches

CLIENTS = ("K1", "K2", "K3", "K4", "K5")
LADDER = [Role.NEAR_FACE, Role.AWAY, Role.SMALL, Role.LEAVE]
CLOTHS = ("a", "b", "c", "d")


@pytest.fixture(scope="module")
def worn_after(demo_kit, bundled, demo_judgements, demo_verdicts):
    """Return a client's palette, by the verdict as it is, after more was seen; with what is handed over."""

    def after(client, *more, void=False):
        sitting = Sitting(demo_kit, bundled, seed=7).record_all(demo_judgements[client])
        for judgement in more:
            number = sitting.record(judgement)
            if void:
                sitting.void(number, "another light")
        found = palette(sitting, demo_verdicts[client])
        return found, wearing(sitting, demo_verdicts[client], found, kit_swatches(demo_kit))

    return after


def on_cover(handed):
    return [line.swatch.id for line in handed.first]


def in_section(handed, cloth):
    return [s.key for s in handed.sections if cloth in [line.swatch.id for line in s.lines]]


def unseen(found, fit):
    entries = [e for e in found.of_fit(fit) if not (e.seen or e.neutral or e.drape.hue_family == "white")]
    return next(e.drape.id for e in entries)


# -- the demo clients --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("client", CLIENTS)
def test_nothing_flagged_is_on_the_cover_or_among_the_best(worn_after, client):
    found, handed = worn_after(client)
    assert handed.first
    assert not any(found.entry(cloth).found.ever_off for cloth in on_cover(handed))
    assert not any(found.entry(cloth).lowered for cloth in on_cover(handed))
    assert not any(e.found.off for e in found.of_fit(Fit.BEST))


@pytest.mark.parametrize("client", CLIENTS)
def test_a_cloth_has_one_place(worn_after, client):
    found, handed = worn_after(client)
    drawn = [line.swatch.id for s in handed.sections for line in s.lines]
    assert len(set(drawn)) == len(drawn)
    told = " ".join(r.text for s in handed.sections for r in s.rest)
    assert not [cloth for cloth in drawn if found.entry(cloth).drape.name in told]


def test_the_only_neutral_of_k5_is_worn_below_the_waist_and_nowhere_else(worn_after):
    found, handed = worn_after("K5")
    assert found.entry("D040").role is Role.BELOW_WAIST
    assert in_section(handed, "D040") == ["neutrals"]
    line = next(x for x in handed.section("neutrals").lines if x.swatch.id == "D040")
    assert line.answer == "too dark when held: below the waist"


@pytest.mark.parametrize("client", CLIENTS)
def test_what_was_seen_never_takes_a_cloth_out_of_the_season(worn_after, bundled, demo_verdicts, client):
    found, _ = worn_after(client)
    season = [e for e in found.entries if bundled.season_of[e.category] == demo_verdicts[client].season]
    assert len(season) > 10
    assert {e.fit for e in season} <= {Fit.BEST, Fit.YES}
    for e in season:  # S2: a sibling's cloth is below "yes" only by this client's own answers
        assert e.role in (Role.NEAR_FACE, Role.AWAY) or (e.moved and e.seen)


# -- one sentence each, on a client ------------------------------------------------------------------------------------


@pytest.mark.parametrize("client", ["K2", "K3"])
@pytest.mark.parametrize("how", ["fails", "too bright", "too dark", "too cool", "both wrong"])
def test_a_best_cloth_that_fails_or_is_too_anything_leaves_cover_and_best(worn_after, client, how):
    cloth = unseen(worn_after(client)[0], Fit.BEST)
    flags = (f"{cloth}:{how.replace(' ', '-')}",) if how.startswith("too") else ()
    told = {
        "fails": DrapeJudgement(cloth, Suits.FAILS),
        "both wrong": PairJudgement(cloth, "D062", Answer.BOTH_WRONG),
    }.get(how, DrapeJudgement(cloth, Suits.TOLERABLE, flags=flags))
    found, handed = worn_after(client, told)
    assert (found.entry(cloth).role, found.entry(cloth).fit) == (Role.AWAY, Fit.YES)
    assert cloth not in on_cover(handed)
    assert in_section(handed, cloth) == ["yes"]
    line = next(x for x in handed.section("yes").lines if x.swatch.id == cloth)
    assert line.answer == ("did not work when held" if not flags else f"{how} when held")
    again, _ = worn_after(client, told, DrapeJudgement(cloth, Suits.WORKS))  # the last direct answer counts
    assert again.entry(cloth).fit is Fit.BEST


def test_a_lowered_cloth_of_the_season_that_was_not_best_goes_to_small_areas(worn_after):
    cloth = unseen(worn_after("K2")[0], Fit.YES)
    _, handed = worn_after("K2", DrapeJudgement(cloth, Suits.FAILS))
    assert in_section(handed, cloth) == ["small"]


@pytest.mark.parametrize("word", ["too-dark", "too-light"])
def test_a_neutral_that_is_too_dark_or_too_light_goes_below_the_waist(worn_after, word):
    found, handed = worn_after("K2", DrapeJudgement("D092", Suits.TOLERABLE, flags=(f"D092:{word}",)))
    assert found.entry("D092").role is Role.BELOW_WAIST
    assert in_section(handed, "D092") == ["neutrals"]


def test_a_cloth_that_lost_only_to_siblings_stays(worn_after, bundled, demo_verdicts):
    before, _ = worn_after("K3")
    best = unseen(before, Fit.BEST)
    season = demo_verdicts["K3"].season
    sibling = next(e.drape.id for e in before.entries if e.fit is Fit.YES and bundled.season_of[e.category] == season)
    stranger = next(e.drape.id for e in before.entries if e.fit is Fit.LEAVE and not e.drape.bench_only)
    lost = {other: worn_after("K3", PairJudgement(other, best, Answer.LEFT)) for other in (sibling, stranger)}
    assert lost[sibling][0].entry(best).fit is Fit.BEST
    assert lost[stranger][0].entry(best).role is Role.AWAY
    assert best not in on_cover(lost[stranger][1])


@pytest.mark.parametrize("answer", [Answer.LEFT, Answer.BOTH_GOOD])
def test_a_win_or_a_tie_against_a_best_cloth_promotes_by_one_step(worn_after, answer):
    before, _ = worn_after("K3")
    best = unseen(before, Fit.BEST)
    for fit, after, role in ((Fit.YES, Fit.BEST, Role.NEAR_FACE), (Fit.LEAVE, Fit.BORROW, Role.SMALL)):
        cloth = unseen(before, fit)
        found, handed = worn_after("K3", PairJudgement(cloth, best, answer))
        assert (found.entry(cloth).fit, found.entry(cloth).role) == (after, role)
        assert "when held" in found.entry(cloth).moved
        assert in_section(handed, cloth) == [after.name.lower()]
        flagged = PairJudgement(cloth, best, answer, flags=(f"{cloth}:too-warm",))
        assert worn_after("K3", flagged)[0].entry(cloth).fit is fit  # never over a flag


def test_void_answers_move_nothing(worn_after):
    before, _ = worn_after("K3")
    best = unseen(before, Fit.BEST)
    fails = DrapeJudgement(best, Suits.FAILS)
    assert worn_after("K3", fails, void=True)[0] == before
    assert worn_after("K3", replace(fails, source="client"))[0] == before
    assert worn_after("K3", fails)[0] != before


def test_black_and_plain_grey_may_be_worn_away_from_the_face_unless_they_were_off(worn_after):
    found, handed = worn_after("K4")
    assert [e.drape.name for e in found.plain] == ["Anvil", "Lamp Black"]
    assert {(e.fit, e.role) for e in found.plain} == {(Fit.LEAVE, Role.AWAY)}
    text = handed.section("neutrals").text
    assert text.endswith(" Anvil and Lamp Black may be worn too, well away from your face.")
    left = handed.section("leave")
    assert not [e for e in found.plain if e.drape.id in [x.swatch.id for x in left.lines]]
    assert "dark" not in left.rest[-1].text  # nor counted among those that were not held
    assert found.entry("D094").role is Role.LEAVE  # mid grey was too soft when held
    after, _ = worn_after("K4", DrapeJudgement("D092", Suits.FAILS))
    assert [e.drape.name for e in after.plain] == ["Anvil"]


# -- laws over what may have been seen ---------------------------------------------------------------------------------

findings = st.builds(
    ClothFindings,
    failed=st.booleans(),
    too=st.sets(st.sampled_from([Flag.TOO_WARM, Flag.TOO_DARK, Flag.TOO_BRIGHT]), max_size=2).map(tuple),
    won_over=st.sets(st.sampled_from(CLOTHS), max_size=2).map(tuple),
    lost_to=st.sets(st.sampled_from(CLOTHS), max_size=2).map(tuple),
    level_with=st.sets(st.sampled_from(CLOTHS), max_size=2).map(tuple),
)


@st.composite
def standings(draw):
    own = draw(st.booleans())
    role = draw(st.sampled_from(LADDER[:2] if own else LADDER[2:]))
    return ClothStanding(
        "", role, "spring" if own else draw(st.sampled_from(["summer", "autumn"])), own, draw(st.booleans())
    )


kits = st.fixed_dictionaries(dict.fromkeys(CLOTHS, standings()))
answers = st.fixed_dictionaries(dict.fromkeys(CLOTHS, findings))


@given(kits, answers)
def test_no_cloth_moves_by_more_than_one_role_or_out_of_its_season(kit, seen):
    for cloth, worn in moved(kit, seen).items():
        at, found = kit[cloth], seen[cloth]
        if worn.role is Role.BELOW_WAIST:
            assert at.own
            assert at.neutral
            assert found.too == (Flag.TOO_DARK,)
            continue
        step = LADDER.index(worn.role) - LADDER.index(at.role)
        assert step in (-1, 0, 1)
        assert bool(worn.why) == (step != 0)
        assert (worn.role is Role.LEAVE) <= (not at.own)
        assert (worn.role is Role.NEAR_FACE) <= at.own
        if found.off:
            assert step >= 0


@given(kits)
def test_what_was_never_held_stays_where_it_lies(kit):
    assert {c: w.role for c, w in moved(kit, {}).items()} == {c: at.role for c, at in kit.items()}
    same = moved(kit, dict.fromkeys(CLOTHS, NOTHING_SEEN_OF_IT))
    assert not any(w.why for w in same.values())
