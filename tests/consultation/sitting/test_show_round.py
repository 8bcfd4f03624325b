"""The show round: what is shown after a verdict is seen on the client, and changes nothing of how the verdict came."""

import pytest

from tenter import PhaseMissing, Showing, Sitting, TenterError, Worth
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.palette.palette_parts import Fit
from tenter.consultation.palette.wear_role import Role
from tenter.consultation.record.ledger import demo_ledger, judgements_of_client
from tenter.consultation.sitting.journal import bring_event, event_document
from tenter.consultation.sitting.show_round import ShowReason, show_round, showings

CLIENTS = ("K1", "K2", "K3", "K4", "K5")
PLACED = {
    Worth.BEST: Role.NEAR_FACE,
    Worth.YES: Role.NEAR_FACE,
    Worth.AWAY: Role.AWAY,
    Worth.NO: Role.LEAVE,
}


@pytest.fixture
def sit(demo_kit, bundled):
    """Return a client's sitting anew."""
    return lambda client="K1": Sitting(demo_kit, bundled, seed=7).record_all(
        judgements_of_client(demo_ledger(demo_kit), client)
    )


@pytest.mark.parametrize("client", CLIENTS)
def test_about_twelve_are_offered_of_every_kind(sit, client):
    offers = show_round(sit(client))
    assert 10 <= len(offers) <= 14
    assert len({o.drape.id for o in offers}) == len(offers)
    hues = [o.drape.hue_family for o in offers if o.reason is ShowReason.LIKELIEST]
    assert len(set(hues)) == len(hues) >= 4
    assert {ShowReason.NEUTRAL, ShowReason.WHITE, ShowReason.METAL} <= {o.reason for o in offers}
    assert all(o.drape.hue_family is HueFamily.METAL for o in offers if o.reason is ShowReason.METAL)
    assert not any(o.drape.bench_only for o in offers)


def test_a_missing_cloth_is_not_offered(sit):
    sitting = sit()
    gone = show_round(sitting)[0].drape.id
    sitting.set_aside(gone)
    assert gone not in {o.drape.id for o in show_round(sitting)}


def test_there_is_no_round_before_a_verdict(demo_kit, bundled):
    with pytest.raises(PhaseMissing):
        show_round(Sitting(demo_kit, bundled, seed=7))


def test_a_showing_changes_no_probability_no_reason_and_no_proposal(sit):
    sitting, plain = sit(), sit()
    for offer, worth in zip(show_round(sitting), [*Worth] * 4, strict=False):
        sitting.record(Showing(worth, offer.drape.id))
    sitting.record(Showing("no", brought="garment", name="grey blazer"))
    assert sitting.probabilities() == plain.probabilities()
    assert sitting.verdict() == plain.verdict()
    assert (sitting.phase, sitting.propose(), sitting.propose_fan()) == (
        plain.phase,
        plain.propose(),
        plain.propose_fan(),
    )
    sitting.undo()
    sitting.void(len(plain.entries) + 1, "held too low")
    assert sitting.probabilities() == plain.probabilities()


def test_the_round_stays_as_it_is_while_it_is_answered(sit):
    sitting = sit()
    before = [o.drape.id for o in show_round(sitting)]
    for cloth in before:
        sitting.record(Showing("no", cloth))
    assert [(o.drape.id, o.answer) for o in show_round(sitting)] == [(c, Worth.NO) for c in before]


def test_a_cloth_of_ones_own_choice_comes_after_those_offered(sit, demo_kit):
    sitting = sit()
    before = [o.drape.id for o in show_round(sitting)]
    own = next(c for c in demo_kit.ids if c not in before)
    sitting.record(Showing("best", own))
    assert [o.drape.id for o in show_round(sitting)] == [*before, own]
    assert show_round(sitting)[-1].reason is ShowReason.CHOSEN


@pytest.mark.parametrize("worth", Worth)
@pytest.mark.parametrize("client", CLIENTS)
def test_what_was_shown_is_worn_where_the_consultant_said(sit, client, worth):
    sitting = sit(client)
    shown = [o.drape.id for o in show_round(sitting) if o.reason is not ShowReason.METAL]
    for cloth in shown:
        sitting.record(Showing(worth, cloth))
    palette = sitting.palette()
    away = {e.drape.id for e in palette.coats}
    for cloth in shown:
        entry = palette.entry(cloth)
        assert entry.role is PLACED[worth] or (cloth in away and worth is not Worth.NO)
        assert (entry.fit is Fit.LEAVE) is (worth is Worth.NO)
        assert entry.seen


def test_a_white_and_a_metal_that_were_shown_best_come_first(sit):
    sitting = sit("K3")
    white, metal = sitting.palette().whites[-1].drape.id, sitting.palette().metals[-1].drape.id
    sitting.record(Showing("best", white))
    sitting.record(Showing("best", metal))
    assert sitting.palette().whites[0].drape.id == white
    assert sitting.palette().metals[0].drape.id == metal


def test_what_was_shown_and_brought_is_replayed(sit):
    sitting, again = sit(), sit()
    for said in (Showing("best", "D026"), Showing("away", brought="frames", name="  tortoiseshell  ")):
        sitting.record(said)
        bring_event(event_document(sitting.events[-1]), again)
    assert showings(again.entries) == showings(sitting.entries)
    assert showings(again.entries)[1].name == "tortoiseshell"


@pytest.mark.parametrize(
    ("said", "problem"),
    [
        ({}, "one cloth of the kit"),
        ({"drape": "D026", "brought": "garment", "name": "blazer"}, "one cloth of the kit"),
        ({"brought": "garment", "name": " "}, "needs a name"),
        ({"drape": "D026", "name": "blazer"}, "a cloth has its own"),
        ({"brought": "hat", "name": "straw"}, "use garment"),
    ],
)
def test_a_showing_is_of_one_thing_with_a_name(said, problem):
    with pytest.raises(TenterError, match=problem):
        Showing("best", **said)
