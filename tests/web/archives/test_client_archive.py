"""Everything about one client as one file: readable by itself, and read back as it was after the client is erased."""

import io
import json
import zipfile

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from tenter.colorimetry.measurement import D65_10
from tenter.consultation.readings.cloth_reading import ClothReading, ReadingCircumstances
from tenter.errors import UnreadableInput
from tenter.web.archives import client_archive_files, client_rows
from tenter.web.archives.client_archive import archive_of, plain_rows
from tenter.web.archives.client_archive_reading import read_archive
from tenter.web.erasing import client_erasing
from tenter.web.models import (
    Arrival,
    AuditEntry,
    Client,
    ClientWish,
    HandedPaper,
    KeptUntil,
    KitRecord,
    Photograph,
    StudioText,
    WardrobePiece,
)
from tenter.web.pictures import pictures, tries
from tenter.web.rules import access
from tenter.web.store import kept_readings, store
from tests.support.photo_studio import portrait, sent
from tests.web.conftest import browser_of

pytestmark = pytest.mark.usefixtures("folder")


@pytest.fixture
def whole(visitor, owner, client_row):
    """A client with something of everything."""
    row = client_row.sittings.get()
    sent(visitor, client_row, sitting=str(row.pk))
    HandedPaper.objects.create(sitting=row, events=row.events.count(), edits=0, by=owner)
    ClientWish.objects.create(client=client_row, kind="loved", about="teal", why="<b>sea</b>", by=owner)
    WardrobePiece.objects.create(client=client_row, name="scarf", kind="top", colour="teal", by=owner)
    StudioText.objects.create(owner=owner, client=client_row, number=1, topic="letter", text="Dear", by=owner)
    KeptUntil.objects.create(client=client_row, kind="sitting", number=row.pk, day="2031-01-31", reason="x", by=owner)
    Arrival.objects.create(sitting=row, checks={"light": "dim"})
    return client_row


@pytest.fixture
def no_paper(monkeypatch):
    """Papers are not drawn: that they are is seen by one test."""
    monkeypatch.setattr(client_archive_files, "_put_papers", lambda found, sitting: None)


def unpacked(content):
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def repacked(members):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, content in members.items():
            archive.writestr(name, content)
    return out.getvalue()


def test_exported_erased_and_read_back_it_is_the_same(whole, owner, no_paper):
    rows = client_rows.rows_with(whole)
    before = {kind._meta.label_lower: plain_rows(of) for kind, of in rows.items()}
    [shot] = rows[Photograph]
    measured = tries.opened_document(shot.result, f"{shot.name} result")
    content = archive_of(whole).content
    assert shot.result not in unpacked(content)["client.json"].decode()  # what is sealed here is only open there
    client_erasing.erase_client(whole, owner)
    back = read_archive(content, "one.zip")
    assert {label: plain_rows(of) for label, of in back.rows.items()} == before
    assert back.client.name == "Ilse Varnholt"
    assert back.opened[f"tenter.photograph {shot.pk}"]["result"] == measured
    [picture] = back.photographs.values()
    assert picture.startswith(b"\xff\xd8")
    assert len(picture) > len(portrait()) // 2
    assert back.left_out == ()


def test_an_erased_client_is_taken_in_again_and_reads_as_before(visitor, whole, owner, no_paper):
    row = whole.sittings.get()
    odds = store.replayed(row, [event.payload for event in row.events.all()]).probabilities()
    [shot] = whole.photographs.all()
    shown = pictures.shown_picture(shot.name)
    measured = tries.opened_document(shot.result, f"{shot.name} result")
    content = archive_of(whole).content
    client_erasing.erase_client(whole, owner)
    answer = visitor.post("/people/from-file", {"file": SimpleUploadedFile("one.zip", content, "application/zip")})
    client = Client.objects.get(name="Ilse Varnholt")
    assert answer.url == f"/people/{client.pk}"
    [row], [again] = client.sittings.all(), client.photographs.all()
    with store.load(row) as live:
        assert live.probabilities() == odds
    assert (again.sitting, again.name != shot.name) == (row, True)
    assert (pictures.shown_picture(again.name), tries.opened_document(again.result, f"{again.name} result")) == (
        shown,
        measured,
    )
    assert (client.owner, row.analyst, KitRecord.objects.filter(owner=owner).count()) == (owner, owner, 1)
    assert KeptUntil.objects.get(client=client).number == row.pk
    assert (client.wishes.get().why, client.wardrobe.get().name, client.letters.get().text) == (
        "<b>sea</b>",
        "scarf",
        "Dear",
    )
    assert client.consents.count() > 0
    assert visitor.get(f"/sittings/{row.pk}/verdict").status_code == 200


