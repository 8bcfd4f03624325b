"""The day: who comes by the clock, somebody without an appointment, and what needs care."""

import re
from datetime import datetime, timedelta

import pytest
from django.utils import timezone

from tenter.consultation.client.consent import Purpose
from tenter.web.models import Appointment, Client, KitRecord, Photograph, Sitting
from tenter.web.rules import consents
from tenter.web.sent import named_client
from tests.web.conftest import browser_of


def at(hour: int, minute: int = 0) -> datetime:
    return timezone.localtime().replace(hour=hour, minute=minute, second=0, microsecond=0)


def book(owner, client, begins, **more):
    return Appointment.objects.create(client=client, begins=begins, by=owner, **more)


def start(browser, client, **more):
    return browser.post("/sittings/start", {"client": client.pk, **more})


def test_appointments_stand_in_the_order_of_the_clock_and_one_action_has_weight(owner):
    late, early = Client.objects.all()[:2]
    book(owner, late, at(23, 50))
    book(owner, early, at(0, 10), visit="palette")
    page = browser_of(owner).get("/day").text
    assert page.index(early.name) < page.index(late.name)
    assert "palette and papers" in page
    assert page.count("<button>Start") == 1  # the other Start buttons are quiet


def test_a_sitting_stands_in_the_line_of_its_appointment(owner):
    client = Client.objects.first()
    book(owner, client, at(0, 5))
    book(owner, client, at(23, 55), visit="garments")
    browser = browser_of(owner)
    start(browser, client)
    page = browser.get("/day").text
    assert page.count('class="clock"') == 2
    assert page.count("Continue") == 1
    assert "arriving" in page


def test_who_sits_without_a_verdict_has_the_days_one_button(owner):
    shown, blind = Client.objects.all()[:2]
    browser = browser_of(owner)
    for client in (shown, blind):
        start(browser, client)
    Sitting.objects.filter(client=shown, ended=None).update(revealed_at=timezone.now())
    [weight] = re.findall(r'<li class="next">(.*?)</li>', browser.get("/day").text, re.DOTALL)
    assert blind.name in weight


def test_an_appointment_is_made_and_crossed_out(owner):
    browser, client = browser_of(owner), Client.objects.first()
    said = {"client": client.pk, "begins": f"{at(23, 58):%Y-%m-%dT%H:%M}", "minutes": 60, "visit": "online"}
    page = browser.post("/appointments", said, follow=True)
    assert "comes on" in page.text
    row = Appointment.objects.get()
    assert (row.minutes, row.what_for, row.by) == (60, "online, by photograph", owner)
    assert "crossed out" in browser.post(f"/appointments/{row.pk}/remove", follow=True).text
    assert not Appointment.objects.exists()


def test_somebody_new_gets_a_card_with_the_appointment(owner):
    browser, said = browser_of(owner), {"begins": f"{at(23, 58):%Y-%m-%dT%H:%M}", "minutes": 90, "visit": "analysis"}
    listed = {"client": Client.objects.first().pk}  # a list has always somebody
    assert (
        "Ada Quill comes on" in browser.post("/appointments", said | listed | {"new": " Ada  Quill "}, follow=True).text
    )
    assert Appointment.objects.get().client.name == "Ada Quill"
    again = browser.post("/appointments", said | {"new": "ADA QUILL"})
    assert "ADA QUILL is on file: choose them above." in again.text
    assert "Say who comes." in browser.post("/appointments", said).text
    Client.objects.all().delete()
    assert '<select name="client"' not in browser.get("/appointments").text


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"begins": "2020-01-01T10:00"}, "That day is over"),
        ({"begins": "soon"}, "Enter a valid date/time"),
        ({"minutes": 5}, "greater than or equal to 10"),
        ({"visit": "tea"}, "not one of the available choices"),
    ],
)
def test_an_appointment_that_cannot_be_is_refused(owner, wrong, said):
    good = {"client": Client.objects.first().pk, "begins": f"{at(23):%Y-%m-%dT%H:%M}", "minutes": 90, "visit": "again"}
    answer = browser_of(owner).post("/appointments", good | wrong)
    assert answer.status_code == 422
    assert said in answer.text
    assert not Appointment.objects.exists()


