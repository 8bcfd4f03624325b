"""Past clients and their results: all or nothing, hidden until a verdict is revealed, and gone with the client."""

import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from tenter.web.archives.client_rows import rows_with
from tenter.web.models import AuditEntry, Client, KitRecord, Sitting, ToldBefore
from tenter.web.people import told_rows
from tenter.web.store import store
from tests.web.conftest import browser_of


@pytest.fixture
def send(visitor):
    def sent(text):
        return visitor.post("/people/before", {"table": SimpleUploadedFile("old.csv", text.encode())}, follow=True)

    return sent


def test_a_table_makes_cards_and_keeps_results_once(owner, send, client_row):
    before = Client.objects.count()
    text = f"name,date,result,note\n{client_row.name.upper()},2019-05,deep autumn,by mail\nNew Name,2017,summer,\n"
    assert "2 results kept, with 1 new card." in send(text).text
    assert Client.objects.count() == before + 1
    assert [(row.day, row.result, row.note) for row in client_row.told.all()] == [("2019-05", "deep autumn", "by mail")]
    assert "0 results kept, with 0 new cards. 2 rows said what was kept already." in send(text).text
    assert ToldBefore.objects.count() == 2
    assert AuditEntry.objects.filter(action="results from before taken in").count() == 4


@pytest.mark.parametrize("last", ["Ana,31.31.2019,summer", "Twice Named,2019,summer", ",2019,summer"])
def test_one_wrong_row_and_nothing_is_kept(owner, send, last):
    Client.objects.bulk_create([Client(owner=owner, name="Twice Named"), Client(owner=owner, name="Twice  named")])
    before = Client.objects.count()
    answer = send(f"name,date,result\nNew Name,2017,summer\n{last}\n")
    assert answer.status_code == 422
    assert "row 3" in answer.text
    assert (Client.objects.count(), ToldBefore.objects.count()) == (before, 0)


def test_a_client_whose_consent_has_ended_gets_nothing_more(send, client_row, monkeypatch):
    monkeypatch.setattr(told_rows.consents, "ended", lambda client: client.pk == client_row.pk)
    answer = send(f"name,date,result\n{client_row.name},2017,summer\n")
    assert "consent has ended" in answer.text
    assert not ToldBefore.objects.exists()


def test_a_result_is_hidden_until_a_new_verdict_is_revealed_and_again_during_another_sitting(owner, visitor):
    client = Client.objects.create(owner=owner, name="Mira Holt")
    for day in ("2018-05-02", "2018-05", "2019"):
        ToldBefore.objects.create(client=client, day=day, result="deep autumn", by=owner)
    card = f"/people/{client.pk}"
    assert "deep autumn" not in visitor.get(card).text.lower()
    assert "Hidden until you reveal" in visitor.get(card).text
    row = store.start_sitting(client, owner, KitRecord.objects.first())
    assert "deep autumn" not in visitor.get(card).text.lower()
    Sitting.objects.filter(pk=row.pk).update(revealed_at=timezone.now())
    page = visitor.get(card).text
    assert "deep autumn" in page.lower()
    assert re.findall(r"Deep autumn</span><span class=\"meta\">([^<]+)", page) == ["2019", "2 May 2018", "May 2018"]
    store.start_sitting(client, owner, KitRecord.objects.first())
    assert "deep autumn" not in visitor.get(card).text.lower()


def test_the_evidence_of_a_revealed_sitting_shows_it_as_told(owner, visitor, going_on):
    row = ToldBefore.objects.create(client=going_on.client, day="2019", result="ember tones", by=owner)
    assert "ember tones" not in visitor.get(f"/sittings/{going_on.pk}/evidence").text  # it came in after the reveal
    ToldBefore.objects.filter(pk=row.pk).update(at=going_on.started)
    assert "as told:</strong> ember tones (2019)" in visitor.get(f"/sittings/{going_on.pk}/evidence").text
    assert "ember tones" not in visitor.get(f"/sittings/{going_on.pk}/verdict").text  # that one is turned to the client


def test_it_goes_with_the_client_and_can_be_erased_alone(owner, visitor, stranger, client_row):
    row = ToldBefore.objects.create(client=client_row, day="2019", result="ember tones", by=owner)
    assert rows_with(client_row)[ToldBefore] == (row,)
    address = f"/people/{client_row.pk}/before/erase"
    assert browser_of(stranger).post(address).status_code == 404
    assert visitor.post(address).status_code == 302
    assert not ToldBefore.objects.exists()
