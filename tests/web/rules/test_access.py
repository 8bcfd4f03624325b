"""To anybody else a row does not exist."""

import pytest
from django.urls import URLPattern, get_resolver, reverse
from django.utils import timezone

from tenter.consultation.cloths.kit_rows import kit_template
from tenter.report.own_words.studio_picture import studio_picture
from tenter.web.devices import door
from tenter.web.models import (
    Access,
    Appointment,
    Client,
    ClothPhotograph,
    HandedPaper,
    KeptLight,
    KeptReading,
    KitRecord,
    LearnedPhone,
    MethodRecord,
    PairedDevice,
    Photograph,
    PhotoSeries,
    Sitting,
    SnippetRecord,
    StartedKit,
    StudioText,
    ThingPhotograph,
    WardrobePiece,
)
from tenter.web.pictures import pictures
from tenter.web.store import store
from tests.support.photo_studio import portrait
from tests.web.conftest import browser_of

PATTERNS = [p for p in get_resolver().url_patterns if isinstance(p, URLPattern)]
# What the number in an address counts, by the words before it.
ROWS = {
    "appointments": Appointment,
    "people": Client,
    "kit": KitRecord,
    "kit/methods": MethodRecord,
    "kit/cloths": ClothPhotograph,
    "kit/started": StartedKit,
    "sittings": Sitting,
    "series": PhotoSeries,
    "photographs": Photograph,
    "phones": LearnedPhone,
    "stock": SnippetRecord,
    "garments": ThingPhotograph,
    "pieces": WardrobePiece,
    "handed": HandedPaper,
    "readings": KeptReading,
    "light": KeptLight,
    "studio/devices": PairedDevice,
    "studio/words/picture": StudioText,
}
OF_A_ROW = {p.name: ROWS[str(p.pattern).split("/<int:pk>")[0]] for p in PATTERNS if "<int:pk>" in str(p.pattern)}
# The screen to whoever knows a token nobody guesses. A device's addresses exist on the network alone: see
# test_network_door.py.
ON_NETWORK = door.TO_ALL | {"device", "device-state", "device-camera", "device-label"}
OPEN = {"welcome", "passphrase-strength", "sandbox", "login", "client-screen", "client-events"} | ON_NETWORK


@pytest.fixture(scope="module")
def logo():
    """A studio's picture, made ready once for every address."""
    return studio_picture(portrait())


@pytest.fixture
def owner(owner, logo):
    """The owner with a row of every kind."""
    store.add_method(owner, 'extends = "four-seasons"')
    shot = Photograph.objects.create(client=Client.objects.first(), by=owner, chart="none")
    rack = ClothPhotograph.objects.create(owner=owner, by=owner, chart="classic24", state="done")
    sitting = Sitting.objects.first()
    Appointment.objects.create(client=sitting.client, begins=timezone.now(), by=owner)
    thing = ThingPhotograph.objects.create(sitting=sitting, by=owner, chart="none", state="done", kept=True)
    WardrobePiece.objects.create(client=sitting.client, by=owner, name="blazer", kind="layer", colour="navy")
    HandedPaper.objects.create(sitting=sitting, by=owner, events=sitting.events.count(), edits=0)
    for row in (shot, rack, thing):
        pictures.keep_picture(row.name, portrait())
    lab = {"lab": [50, 0, 0], "illuminant": "D65", "observer": "10"}
    told = {"cloth": "D001", "day": "2026-11-01", "given_as": "Lab"} | lab
    KeptReading.objects.create(kit=sitting.kit, cloth="D001", day="2026-11-01", document=told, by=owner, key="one")
    StartedKit.objects.create(owner=owner, by=owner, name="one", csv=kit_template(), illuminant="D65", observer="10")
    KeptLight.objects.create(owner=owner, values={"basis": "meter", "cct": 5600}, by=owner, key="one")
    PhotoSeries.objects.create(client=shot.client, by=owner, chart="none", state="failed")
    LearnedPhone.objects.create(owner=owner, by=owner, phone="my-phone", chart="classic24", state="failed")
    PairedDevice.objects.create(owner=owner, user=owner, right="camera", name="phone", hashed="one")
    SnippetRecord.objects.create(owner=owner, drawer="1", name="one", lab=[50, 0, 0], illuminant="D65", observer="10")
    StudioText.objects.create(
        owner=owner, by=owner, number=1, topic="logo", picture=logo.content, width=logo.size[0], height=logo.size[1]
    )
    return owner


def test_no_address_escapes_the_walk():
    assert len(PATTERNS) == len(get_resolver().url_patterns)
    assert {"person", "person-edit", "kit", "sitting"} <= set(OF_A_ROW)


@pytest.mark.parametrize("name", OF_A_ROW)
def test_a_stranger_finds_nothing(owner, stranger, name):
    row = OF_A_ROW[name].objects.first()
    address = reverse(name, args=[row.pk])
    assert browser_of(owner).get(address).status_code in {200, 302, 405, 409}  # 409: before the reveal
    strange = browser_of(stranger)
    answers = {strange.get(address).status_code, strange.post(address).status_code}
    assert 404 in answers
    assert answers <= {404, 405}  # an address that takes one way only says so to everybody


@pytest.mark.parametrize("name", [p.name for p in PATTERNS if p.name not in OPEN])
def test_nobody_comes_in_without_logging_in(owner, client, name):
    number = [OF_A_ROW[name].objects.first().pk] if name in OF_A_ROW else []
    answer = client.get(reverse(name, args=number))
    assert answer.status_code in (302, 405)
    if answer.status_code == 302:
        assert answer.url.startswith(("/login", "/day"))


def test_a_stranger_cannot_start_a_sitting_of_anothers_client(owner, stranger):
    said = {"client": Client.objects.first().pk, "kit": KitRecord.objects.first().pk, "method": "four-by-three"}
    answer = browser_of(stranger).post("/sittings/start", said)
    assert answer.status_code == 400
    assert Sitting.objects.count() == 5


def test_an_associate_sees_the_client_and_her_sittings_and_no_other(owner, stranger):
    shared, other = Client.objects.all()[:2]
    Access.objects.create(client=shared, user=stranger)
    browser = browser_of(stranger)
    assert browser.get(reverse("person", args=[shared.pk])).status_code == 200
    assert browser.get(reverse("sitting", args=[shared.sittings.get().pk])).status_code == 200
    assert browser.get(reverse("person", args=[other.pk])).status_code == 404
    assert browser.get(reverse("sitting", args=[other.sittings.get().pk])).status_code == 404
    assert str(other) not in browser.get("/people").text


def test_lists_hold_ones_own_rows_only(owner, stranger):
    for address, word in (("/people", "Ilse Varnholt"), ("/kit", "Demo kit"), ("/sittings", "Ilse Varnholt")):
        assert word in browser_of(owner).get(address).text
        assert word not in browser_of(stranger).get(address).text