def test_what_needs_care_is_said_and_nothing_else(owner):
    browser = browser_of(owner)
    page = browser.get("/day").text
    assert "The light has not been checked today." in page
    assert "left open" not in page
    client = Client.objects.first()
    start(browser, client)
    Sitting.objects.filter(ended=None).update(started=timezone.now() - timedelta(days=3))
    Photograph.objects.create(client=client, by=owner, chart="none", deletes_on=timezone.localdate())
    page = browser.get("/day").text
    assert "was left open" in page
    assert "1 photograph will be deleted by tomorrow." in page


# -- somebody without an appointment -----------------------------------------------------------------------------------


def test_a_name_and_one_yes_lead_to_the_arrival(owner):
    browser = browser_of(owner)
    asked = browser.post("/day/walk-in", {"name": "  Ada   Quill "}, follow=True)
    client = Client.objects.get(name="Ada Quill")
    assert asked.redirect_chain == [(f"/people/{client.pk}/agree", 302)]
    assert "I agree to a colour analysis." in asked.text
    assert not Sitting.objects.filter(client=client).exists()
    arrived = browser.post(f"/people/{client.pk}/agree", follow=True)
    row = Sitting.objects.get(client=client)
    assert arrived.redirect_chain == [(f"/sittings/{row.pk}/arrival", 302)]
    assert consents.may(client, Purpose.ANALYSIS)
    assert not consents.may(client, Purpose.MEASURE)


def test_whoever_has_an_appointment_and_never_agreed_is_asked_and_sits_on_what_was_chosen(owner):
    browser, client = browser_of(owner), Client.objects.create(owner=owner, name="Ada Quill")
    asked = start(browser, client, method="four-seasons")
    assert (asked.status_code, asked.url) == (302, f"/people/{client.pk}/agree?method=four-seasons")
    browser.post(asked.url)
    assert client.sittings.get().method == "four-seasons"


def test_a_name_on_file_asks_which_of_them_is_meant(owner):
    known = Client.objects.first()
    browser = browser_of(owner)
    asked = browser.post("/day/walk-in", {"name": known.name.upper()})
    assert asked.status_code == 409
    assert f'value="{known.pk}"' in asked.text
    browser.post("/day/walk-in", {"name": known.name.upper(), "new": "on"})
    assert Client.objects.filter(name=known.name.upper()).exists()


@pytest.mark.parametrize(("name", "said"), [("", "Write a name."), ("12 / 3", "A name needs a letter.")])
def test_a_walk_in_needs_a_name(owner, name, said):
    answer = browser_of(owner).post("/day/walk-in", {"name": name})
    assert answer.status_code == 400
    assert said in answer.text


def test_a_minor_is_asked_with_a_guardian(owner):
    client = Client.objects.create(owner=owner, name="Wren", minor=True)
    browser = browser_of(owner)
    for answer in (browser.get(f"/people/{client.pk}/agree"), browser.post(f"/people/{client.pk}/agree")):
        assert (answer.status_code, answer.url) == (302, f"/people/{client.pk}/consents")
    assert not client.sittings.exists()


# -- a client among many -----------------------------------------------------------------------------------------------


def test_few_clients_are_a_list_and_many_are_typed_with_the_last_ones_offered(owner, monkeypatch):
    browser, last = browser_of(owner), Client.objects.get(name="Maren Tolliver")
    assert '<select name="client"' in browser.get("/sittings/new").text
    monkeypatch.setattr(named_client, "MOST_LISTED", 3)
    start(browser, last)
    for path in ("/sittings/new", "/appointments"):
        page = browser.get(path).text
        assert '<select name="client"' not in page
        [offered] = re.findall(r'<datalist id="client-names">(.*?)</datalist>', page)
        assert offered.startswith('<option value="Maren Tolliver">')
        assert offered.count("<option") == 3
    assert 'value="Maren Tolliver" ' in browser.get(f"/appointments?client={last.pk}").text


