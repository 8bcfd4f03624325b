"""A second reading is blind: until it has ended, nothing of what others read can be seen by whoever holds it."""

from datetime import timedelta

import pytest
from django.urls import URLPattern, get_resolver, reverse
from django.utils import timezone

import tenter
from tenter.web.models import Access, Associate, Client, Sitting
from tenter.web.rules import access
from tenter.web.store import store, turns
from tests.support import entering
from tests.web.conftest import browser_of

OF_A_SITTING = [
    p.name
    for p in get_resolver().url_patterns
    if isinstance(p, URLPattern) and str(p.pattern).startswith("sittings/<int:pk>")
]
PAIRS = [("D001", "D002"), ("D010", "D020"), ("D030", "D040"), ("D050", "D060")]


@pytest.fixture
def associate(owner, person):
    user = person("Bea Thorn")
    Associate.objects.create(owner=owner, user=user)
    return user


@pytest.fixture
def first(owner):
    client = Client.objects.get(name="Ilse Varnholt")
    client.note = "a soft summer, surely"
    client.save()
    return client.sittings.get()


@pytest.fixture
def second(owner, associate, first):
    """The blind second reading, asked for by the owner on the page that is for it."""
    Access.objects.create(client=first.client, user=associate)
    browser_of(owner).post(reverse("second", args=[first.pk]), {"analyst": associate.pk})
    return Sitting.objects.get(blind_to=first)


def answer(row, wins=tenter.Answer.LEFT, pairs=PAIRS):
    for left, right in pairs:
        number = row.events.count()
        entering.record_judgement(row, tenter.PairJudgement(left, right, wins, strength=2), f"test-{number}")


def end(row):
    row.refresh_from_db()
    row.ended = row.revealed_at = timezone.now()
    row.save()


def table(page):
    return page.text.partition("<tbody>")[2].partition("</tbody>")[0]


def seen_by(user):
    return set(access.sittings(user).values_list("pk", flat=True))


# -- what is hidden ----------------------------------------------------------------------------------------------------


def test_the_walk_covers_the_addresses_of_a_sitting():
    assert {"sitting", "second", "agreement"} <= set(OF_A_SITTING)


def test_a_second_reading_is_held_on_the_same_kit_by_the_same_method(second, first, associate):
    assert (second.analyst, second.client, second.kit, second.method) == (
        associate,
        first.client,
        first.kit,
        first.method,
    )
    assert second.events.count() == 0


@pytest.mark.parametrize("name", OF_A_SITTING)
def test_every_address_of_the_first_is_closed(first, second, associate, name):
    browser = browser_of(associate)
    assert browser.get(reverse(name, args=[first.pk])).status_code in {404, 405}
    assert browser.post(reverse(name, args=[first.pk])).status_code in {404, 405}


def test_the_sitting_itself_is_answered_404(first, second, associate):
    assert browser_of(associate).get(reverse("sitting", args=[first.pk])).status_code == 404
    assert browser_of(associate).get(reverse("sitting", args=[second.pk])).status_code == 200


def test_no_list_holds_the_first(first, second, associate):
    browser = browser_of(associate)
    link = f'href="{reverse("sitting", args=[first.pk])}'
    for address in ("/day", "/sittings", reverse("person", args=[first.client_id])):
        assert link not in browser.get(address).text, address
    assert "1 sitting ·" in browser.get("/people").text
    assert seen_by(associate) == {second.pk}


def test_the_note_is_closed_and_cannot_be_overwritten_unread(first, second, associate):
    browser = browser_of(associate)
    edit = reverse("person-edit", args=[first.client_id])
    assert "soft summer" not in browser.get(reverse("person", args=[first.client_id])).text
    assert browser.get(edit).status_code == 404
    assert browser.post(edit, {"name": "x", "note": ""}).status_code == 404
    assert Client.objects.get(pk=first.client_id).note == "a soft summer, surely"


def test_what_a_third_read_of_the_client_is_hidden_too(owner, first, second, associate):
    third = store.start_sitting(first.client, owner, first.kit)
    assert third.pk not in seen_by(associate)


def test_other_clients_stay_visible(owner, first, second, associate):
    other = Client.objects.exclude(pk=first.client_id).first()
    access.let_in(associate, other)
    assert other.sittings.get().pk in seen_by(associate)


def test_the_first_analyst_sees_the_second_once_her_own_has_ended(owner, first, second):
    assert second.pk in seen_by(owner)
    Sitting.objects.filter(pk=first.pk).update(ended=None, revealed_at=None)
    assert second.pk not in seen_by(owner)
    assert first.pk in seen_by(owner)


def test_an_end_alone_opens_nothing(first, second, associate):
    Sitting.objects.filter(pk=second.pk).update(ended=timezone.now())
    browser = browser_of(associate)
    assert browser.get(reverse("sitting", args=[first.pk])).status_code == 404
    assert "soft summer" not in browser.get(reverse("person", args=[first.client_id])).text
    assert seen_by(associate) == {second.pk}


@pytest.mark.parametrize("field", ["compared_at", "revealed_at"])
def test_it_opens_when_the_second_was_compared_or_its_odds_were_seen(first, second, associate, field):
    Sitting.objects.filter(pk=second.pk).update(**{field: timezone.now()})
    browser = browser_of(associate)
    assert browser.get(reverse("sitting", args=[first.pk])).status_code == 200
    assert "soft summer" in browser.get(reverse("person", args=[first.client_id])).text
    assert seen_by(associate) == {first.pk, second.pk}