def test_the_kit_of_a_day_comes_back_as_that_and_not_as_one_to_work_with(visitor, client_row, owner, no_paper):
    origin = KitRecord.objects.get(owner=owner)
    how = ReadingCircumstances(day="2026-01-31")
    one = ClothReading(cloth="D001", lab=(50, 0, 0), conditions=D65_10, how=how)
    kept_readings.keep_readings(origin, owner, [one], "first")
    store.start_sitting(client_row, owner, kept_readings.kit_to_sit_with(origin))
    content = archive_of(client_row).content
    client_erasing.erase_client(client_row, owner)
    KitRecord.objects.update(name="Another")  # as in another studio
    for _ in range(2):
        file = SimpleUploadedFile("one.zip", content, "application/zip")
        assert visitor.post("/people/from-file", {"file": file}).status_code == 302
    [kit] = access.kits(owner).exclude(name="Another")
    assert (kit.name, kit.csv) == (origin.name, origin.csv)
    [of_day] = kit.versions.all()
    assert store.kit_of(of_day).lab[0].tolist() == [50, 0, 0]
    assert {row.kit for row in Client.objects.filter(name="Ilse Varnholt")[0].sittings.all()} == {kit, of_day}


@pytest.mark.parametrize(
    ("lacking", "said"),
    [("kits", "holds a sitting that does not fit: its kit is not in it"), ("pieces", "rows that do not fit together")],
)
def test_what_does_not_fit_together_takes_nobody_in(visitor, whole, no_paper, lacking, said):
    members = unpacked(archive_of(whole).content)
    document = json.loads(members["client.json"])
    if lacking == "kits":
        document["kits"] = {}
    else:
        document["rows"]["tenter.wardrobepiece"] *= 2  # of one name, which one piece of a client has alone
    members["client.json"] = json.dumps(document).encode()
    before = Client.objects.count()
    file = SimpleUploadedFile("one.zip", repacked(members), "application/zip")
    answer = visitor.post("/people/from-file", {"file": file})
    assert answer.status_code == 422
    assert said in answer.text
    assert Client.objects.count() == before


def test_the_index_needs_nothing_else_and_the_papers_are_there(visitor, whole):
    address = f"/people/{whole.pk}/archive"
    assert "1 photograph" in visitor.get(address).text
    answer = visitor.post(address)
    assert answer["Content-Type"] == "application/zip"
    members = unpacked(answer.content)
    page = members["index.html"].decode()
    assert "Ilse Varnholt" in page
    assert "&lt;b&gt;sea&lt;/b&gt;" in page
    assert "http" not in page.replace("http-equiv", "")
    assert "<script" not in page
    [paper] = [name for name in members if name.startswith("papers/")]
    assert members[paper].startswith(b"%PDF")
    [shot] = [name for name in members if name.startswith("photographs/")]
    assert f'src="{shot}"' in page
    assert f'href="{paper}"' in page
    row = whole.sittings.get()
    events = json.loads(members[f"sittings/{row.pk}.json"])["events"]
    assert len(events) == row.events.count()
    assert "entry 1, " in page
    assert AuditEntry.objects.filter(action="client exported", subject=f"client {whole.pk}").exists()


def test_what_cannot_be_opened_is_left_out_and_the_index_says_why(whole, no_paper):
    shot = Photograph.objects.get()
    (pictures.folder() / shot.name).unlink()
    back = read_archive(archive_of(whole).content, "one.zip")
    assert back.photographs == {}
    [line] = back.left_out
    assert "not in the data folder" in line


@pytest.mark.parametrize("fault", ["changed", "missing", "other rows", "none", "cut"])
def test_what_is_damaged_is_refused(whole, no_paper, fault):
    content = archive_of(whole).content
    members = unpacked(content)
    [shot] = [name for name in members if name.startswith("photographs/")]
    if fault == "changed":
        members[shot] = members[shot][:-1] + b"x"
    elif fault == "missing":
        del members[shot]
    elif fault == "other rows":
        document = json.loads(members["client.json"])
        document["rows"]["tenter.client"] = [{"model": "auth.user", "pk": 1, "fields": {"username": "x"}}]
        members["client.json"] = json.dumps(document).encode()
    elif fault == "none":
        members = {"a.txt": b"a"}
    damaged = content[:-40] if fault == "cut" else repacked(members)
    with pytest.raises(UnreadableInput, match="Nothing was changed"):
        read_archive(damaged, "one.zip")


def test_it_is_the_owners_alone_and_waits_while_two_readings_are_apart(visitor, stranger, whole, person):
    assert browser_of(stranger).post(f"/people/{whole.pk}/archive").status_code == 404
    first = whole.sittings.get()
    type(first).objects.filter(pk=first.pk).update(revealed_at=None)
    store.start_sitting(whole, person("Tove Lind"), first.kit, seed=4, blind_to=first)
    answer = visitor.post(f"/people/{whole.pk}/archive")
    assert answer.status_code == 409
    assert "cannot be exported yet" in answer.text
