"""A method file of the owner's own: read with its faults named, frozen, sat by, read under, and kept by a backup."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import models

from tenter.web.backups.backup import write_backup
from tenter.web.backups.backup_file import read_backup
from tenter.web.backups.checking import check_backup
from tenter.web.backups.restore import put_back
from tenter.web.day.start_form import StartForm
from tenter.web.models import Associate, Client, KitRecord, MethodRecord, Sitting
from tenter.web.replays.backup_rows import stored_rows
from tenter.web.replays.replays import checksum, histories
from tenter.web.store import sheets, store
from tests.web.conftest import browser_of

TOML = """extends = "four-seasons"
name = "two-pairs"
title = "Two pairs"

[[seasons]]
name = "gold"
undertone = "warm"

[[seasons]]
name = "silver"
undertone = "cool"

[[categories]]
name = "bright gold"
season = "gold"
prototype = [0.8, 0.0, 0.8]

[[categories]]
name = "bright silver"
season = "silver"
prototype = [-0.8, 0.0, 0.8]
"""


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """The data folder of this test alone."""
    monkeypatch.setenv("TENTER_DATA_DIR", str(tmp_path / "data"))
    (tmp_path / "data").mkdir()
    return tmp_path / "data"


@pytest.fixture
def record(owner):
    return store.add_method(owner, TOML)


@pytest.fixture
def sitting(owner, record):
    """The demo studio's first sitting, by the owner's own method."""
    row = Sitting.objects.order_by("pk").first()
    Sitting.objects.filter(pk=row.pk).update(method=record.name, own_method=record)
    return Sitting.objects.get(pk=row.pk)


def sent(user, content):
    file = SimpleUploadedFile("mine.toml", content if isinstance(content, bytes) else content.encode())
    return browser_of(user).post("/kit/methods/add", {"file": file})


def test_a_method_comes_in_and_is_shown(owner):
    answer = sent(owner, TOML)
    record = MethodRecord.objects.get()
    assert (record.name, record.title, record.toml) == ("two-pairs", "Two pairs", TOML)
    assert answer["Location"] == f"/kit/methods/{record.pk}"
    page = browser_of(owner).get(answer["Location"]).text
    assert "bright silver" in page
    assert "extends = &quot;four-seasons&quot;" in page
    assert "Two pairs" in browser_of(owner).get("/kit").text


def test_what_is_hardly_meant_is_said_on_the_methods_page(owner):
    doubted = TOML.replace("prototype = [0.8, 0.0, 0.8]", "prototype = [-0.8, 0.1, 0.8]")
    page = browser_of(owner).get(sent(owner, doubted)["Location"]).text
    assert "categories.prototype: &#x27;bright gold&#x27;" in page
    assert "Possible mistakes" not in browser_of(owner).get(sent(owner, TOML)["Location"]).text


@pytest.mark.parametrize(
    ("content", "match"),
    [
        (TOML.replace("warm", "tepid"), "tepid"),
        (TOML + "\n[colours]\nred = 1\n", "unknown field"),
        ("name = ", "not TOML"),
        (TOML.replace("four-seasons", "../../etc"), "it extends"),
        (b"\xff\xfe", "not UTF-8"),
        (b"a = 1\0", "not a text"),
        (TOML.replace("Two pairs", "T" * 121), "Use at most 120"),
        ("#" * 200_001, "larger than 200 kB"),
    ],
)
def test_a_faulty_file_is_refused_by_what_is_wrong(owner, content, match):
    answer = sent(owner, content)
    assert answer.status_code == 200
    assert match in answer.text
    assert not MethodRecord.objects.exists()


def test_a_changed_file_is_another_method(owner):
    sent(owner, TOML)
    sent(owner, TOML.replace("0.8, 0.0, 0.8", "0.9, 0.0, 0.8", 1))
    first, second = MethodRecord.objects.order_by("pk")
    assert store.method_in(first.toml).regions[0].prototype != store.method_in(second.toml).regions[0].prototype
    titles = [title for word, title in StartForm(owner).fields["method"].choices if word.startswith("own-")]
    assert len(set(titles)) == 2, "two of one title are told apart"


def test_a_sitting_starts_by_it_and_goes_by_it(owner, record):
    client, kit = Client.objects.first(), KitRecord.objects.get()
    said = {"client": client.pk, "kit": kit.pk, "method": f"own-{record.pk}"}
    browser_of(owner).post("/sittings/start", said)
    row = Sitting.objects.order_by("pk").last()
    assert (row.method, row.own_method) == ("two-pairs", record)
    with store.load(row) as live:
        assert set(live.probabilities()) == {"bright gold", "bright silver"}
    assert "Two pairs" in browser_of(owner).get(f"/sittings/{row.pk}").text


def test_a_second_reading_goes_by_the_same(owner, person, sitting):
    bea = person("Bea Thorn")
    Associate.objects.create(owner=owner, user=bea)
    browser_of(owner).post(f"/sittings/{sitting.pk}/second", {"analyst": bea.pk})
    assert sitting.seconds.get().own_method == sitting.own_method


def test_another_studio_has_nothing_of_it(owner, stranger, record):
    assert browser_of(stranger).get(f"/kit/methods/{record.pk}").status_code == 404
    assert f"own-{record.pk}" not in dict(StartForm(stranger).fields["method"].choices)
    assert "Two pairs" not in browser_of(stranger).get("/kit").text


def test_an_associate_sits_by_it_and_brings_none(owner, person, record):
    bea = person("Bea Thorn")
    Associate.objects.create(owner=owner, user=bea)
    assert f"own-{record.pk}" in dict(StartForm(bea).fields["method"].choices)
    assert sent(bea, TOML).status_code == 404
    assert MethodRecord.objects.count() == 1


def test_the_verdict_reads_under_it_too_and_not_under_its_own(owner, record):
    row = Sitting.objects.order_by("pk").first()
    assert any(line.text.startswith("Two pairs: ") for line in sheets.screen_of(row).other_methods)
    own = Sitting.objects.order_by("pk").last()
    Sitting.objects.filter(pk=own.pk).update(method=record.name, own_method=record)
    store.forget_sittings()
    read = [line.text for line in sheets.screen_of(Sitting.objects.get(pk=own.pk)).other_methods]
    assert len(read) == 3
    assert not any(line.startswith("Two pairs") for line in read)


def test_a_backup_holds_it_and_brings_it_back(owner, sitting, folder):
    write_backup(folder.parent / "b.zip")
    with store.load(sitting) as live:
        before = live.probabilities()
    Sitting.objects.all().delete()
    MethodRecord.objects.all().delete()
    backup = read_backup(folder.parent / "b.zip")
    found = check_backup(backup)
    assert found.compared == found.sittings
    assert found.differing == ()
    put_back(backup, found, folder)
    assert MethodRecord.objects.get().toml == TOML
    with store.load(Sitting.objects.get(pk=sitting.pk)) as live:
        assert live.probabilities() == before


def test_what_is_remembered_follows_from_the_file(owner, sitting):
    one = next(history for history in histories(stored_rows) if history.sitting.pk == sitting.pk)
    before = checksum(one)
    one.sitting.own_method.toml += "\n"
    assert checksum(one) != before


def test_a_method_that_was_sat_by_cannot_be_deleted(sitting):
    with pytest.raises(models.ProtectedError):
        sitting.own_method.delete()
    assert MethodRecord.objects.exists()
