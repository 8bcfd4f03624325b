"""Once the client takes the consent to the analysis back, nothing is measured, written or handed over for them."""

import pytest
from django.apps import apps
from django.contrib.sessions.models import Session
from django.urls import get_resolver, reverse
from django.utils.html import escape

from tenter.consultation.client.consent import Purpose
from tenter.web.archives import client_archive_files
from tenter.web.models import Client, HandedPaper, Photograph, PhotoSeries, SeriesFrame, ThingPhotograph, WardrobePiece
from tenter.web.pictures import queue
from tenter.web.rules import consents
from tests.support.photo_studio import sent
from tests.web.conftest import agreed

pytestmark = pytest.mark.usefixtures("folder")

# What is refused, by the row that its address names. Of a page that shows and writes, the writing is.
FILES = ("papers", "print-papers", "sheet", "swatches", "phone-page", "lock-screen", "palette-changes", "for-programs")
GET = {
    "sitting": (*FILES, "mail-draft", "garment"),
    "client": ("one-face",),
    "handed": ("papers-again",),
    "photograph": ("photograph-drapes", "photograph-drapes-picture"),
}
POST = {
    "sitting": (
        *("sitting-open", "bench-entry", "show-entry", "brought", "arrival", "reveal", "name-result", "leave-to-odds"),
        *("palette-edit", "printed-pair", "pick", "second", "garment"),
    ),
    "client": ("photographs", "incoming-take", "series-start", "one-face-use", "wishes", "wardrobe", "letter"),
    "photograph": ("photograph-again", "photograph-phone", "photograph-use"),
    "series": ("series-again",),
    "thing": ("garment-photograph-again",),
    "piece": ("wardrobe-change",),
}
REFUSED = [
    (method, of, name) for method, all_of in (("get", GET), ("post", POST)) for of in all_of for name in all_of[of]
]
# What shows what is recorded, takes something away, or is about consent itself.
GOES_ON = {
    *("person", "person-edit", "person-archive", "person-kept", "kept-change", "kept-erase", "person-erase"),
    *("letter-erase", "wish-take-back", "told-erase", "compare-sittings", "wardrobe-table", "person-access"),
    *("agree", "sitting-resume"),
    *("consents", "consents-take-back", "consents-erase", "consents-proof", "photographs-erase"),
    *("series", "series-state", "series-erase"),
    *("photograph", "photograph-picture", "photograph-part", "photograph-small", "photograph-state"),
    *("photograph-date", "photograph-erase", "face-leave", "photographs-latest"),
    *("sitting", "sitting-end", "screen-link", "bench", "bench-state", "bench-ahead", "bench-events", "show"),
    *("show-state", "verdict", "evidence"),
    *("palette", "handed-papers", "printed-pair-leave", "pick-back", "agreement"),
    *("garment-photograph", "garment-photograph-picture", "garment-photograph-small", "garment-photograph-state"),
    "garment-photograph-erase",
}
SENT = {"act": "bought", "outline": "[]", "shows": "cloth", "pattern": "ABAB", "cloth_a": "D063", "cloth_b": "D064"}


@pytest.fixture
def rows(owner, going_on, stranger):
    """One row of each kind, all of one client, who takes the consent back at the end; and an associate."""
    client = going_on.client
    owner.associates.create(user=stranger)
    said = {"by": owner, "chart": "classic24", "state": "done"}

    def shot():
        return Photograph.objects.create(client=client, **said)

    found = {
        "sitting": going_on,
        "client": client,
        "handed": HandedPaper.objects.create(sitting=going_on, events=2, edits=0, by=owner),
        "photograph": shot(),
        "series": PhotoSeries.objects.create(client=client, pattern="ABAB", cloth_a="D063", cloth_b="D064", **said),
        "thing": ThingPhotograph.objects.create(sitting=going_on, kept=True, **said),
        "piece": WardrobePiece.objects.create(
            client=client, name="hat", kind="top", colour="teal", wished=True, by=owner
        ),
    }
    for place in range(4):
        SeriesFrame.objects.create(series=found["series"], photograph=shot(), place=place)
    consents.take_back_consent(client, Purpose.ANALYSIS, owner)
    return found | {"associate": stranger}


def counted():
    models = [model for model in apps.get_models() if model is not Session]
    return {model._meta.label: model._default_manager.count() for model in models}


def sending(visitor, method, address, rows):
    said = SENT | {"analyst": rows["associate"].pk, "sitting": rows["sitting"].pk}
    return visitor.get(address) if method == "get" else visitor.post(address, said)


