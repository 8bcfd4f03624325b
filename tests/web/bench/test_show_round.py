"""The show round after the reveal: seen on the client, kept, undone there alone, and no probability moves."""

import html
import re
from itertools import count

import pytest
from django.utils import timezone

from tenter.consultation.sitting.show_round import show_round, showings
from tenter.web.backups.backup import write_backup
from tenter.web.backups.restore import restore
from tenter.web.models import Associate, Client, Sitting
from tenter.web.store import store
from tests.web.conftest import browser_of

_KEYS = count()


@pytest.fixture
def row(going_on):
    return going_on


@pytest.fixture
def send(owner, row):
    """Send what the page would, and return what it is answered."""
    browser = browser_of(owner)

    def sent(**said):
        now = browser.get(f"/sittings/{row.pk}/show/state").json()
        said = {"key": f"show-{next(_KEYS)}", "seen": now.get("event", 0)} | said
        return browser.post(f"/sittings/{row.pk}/show/entry", said, headers={"accept": "application/json"})

    return sent


def shown(row):
    with store.load(row) as live:
        return showings(live.entries)


def test_the_page_holds_up_the_first_cloth_and_lists_the_round(owner, row):
    with store.load(row) as live:
        offers = show_round(live)
    page = html.unescape(browser_of(owner).get(f"/sittings/{row.pk}/show").text)
    assert f'data-cloth="{offers[0].drape.id}"' in page
    assert f"0 of {len(offers)}" in page
    assert all(f"{o.drape.id} {o.drape.name}" in page for o in offers)


def test_one_key_keeps_an_answer_and_the_next_cloth_is_held_up(row, send):
    with store.load(row) as live:
        first, second, *_ = (o.drape.id for o in show_round(live))
        before = live.probabilities()
    now = send(act="shown away", cloths=first).json()
    assert (now["saved"], now["cloth"]["id"], now["answered"]) == (True, second, 1)
    assert f"{first} " in now["last"]
    assert now["last"].endswith("shown: away from the face")
    [judgement] = shown(row)
    assert (judgement.worth, judgement.cloths) == ("away", (first,))
    store.forget_sittings()
    with store.load(row) as live:
        assert live.probabilities() == before


def test_it_works_as_a_plain_form(owner, row):
    browser = browser_of(owner)
    page = browser.get(f"/sittings/{row.pk}/show").text
    fields = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', page.split("</form>")[0]))
    sent = browser.post(f"/sittings/{row.pk}/show/entry", fields | {"act": "shown best"})
    assert (sent.status_code, sent.url) == (302, f"/sittings/{row.pk}/show")
    assert [j.worth for j in shown(row)] == ["best"]


def test_what_was_brought_is_kept_by_its_name_and_its_kind_is_offered_again(owner, row, send):
    now = send(act="brought yes", brought="lipstick", name="  Rosewood, matt ").json()
    assert (now["brought"], now["kind"]) == (
        [{"entry": 3, "kind": "lipstick", "name": "Rosewood, matt", "answer": "yes"}],
        "lipstick",
    )
    assert "Rosewood, matt" in browser_of(owner).get(f"/sittings/{row.pk}/show").text


@pytest.mark.parametrize(
    ("said", "problem"),
    [
        ({"act": "brought yes", "brought": "hat", "name": "straw"}, "garment"),
        ({"act": "brought yes", "brought": "garment", "name": " "}, "needs a name"),
        ({"act": "brought lovely", "brought": "garment", "name": "coat"}, "lovely"),
        ({"act": "shown best", "cloths": "D999"}, "D999"),
        ({"act": "shown best", "cloths": ""}, "one cloth of the kit"),
        ({"act": "take-back"}, "nothing left to take back in the show round"),
    ],
)
def test_what_cannot_be_is_said_and_nothing_is_kept(row, send, said, problem):
    answer = send(**said)
    assert answer.status_code == 422
    assert problem in answer.json()["problem"]
    assert shown(row) == ()


def test_what_was_shown_is_taken_back_and_no_answer_of_the_bench(row, send):
    send(act="brought no", brought="frames", name="tortoiseshell")
    assert send(act="take-back").json()["undoes"] is False
    assert shown(row) == ()
    assert send(act="take-back").status_code == 422
    with store.load(row) as live:
        assert len(live.evidence) == 2


def test_a_cloth_of_ones_own_choice_is_held_up(owner, row):
    browser = browser_of(owner)
    assert browser.get(f"/sittings/{row.pk}/show/state?cloths=D001").json()["cloth"]["id"] == "D001"
    assert browser.get(f"/sittings/{row.pk}/show?cloths=D999").status_code == 422


def test_before_the_reveal_there_is_none(owner, row, send):
    Sitting.objects.filter(pk=row.pk).update(revealed_at=None)
    assert browser_of(owner).get(f"/sittings/{row.pk}/show").url == f"/sittings/{row.pk}/verdict"
    assert browser_of(owner).get(f"/sittings/{row.pk}/show/state").status_code == 422
    row.refresh_from_db()
    for said in ({"act": "shown best", "cloths": "D001"}, {"act": "brought no", "brought": "hair", "name": "ash"}):
        assert "only after the verdict is revealed" in send(**said).json()["problem"]
    assert shown(row) == ()


def test_after_the_end_nothing_more_is_shown_until_it_is_opened_again(owner, row, send):
    Sitting.objects.filter(pk=row.pk).update(ended=timezone.now())
    assert send(act="shown best", cloths="D001").status_code == 409
    assert shown(row) == ()
    assert "Open it again" in browser_of(owner).get(f"/sittings/{row.pk}/show").text


def test_only_its_analyst_shows(owner, row, person):
    associate = person("Bea Thorn")
    Associate.objects.create(owner=owner, user=associate)
    row.client.accesses.create(user=associate)
    assert browser_of(associate).get(f"/sittings/{row.pk}").status_code == 200
    assert browser_of(associate).get(f"/sittings/{row.pk}/show").status_code == 404


@pytest.mark.usefixtures("folder", "replayed_once")
def test_a_backup_brings_it_back(owner, row, send, tmp_path):
    owner.is_superuser = True
    owner.save()
    Client.objects.exclude(pk=row.client_id).delete()
    send(act="shown best", cloths="D026")
    send(act="brought away", brought="garment", name="grey blazer")
    before = shown(row)
    assert len(before) == 2
    write_backup(tmp_path / "all.zip")
    restore(tmp_path / "all.zip", replace=True)
    store.forget_sittings()
    assert shown(Sitting.objects.get(pk=row.pk)) == before
