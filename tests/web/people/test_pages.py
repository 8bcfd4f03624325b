"""The pages of the bar: what they list, and what they take."""

from importlib.resources import files

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

import tenter
from tenter.consultation.laid_out.audit import FindingKind, audit
from tenter.web.models import Client, KitRecord, Sitting
from tests.web.conftest import browser_of

HEADER = "id,name,L,a,b,illuminant,observer\n"


def send(user, content, name="Second kit"):
    table = SimpleUploadedFile("drapes.csv", content if isinstance(content, bytes) else content.encode())
    return browser_of(user).post("/kit/add", {"name": name, "table": table}, follow=True)


def test_a_client_is_added_edited_and_listed(stranger):
    browser = browser_of(stranger)
    page = browser.post("/people/add", {"name": "Ada <b>", "note": "likes grey", "minor": "on"}, follow=True)
    assert "Ada &lt;b&gt;" in page.text
    assert "likes grey" in page.text
    client = Client.objects.get(owner=stranger)
    assert client.minor
    browser.post(f"/people/{client.pk}/edit", {"name": "Ada", "note": "likes blue"})
    client.refresh_from_db()
    assert (client.name, client.note, client.minor, client.owner) == ("Ada", "likes blue", False, stranger)
    assert "Ada" in browser.get("/people").text


def test_a_client_needs_a_name(stranger):
    page = browser_of(stranger).post("/people/add", {"name": " "})
    assert "fault-line" in page.text
    assert not Client.objects.exists()


def test_a_sitting_is_started_from_the_day(owner):
    browser = browser_of(owner)
    assert "Nobody is expected today" in browser.get("/day").text
    client, kit = Client.objects.first(), KitRecord.objects.get()
    said = {"client": client.pk, "kit": kit.pk, "method": "depth-first"}
    page = browser.post("/sittings/start", said, follow=True)
    row = Sitting.objects.get(ended__isnull=True)
    assert page.redirect_chain == [(f"/sittings/{row.pk}/arrival", 302)]
    assert (row.client, row.kit, row.method, row.analyst) == (client, kit, "depth-first", owner)
    assert "Go to the bench" in page.text
    assert f'href="/sittings/{row.pk}/resume"' in browser.get("/day").text
    assert "0 entries so far; phase: Undertone." in browser.get(f"/sittings/{row.pk}").text


def test_a_start_without_client_or_kit_says_what_is_needed(stranger):
    page = browser_of(stranger).get("/sittings/new").text
    assert 'href="/people/add"' in page
    assert 'href="/kit/add"' in page


def test_the_kit_page_shows_cloths_gaps_and_mixed_pairs(owner, demo_kit, bundled):
    page = browser_of(owner).get(f"/kit/{KitRecord.objects.get().pk}").text
    found = audit(demo_kit, bundled)
    assert page.count("<rect width=") == 2 * 96
    assert " style=" not in page
    for finding in (*found.of_kind(FindingKind.GAP), *found.of_kind(FindingKind.MIXED_PAIR)):
        assert finding.text.replace("'", "&#x27;") in page
    assert len(found.of_kind(FindingKind.GAP)) == 3
    assert found.of_kind(FindingKind.MIXED_PAIR)


def test_a_kit_is_taken_in(owner):
    text = (files("tenter.demo_studio") / "drapes.csv").read_text(encoding="utf-8")
    page = send(owner, "\ufeff" + text)
    record = KitRecord.objects.get(name="Second kit")
    assert page.redirect_chain == [(f"/kit/{record.pk}", 302)]
    assert tenter.Kit.parse(record.csv).ids == tenter.Kit.demo().ids


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (HEADER + "A,a,x,0,0,D65,10\nB,b,50,0,999,D65,10\n", ["row 2, column L", "3, column b: 999 is outside"]),
        (HEADER + "A,a,50,0,0,D65,10\nA,a,40,0,0,D65,10\n", ["is in row 2 already"]),
        ("id;name;L\n", ["missing column"]),
        (HEADER, ["there is no row below the header"]),
        (b"\xff\xfe\x00", ["The text is not UTF-8"]),
        (HEADER + "A,a\0,50,0,0,D65,10\n", ["not a table of text"]),
        (b"", ["empty"]),
    ],
)
def test_a_faulty_kit_is_refused_and_the_rows_named(stranger, content, said):
    page = send(stranger, content)
    assert page.status_code == 200
    for words in said:
        assert words in page.text.replace("&#x27;", "'")
    assert not KitRecord.objects.exists()


def test_a_page_that_is_not_there(owner):
    page = browser_of(owner).get("/people/999999")
    assert page.status_code == 404
    assert "Page not found" in page.text