@pytest.mark.parametrize(("method", "of", "name"), REFUSED)
def test_it_is_refused_in_words_that_say_what_to_do_and_nothing_is_written(visitor, rows, method, of, name):
    before = counted()
    answer = sending(visitor, method, reverse(name, args=[rows[of].pk]), rows)
    assert answer.status_code == 409
    assert "o consent to “Colour analysis”: taken back on" in answer.text
    assert "Ask the client and record the answer on their card" in answer.text
    assert counted() == before


def test_every_address_of_a_clients_things_is_refused_or_known_to_go_on():
    patterns = {pattern.name: str(pattern.pattern) for pattern in get_resolver().url_patterns}
    things = ("people/<", "sittings/<", "photographs/<", "series/<", "garments/<", "pieces/<", "handed/<")
    of_clients = {name for name, address in patterns.items() if address.startswith(things)}
    refused = {name for _, _, name in REFUSED}
    assert refused & GOES_ON == set()
    assert of_clients == refused | GOES_ON


def test_the_pages_say_it_in_place_of_the_links_and_what_was_handed_over_stays_listed(visitor, rows):
    row, handed = rows["sitting"], reverse("papers-again", args=[rows["handed"].pk])
    for name in ("sitting", "verdict", "evidence", "palette", "handed-papers"):
        page = visitor.get(reverse(name, args=[row.pk])).text
        assert "Until then no paper is written and no entry is taken." in page, name
        assert reverse("papers", args=[row.pk]) + '"' not in page, name
        assert reverse("consents", args=[row.client_id]) in page, name
    listed = visitor.get(reverse("handed-papers", args=[row.pk])).text
    assert "Handed over" in listed
    assert row.analyst.username in listed
    assert "None yet." not in listed
    assert handed not in listed
    agreed(row.client)
    page = visitor.get(reverse("handed-papers", args=[row.pk])).text
    assert handed in page
    assert "Until then" not in page
    assert visitor.get(reverse("palette-changes", args=[row.pk])).status_code == 200


def test_a_script_is_answered_in_its_own_form(visitor, rows):
    address = reverse("palette-edit", args=[rows["sitting"].pk])
    answer = visitor.post(address, SENT, headers={"accept": "application/json"})
    assert answer.status_code == 409
    assert answer.json()["problem"].startswith("no consent to “Colour analysis”")


@pytest.mark.parametrize("how", ["past its day", "a minor since"])
def test_a_consent_that_ended_by_itself_stops_it_too_and_one_never_asked_stops_nothing(visitor, owner, going_on, how):
    address = reverse("palette-changes", args=[going_on.pk])
    assert visitor.get(address).status_code == 200
    if how == "a minor since":
        Client.objects.filter(pk=going_on.client_id).update(minor=True)
        going_on.client.consents.update(guardian="")
        said = "no parent or guardian agreed by name"
    else:
        going_on.client.consents.update(until="2026-01-01")
        said = "ended on 1 January 2026"
    answer = visitor.get(address)
    assert answer.status_code == 409
    assert escape(said) in answer.text
    going_on.client.consents.all().delete()  # a sitting from before there were consents
    assert visitor.get(address).status_code == 200


def test_a_photograph_that_waits_in_line_is_not_measured_once_the_consent_is_taken_back(visitor, owner, going_on):
    shot = sent(visitor, going_on.client)
    consents.take_back_consent(going_on.client, Purpose.ANALYSIS, owner)
    queue.put_in_line(shot)
    shot.refresh_from_db()
    assert shot.state == "failed"
    assert shot.problem.startswith("no consent to “Colour analysis”")
    agreed(going_on.client)
    Photograph.objects.filter(pk=shot.pk).update(deletes_on="2026-01-01")
    shot.refresh_from_db()
    queue.put_in_line(shot)
    shot.refresh_from_db()
    assert shot.state == "failed"
    assert "day" in shot.problem


def test_the_archive_holds_what_was_handed_over_and_draws_no_new_paper(owner, going_on, monkeypatch):
    monkeypatch.setattr(client_archive_files, "_content", lambda make: make() and b"")
    consents.take_back_consent(going_on.client, Purpose.ANALYSIS, owner)
    found = client_archive_files.gathered(going_on.client)
    assert found.papers == {}
    assert f"papers of sitting {going_on.pk}: no consent to “Colour analysis”" in found.left_out[0]
    HandedPaper.objects.create(sitting=going_on, events=2, edits=0, by=owner)
    assert len(client_archive_files.gathered(going_on.client).papers[going_on.pk]) == 1