def test_a_part_of_a_name_is_enough_unless_several_have_it(owner, stranger, monkeypatch):
    monkeypatch.setattr(named_client, "MOST_LISTED", 3)
    browser = browser_of(owner)
    twins = [Client.objects.create(owner=owner, name="Ada Quíll") for _ in range(2)]
    Client.objects.create(owner=stranger, name="Adam Brook")
    Client.objects.create(owner=owner, name="Ada Quill Farnham")
    for twin in twins:
        consents.give_consent(twin, [Purpose.ANALYSIS], None, owner)

    def sent(said):
        return browser.post("/sittings/start", {"client": said}, follow=True)

    assert "arrival" in sent("toll mar").redirect_chain[-1][0]
    for said, count in (("ada quill", 2), ("ada", 3)):
        asked = sent(said)
        assert f"{count} clients have" in asked.text
        assert f'<option value="{twins[1].pk}">Ada Quíll #{twins[1].pk}</option>' in asked.text
    assert not Sitting.objects.filter(client__in=twins).exists()
    sent(f"Ada Quill #{twins[1].pk}")
    sent(str(twins[0].pk))
    assert [Sitting.objects.filter(client=twin).count() for twin in twins] == [1, 1]
    assert "No client has “brook” in their name." in sent("brook").text
    assert "clients have “a” in their name. Write more of it." in sent("a").text


# -- the kit and the method are remembered -----------------------------------------------------------------------------


def test_the_last_kit_and_method_are_taken_where_none_is_said(owner):
    browser, client = browser_of(owner), Client.objects.first()
    first = KitRecord.objects.get()
    KitRecord.objects.create(owner=owner, name="Newer", csv=first.csv)
    start(browser, client, kit=first.pk, method="depth-first")
    start(browser, client)
    again = Sitting.objects.order_by("-pk").first()
    assert (again.kit, again.method) == (first, "depth-first")


def test_a_start_without_any_kit_is_refused_in_words(stranger):
    client = Client.objects.create(owner=stranger, name="Ada")
    consents.give_consent(client, [Purpose.ANALYSIS], None, stranger)
    answer = start(browser_of(stranger), client)
    assert answer.status_code == 400
    assert not Sitting.objects.exists()


# -- the way back ------------------------------------------------------------------------------------------------------


def test_every_other_page_leads_back_to_a_sitting_that_goes_on(owner):
    browser, client = browser_of(owner), Client.objects.first()
    start(browser, client)
    row = Sitting.objects.get(ended=None)
    back = f'href="/sittings/{row.pk}/resume"'
    assert back in browser.get("/kit").text
    assert 'class="resume"' not in browser.get(f"/sittings/{row.pk}/arrival").text
    assert browser.get(f"/sittings/{row.pk}/resume").url == f"/sittings/{row.pk}/arrival"
    row.ended = timezone.now()
    row.save()
    assert 'class="resume"' not in browser.get("/kit").text
    assert browser.get(f"/sittings/{row.pk}/resume").url == f"/sittings/{row.pk}"


def test_a_sitting_with_entries_goes_on_at_the_bench(owner):
    row = Sitting.objects.filter(client__owner=owner).first()
    Sitting.objects.filter(pk=row.pk).update(ended=None, revealed_at=None)
    assert browser_of(owner).get(f"/sittings/{row.pk}/resume").url == f"/sittings/{row.pk}/bench"
    Sitting.objects.filter(pk=row.pk).update(revealed_at=timezone.now())
    assert browser_of(owner).get(f"/sittings/{row.pk}/resume").url == f"/sittings/{row.pk}/verdict"


def test_of_many_open_sittings_the_latest_two_are_named_and_the_others_counted(owner):
    browser = browser_of(owner)
    for client in list(Client.objects.all()[:3]):
        start(browser, client)
    page = browser.get("/kit").text
    assert page.count("has been sitting since") == 2
    assert "All 3 open sittings" in page
