"""What a consultant's ended sittings teach of how she answers, and where it is used."""

import pytest

from tenter import Answer, PairJudgement
from tenter.consultation.conventions.bundled import DEFAULT_METHOD
from tenter.inference.lattice import Styles
from tenter.web.models import AnswerLearning, Client, KitRecord, Sitting, SittingStyle
from tenter.web.replays import replays
from tenter.web.store import answering, store
from tests.support import entering
from tests.web.conftest import browser_of

pytestmark = pytest.mark.usefixtures("folder")


@pytest.fixture
def desk(owner):
    return browser_of(owner)


def start(browser, owner):
    client, kit = Client.objects.filter(owner=owner).first(), KitRecord.objects.get(owner=owner)
    browser.post("/sittings/start", {"client": client.pk, "kit": kit.pk, "method": DEFAULT_METHOD})
    return Sitting.objects.order_by("-pk").first()


def answer(row, count=9):
    """Take the warmer cloth of every pair, and call every difference a large one."""
    for n in range(count):
        with store.load(row) as live:
            left, right = live.propose()
            place = [live.bench.coordinates[live.kit.row(c), 0] for c in (left, right)]
        wins = Answer.LEFT if place[0] > place[1] else Answer.RIGHT
        entering.record_judgement(
            row, PairJudgement(left, right, wins, strength=2), f"{row.pk}-{row.events.count()}-{n}"
        )


def sat(browser, owner, count=9):
    """Return a sitting that was held and ended."""
    row = start(browser, owner)
    answer(row, count)
    browser.post(f"/sittings/{row.pk}/end")
    row.refresh_from_db()
    return row


def odds(row):
    with store.load(row) as live:
        return live.probabilities()


def test_an_ended_sitting_teaches_and_the_next_one_says_that_it_uses_it(desk, owner):
    first = sat(desk, owner)
    assert first.analyst_prior is None, "nothing was known, the demo's invented sittings teach nothing"
    assert SittingStyle.objects.get().sitting == first
    second = start(desk, owner)
    assert second.analyst_prior["sittings"] == 1
    assert store.styles_of(second) == answering.learned_of(owner).styles != Styles()
    said = "how Wenna Castrall answered in 1 earlier sitting."
    assert said in desk.get(f"/sittings/{second.pk}").text
    assert "The odds take into account" not in desk.get(f"/sittings/{first.pk}").text


def test_what_is_used_changes_odds_and_is_frozen_when_a_sitting_begins(desk, owner):
    first = sat(desk, owner)
    running = start(desk, owner)
    answer(running, 4)
    before = odds(running)
    sat(desk, owner)
    store.forget_sittings()
    running.refresh_from_db()
    assert odds(running) == before
    plain = store.start_sitting(running.client, owner, running.kit, seed=running.seed)
    events = list(running.events.order_by("number").values_list("payload", flat=True))
    assert store.replayed(running, events).probabilities() == before
    assert store.replayed(plain, events).probabilities() != before
    assert first.analyst_prior is None


def test_a_checksum_of_a_sitting_knows_what_was_used(desk, owner):
    sat(desk, owner)
    row = start(desk, owner)
    with_it = replays.checksum(replays.SittingHistory(row, ()))
    row.analyst_prior = None
    assert replays.checksum(replays.SittingHistory(row, ())) != with_it


def test_a_few_answers_teach_nothing(desk, owner):
    sat(desk, owner, count=3)
    assert not SittingStyle.objects.exists()
    assert start(desk, owner).analyst_prior is None
    assert "Nothing yet." in desk.get("/account/answers").text
    assert "Nothing yet." in desk.get("/studio").text


def test_a_blind_second_reading_neither_uses_it_nor_teaches(desk, owner):
    first = sat(desk, owner)
    known = answering.prior_for(owner)
    assert known
    second = store.start_sitting(first.client, owner, first.kit, blind_to=first, analyst_prior=known)
    assert second.analyst_prior is None
    answer(second)
    desk.post(f"/sittings/{second.pk}/end")
    second.refresh_from_db()
    assert second.ended
    assert answering.learned_of(owner).sittings == 1
    assert not SittingStyle.objects.filter(sitting=second).exists()


def test_off_by_a_click_and_on_again(desk, owner):
    sat(desk, owner)
    page = desk.get("/account/answers").text
    assert "Your new sittings use this." in page
    assert "Estimated from 1 sitting that you ended. This is a rough estimate from few sittings." in page
    desk.post("/account/answers", {"used": "no"})
    assert not AnswerLearning.objects.get(user=owner).used
    assert start(desk, owner).analyst_prior is None
    assert "Your new sittings do not use it." in desk.get("/account/answers").text
    assert "Your new sittings do not use it." in desk.get("/studio").text
    desk.post("/account/answers", {"used": "yes"})
    assert start(desk, owner).analyst_prior["sittings"] == 1


def test_a_sitting_that_is_opened_again_counts_once_and_when_it_has_ended(desk, owner):
    row = sat(desk, owner)
    desk.post(f"/sittings/{row.pk}/open")
    assert answering.learned_of(owner).sittings == 0
    desk.post(f"/sittings/{row.pk}/end")
    assert answering.learned_of(owner).sittings == 1
    desk.post(f"/sittings/{row.pk}/open")
    for n in range(5):
        entering.undo(row, f"undo-{n}")
    desk.post(f"/sittings/{row.pk}/end")
    assert answering.learned_of(owner).sittings == 0, "four answers are left"


def test_each_consultant_is_known_by_her_own_sittings(desk, owner, stranger):
    sat(desk, owner)
    assert answering.learned_of(stranger).sittings == 0
    assert answering.prior_for(stranger) is None


def test_evidence_of_another_program_is_passed_over(desk, owner):
    sat(desk, owner)
    SittingStyle.objects.update(log_likelihoods=[0.5, None])
    assert answering.learned_of(owner).sittings == 0
    assert desk.get("/studio").status_code == 200
