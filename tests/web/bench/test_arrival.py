"""The arrival: the timer, the face check, the teaching pair and the first pair again."""

import html
import re
from datetime import timedelta

import pytest
from django.utils import timezone

from tenter import Answer, PairJudgement
from tenter.consultation.client.arrival import CHECKS
from tenter.consultation.laid_out.teaching import teaching_pair
from tenter.web.models import Access, Arrival, Client, KitRecord
from tenter.web.store import store
from tests.support import entering
from tests.web.conftest import agreed, browser_of


@pytest.fixture
def row(owner):
    client = agreed(Client.objects.create(owner=owner, name="Ada"))
    return store.start_sitting(client, owner, KitRecord.objects.get(owner=owner), seed=3)


def send(owner, row, **said):
    return browser_of(owner).post(f"/sittings/{row.pk}/arrival", {"sat_down": "0", **said}, follow=True)


def page_of(owner, row) -> str:
    return html.unescape(browser_of(owner).get(f"/sittings/{row.pk}/arrival").text)


def test_looking_starts_nothing(owner, row):
    assert "12 minutes indoors" in page_of(owner, row)
    assert not Arrival.objects.exists()


def test_the_timer_counts_from_the_arrival(owner, row):
    page = send(owner, row).text
    assert 'data-left="7' in page  # 12 minutes are 720 seconds, a moment of which has passed
    assert "12 min" in page
    assert '<div class="settled" role="status" hidden>' in page
    page = send(owner, row, sat_down="5").text
    assert "7 min" in page


def test_the_analyst_chooses_how_long_and_the_next_sitting_begins_with_that(owner, stranger, row):
    assert '<option value="12" selected>' in page_of(owner, row)
    page = send(owner, row, minutes="20").text
    assert "20 min" in page
    assert '<option value="20" selected>' in page
    send(owner, row, sat_down="10", minutes="")  # nothing chosen leaves it
    assert "10 min" in page_of(owner, row)
    later = store.start_sitting(row.client, owner, row.kit)
    assert "20 minutes indoors" in page_of(owner, later)
    assert "20 min</span>" in send(owner, later).text
    theirs = Client.objects.create(owner=stranger, name="Ida")
    apart = store.start_sitting(theirs, stranger, row.kit)
    assert "12 minutes indoors" in page_of(stranger, apart)


def test_a_short_wait_is_over_sooner(owner, row):
    send(owner, row, minutes="5")
    entering.record_judgement(row, PairJudgement("D063", "D064", Answer.LEFT), "a")
    Arrival.objects.update(settles_from=timezone.now() - timedelta(minutes=4))
    assert "bench?cloths=D064+D063" in page_of(owner, row)
    Arrival.objects.update(settles_from=timezone.now() - timedelta(minutes=10))
    page = page_of(owner, row)
    assert '<div class="settled" role="status">' in page
    assert "bench?cloths=D064+D063" not in page  # it was judged after that wait


def test_keeping_the_check_leaves_the_timer(owner, row):
    send(owner, row, sat_down="10")
    since = Arrival.objects.get().settles_from
    send(owner, row, sat_down="", nails="plain")
    assert Arrival.objects.get().settles_from == since


def test_what_was_found_is_kept_in_words_with_a_reason_each(owner, row):
    page = html.unescape(send(owner, row, tan="fresh", lenses="tinted-in", nails="plain").text)
    assert Arrival.objects.get().checks == {"tan": "fresh", "lenses": "tinted-in", "nails": "plain"}
    assert "Better another day" in page
    reasons = {finding.word: finding.reason for check in CHECKS for finding in check.findings}
    assert reasons["fresh"] in page
    assert reasons["tinted-in"] in page
    assert reasons["plain"] not in page  # only what asks for something
    chosen = re.findall(r'<input type="radio" name="([\w-]+)" value="([\w-]+)"[^>]* checked', page)
    assert dict(chosen) == Arrival.objects.get().checks  # and stays chosen


@pytest.mark.parametrize(
    ("found", "said"), [("plain", "<strong>Go ahead</strong>"), ("coloured", "Go ahead, with changes")]
)
def test_go_and_adapt(owner, row, found, said):
    assert said in send(owner, row, nails=found).text


@pytest.mark.parametrize("said", [{"tan": "orange"}, {"sat_down": "-3"}, {"minutes": "7"}])
def test_words_of_no_list_are_refused(owner, row, said):
    page = send(owner, row, **said)
    assert page.status_code == 422
    assert 'role="alert"' in page.text
    assert not Arrival.objects.exists()


def test_nothing_but_the_list_is_kept(owner, row):
    send(owner, row, nails="plain", health="a long story", note="another")
    assert Arrival.objects.get().checks == {"nails": "plain"}
    page = page_of(owner, row)
    assert "<textarea" not in page
    assert 'type="text"' not in page, "the name of a guardian is asked with a minor alone"


def test_the_teaching_pair_is_shown_with_where_to_look(owner, row):
    page = page_of(owner, row)
    with store.load(row) as live:
        pair = teaching_pair(live.bench)
        assert live.kit[pair.brighter].name in page
        assert live.kit[pair.darker].name in page
    assert "the chin and along the jaw" in page
    assert "Ask first" in page
    entering.set_aside(row, pair.brighter, "gone")
    with store.load(row) as live:
        other = teaching_pair(live.bench, {pair.brighter})
        assert live.kit[other.brighter].name in page_of(owner, row)