@pytest.mark.parametrize("field", ["compared_at", "revealed_at"])
def test_a_reading_whose_odds_are_seen_this_very_moment_stays_closed(first, second, associate, field):
    turns.end(second, associate)
    held = Sitting.objects.get(pk=second.pk)  # as a page has it that was asked for a moment ago
    assert not held.stays_closed
    Sitting.objects.filter(pk=second.pk).update(**{field: timezone.now()})
    turns.open_again(held, associate)
    second.refresh_from_db()
    assert second.ended is not None
    assert second.closed
    apart = store.start_sitting(first.client, first.analyst, first.kit)
    turns.end(apart, first.analyst)
    Sitting.objects.filter(pk=apart.pk).update(revealed_at=timezone.now())
    turns.open_again(apart, first.analyst)  # nobody reads beside it, so that its odds close nothing
    apart.refresh_from_db()
    assert apart.ended is None


# -- who asks whom -----------------------------------------------------------------------------------------------------


def test_asking_lets_the_associate_in(owner, associate, first):
    browser_of(owner).post(reverse("second", args=[first.pk]), {"analyst": associate.pk})
    assert Access.objects.filter(client=first.client, user=associate).exists()
    assert str(first.client) in browser_of(associate).get("/day").text


def test_nobody_reads_a_client_twice_or_from_outside(owner, associate, stranger, first, second):
    address = reverse("second", args=[first.pk])
    for user in (owner, associate, stranger):
        page = browser_of(owner).post(address, {"analyst": user.pk})
        assert "fault-line" in page.text or "There is nobody to ask" in page.text
    assert Sitting.objects.filter(blind_to=first).count() == 1
    assert browser_of(owner).get(reverse("second", args=[second.pk])).status_code == 404


def test_only_the_owner_asks(associate, owner, first):
    access.let_in(associate, first.client)
    address = reverse("second", args=[first.pk])
    assert browser_of(associate).get(address).status_code == 404
    assert browser_of(associate).post(address, {"analyst": associate.pk}).status_code == 404


# -- agreement ---------------------------------------------------------------------------------------------------------


def test_agreement_waits_for_both(owner, first, second, associate):
    answer(second)
    assert "nothing to compare" in browser_of(owner).get(reverse("agreement", args=[first.pk])).text
    assert browser_of(associate).get(reverse("agreement", args=[first.pk])).status_code == 404
    assert "not finished" in browser_of(owner).get("/studio").text


@pytest.mark.django_db(transaction=True)
def test_both_analysts_see_how_they_agree_axis_by_axis(owner, first, second, associate):
    answer(second)
    end(second)
    with store.load(first) as one, store.load(second) as other:
        means = [live.estimates() for live in (one, other)]
    for user in (owner, associate):
        page = browser_of(user).get(reverse("agreement", args=[second.pk])).text
        for axis, estimate in means[0].items():
            assert f"{estimate.mean:+.2f}".replace("-", "−") in page
            assert f"{estimate.mean - means[1][axis].mean:+.2f}".replace("-", "−") in page
    assert f'href="{reverse("agreement", args=[second.pk])}"' in browser_of(owner).get("/studio").text


@pytest.mark.django_db(transaction=True)
def test_what_is_entered_after_the_odds_were_seen_was_not_read_apart(owner, first, second):
    answer(second, pairs=PAIRS[:2])
    end(second)
    address = reverse("agreement", args=[second.pk])
    before = table(browser_of(owner).get(address))
    second.events.filter(number=2).update(at=second.revealed_at)
    opened = Sitting.objects.filter(pk=second.pk)
    opened.update(ended=None, revealed_at=None)  # as before an end closed a reading for good
    answer(second, tenter.Answer.RIGHT, PAIRS[2:])
    second.events.filter(number__gt=2).update(at=second.revealed_at + timedelta(seconds=1))
    opened.update(ended=second.ended, revealed_at=second.revealed_at)
    assert "undertone" in before
    assert table(browser_of(owner).get(address)) == before
    with store.load(second) as live:
        assert len(live.entries) == len(PAIRS)


def test_a_reading_without_an_entry_is_not_compared(owner, first, second):
    end(second)
    assert (
        "one of them has no answers about cloths" in browser_of(owner).get(reverse("agreement", args=[second.pk])).text
    )
    assert "0 double readings" in browser_of(owner).get("/studio/agreement").text


@pytest.mark.django_db(transaction=True)
def test_the_studio_says_how_many_and_nothing_from_too_few(owner, first, second):
    answer(second)
    end(second)
    page = browser_of(owner).get("/studio/agreement").text
    assert "1 double reading<" in page
    assert page.count("too few to say") == 6
    assert "Bea Thorn − Wenna Castrall" in page
    assert "one reading shows no spread" in page


@pytest.mark.django_db(transaction=True)
def test_five_double_readings_of_the_same_eye_agree_perfectly(owner, associate):
    for first in list(Sitting.objects.all()):
        access.let_in(associate, first.client)
        row = store.start_sitting(first.client, associate, first.kit, first.method, seed=first.seed, blind_to=first)
        for event in first.events.order_by("number"):
            event.pk, event.sitting, event.at = None, row, timezone.now()
            event.save()
        end(row)
    page = browser_of(owner).get("/studio/agreement").text
    assert "5 double readings" in page
    assert page.count("<td>+1.00</td><td>5</td>") == 6
    assert page.count("0.00 ± 0.00") == 3
