"""A client's card tells their time with the studio, the latest first."""

from datetime import timedelta

from django.utils import timezone

from tenter.web.models import Access, Appointment, Client, HandedPaper, Photograph, Sitting
from tenter.web.people.thread import thread
from tests.web.conftest import browser_of


def test_what_comes_stands_above_what_was_and_the_card_is_last(owner):
    sitting = Sitting.objects.first()
    client = sitting.client
    for _ in range(2):
        Photograph.objects.create(client=client, by=owner, chart="none")
    HandedPaper.objects.create(sitting=sitting, by=owner, events=1, edits=0, at=sitting.started + timedelta(days=1))
    Appointment.objects.create(client=client, begins=timezone.now() + timedelta(days=3), visit="palette", by=owner)
    titles = [moment.title for moment in thread(owner, client)]
    assert titles[0].startswith("Expected at ")
    assert titles[1:] == ["2 photographs", "Papers written", "Sitting", "Card made"]
    page = browser_of(owner).get(f"/people/{client.pk}").text
    assert "palette and papers" in page
    assert f'href="/sittings/{sitting.pk}"' in page


def test_the_card_of_whoever_has_colours_leads_to_them_and_to_a_garment_in_one_press(owner):
    client, browser = Client.objects.create(owner=owner, name="Ada"), browser_of(owner)
    assert "Can I wear this?" not in browser.get(f"/people/{client.pk}").text
    sitting = Sitting.objects.filter(revealed_at__isnull=False).order_by("-revealed_at").first()
    page = browser.get(f"/people/{sitting.client_id}").text
    assert f'href="/sittings/{sitting.pk}/palette"' in page
    assert f'href="/sittings/{sitting.pk}/garment"' in page


def test_somebody_let_in_sees_no_sitting_hidden_from_them(owner, stranger):
    client = Client.objects.first()
    Access.objects.create(client=client, user=stranger, made_card=True)
    first = Sitting.objects.filter(client=client).first()
    Sitting.objects.create(client=client, analyst=stranger, kit=first.kit, method=first.method, seed=1, blind_to=first)
    links = [moment.link for moment in thread(stranger, client) if moment.title == "Sitting"]
    assert len(links) == 1
    assert f"/sittings/{first.pk}" not in links