def test_after_the_wait_the_first_pair_is_held_again(owner, row):
    send(owner, row)
    entering.record_judgement(row, PairJudgement("D063", "D064", Answer.LEFT), "a")
    entering.record_judgement(row, PairJudgement("D061", "D062", Answer.LEFT), "b")
    Arrival.objects.update(settles_from=timezone.now() - timedelta(minutes=11, seconds=59, milliseconds=500))
    page = page_of(owner, row)
    assert "bench?cloths=D064+D063" in page  # sides exchanged
    Arrival.objects.update(settles_from=timezone.now() - timedelta(minutes=11))
    assert '<div class="settled" role="status" hidden>' in page_of(owner, row)
    entering.record_judgement(row, PairJudgement("D064", "D063", Answer.RIGHT), "c")
    assert "bench?cloths=D064+D063" not in page_of(owner, row)  # it was


def test_a_sitting_that_began_settled_repeats_nothing(owner, row):
    Arrival.objects.create(sitting=row, settles_from=timezone.now() - timedelta(minutes=20))
    entering.record_judgement(row, PairJudgement("D063", "D064", Answer.LEFT), "a")
    assert "bench?cloths=D064+D063" not in page_of(owner, row)


def test_only_the_analyst_writes(owner, stranger, row):
    Access.objects.create(client=row.client, user=stranger)
    assert "<fieldset" not in page_of(stranger, row)
    assert send(stranger, row).status_code == 404
    assert not Arrival.objects.exists()


# -- asked first -------------------------------------------------------------------------------------------------------


def bench_of(owner, row) -> str:
    return html.unescape(browser_of(owner).get(f"/sittings/{row.pk}/bench").text)


def test_light_and_fabrics_are_asked_before_the_face_and_shown_on_the_bench(owner, row):
    page = page_of(owner, row)
    assert page.index("Bright or flickering light") < page.index("Make-up")
    assert "Light and fabrics not asked" in bench_of(owner, row)
    page = html.unescape(send(owner, row, troubles=["metal", "light"]).text)
    assert Arrival.objects.get().troubles == ["light", "metal"]
    assert "switch off whatever flickers" in page
    metal = [drape.id for drape in store.kit_of(row.kit).drapes if "lame" in drape.notes]
    assert metal
    assert all(cloth in page for cloth in metal)
    said = bench_of(owner, row)
    assert "Dim light, no flicker · metal off the skin" in said
    assert "▲ off the skin" not in said
    browser_of(owner).get(f"/sittings/{row.pk}/bench", {"cloths": " ".join((metal[0], "D001"))})
    assert bench_of(owner, row).count("▲ off the skin") == 1


def test_a_client_whom_nothing_troubles_was_asked_and_one_answer_excludes_the_other(owner, row):
    refused = send(owner, row, troubles=["wool"], nothing="on")
    assert (refused.status_code, Arrival.objects.count()) == (422, 0)
    assert "or tick that none of these does" in refused.text
    assert send(owner, row, troubles=["pollen"]).status_code == 422
    send(owner, row)
    assert Arrival.objects.get().troubles is None
    assert "Light and fabrics not asked" in bench_of(owner, row)
    send(owner, row, nothing="on")
    assert Arrival.objects.get().troubles == []
    assert "not asked" not in bench_of(owner, row)


def test_what_troubled_a_client_is_proposed_at_the_next_sitting_and_not_taken_as_asked(owner, row):
    send(owner, row, troubles=["wool"])
    later = store.start_sitting(row.client, owner, row.kit)
    assert re.findall(r'name="troubles" value="(\w+)"[^>]* checked', page_of(owner, later)) == ["wool"]
    assert "Light and fabrics not asked" in bench_of(owner, later)


def test_with_a_minor_a_guardian_is_named_as_present_and_the_result_is_provisional(owner, row):
    Client.objects.filter(pk=row.client_id).update(minor=True)
    assert "Under 18: the result is provisional" in page_of(owner, row)
    assert "Begin once a parent or guardian is present" in page_of(owner, row)
    assert "Under 18: provisional · no guardian noted · light and fabrics not asked" in bench_of(owner, row)
    page = send(owner, row, guardian="Orla Venn", nothing="on").text
    assert "Orla Venn is present" in page
    assert Arrival.objects.get().guardian == "Orla Venn"
    assert "Under 18: provisional · Orla Venn</span>" in bench_of(owner, row)


def test_whoever_goes_to_the_bench_keeps_what_was_ticked_and_nothing_where_nothing_was(owner, row):
    page = send(owner, row, then="bench")
    assert page.redirect_chain == [(f"/sittings/{row.pk}/bench", 302)]
    assert not Arrival.objects.exists()
    send(owner, row, then="bench", troubles=["wool"])
    assert Arrival.objects.get().troubles == ["wool"]


def test_one_press_answers_what_is_usual_and_leaves_the_flush(owner, row):
    send(owner, row, usual="on", glasses="on")
    assert Arrival.objects.get().checks == {
        "make-up": "none",
        "lenses": "none",
        "tan": "none",
        "glasses": "on",
        "nails": "plain",
    }


def test_whoever_agreed_for_a_minor_today_is_proposed_as_present(owner, row):
    Client.objects.filter(pk=row.client_id).update(minor=True)
    assert 'value="Orla Venn"' in page_of(owner, row)  # as `agreed` says
    row.client.consents.update(at=timezone.now() - timedelta(days=1))
    assert 'value="Orla Venn"' not in page_of(owner, row)
