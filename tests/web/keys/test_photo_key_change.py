"""The passphrase is changed and nothing is lost, wherever it is cut off; a copy of the key opens a backup elsewhere."""

import json
import os

import keyring
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from keyring.backends.fail import Keyring as NoKeyring

from tenter.errors import TenterError
from tenter.web.devices import kept_certificates
from tenter.web.keys import photo_key_copy
from tenter.web.models import AuditEntry, Client, ClothPhotograph, Photograph, PhotoSeries
from tenter.web.pictures import measuring, photo_reseal, pictures, queue, tries
from tenter.web.pictures.measuring import Corrections
from tenter.web.sealing import passphrase, photo_key_note, photo_keys, stretching, vault
from tenter.web.sealing.passphrase import Passphrase
from tenter.web.sealing.photo_keys import Locked
from tests.support.photo_studio import portrait, sent
from tests.web.conftest import browser_of
from tests.web.sealing.test_photo_keys import Memory

OLD, NEW, OTHER = "linen on the line", "wool by the window", "silk in the drawer"


TEXTS = 3 + 4 + 1  # files, results and corrections


class Killed(BaseException):
    """The process ends here."""


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("TENTER_DATA_DIR", str(tmp_path / "data"))
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase(OLD))
    monkeypatch.setattr(stretching, "COST", 2**10)
    before = keyring.get_keyring()
    keyring.set_keyring(NoKeyring())
    yield tmp_path / "data"
    keyring.set_keyring(before)


@pytest.fixture
def visitor(owner):
    owner.is_superuser = True
    owner.save()
    return browser_of(owner)


@pytest.fixture
def kept(visitor, owner):
    """Something sealed of every kind: two photographs, one corrected, cloths, and a series."""
    client = Client.objects.get(name="Ilse Varnholt")
    first, _second = sent(visitor, client), sent(visitor, client)
    first.corrections = measuring_corrections(first)
    first.save()
    rack = ClothPhotograph.objects.create(owner=owner, by=owner, chart="own", state="done")
    pictures.keep_picture(rack.name, portrait())
    ClothPhotograph.objects.filter(pk=rack.pk).update(
        result=tries.sealed_document({"document": 1}, f"{rack.name} result")
    )
    series = PhotoSeries.objects.create(client=client, by=owner, chart="none", pattern="ABAB", state="done")
    PhotoSeries.objects.filter(pk=series.pk).update(
        result=tries.sealed_document({"document": 2}, f"{series.name} result")
    )


def measuring_corrections(row):
    return tries.sealed_corrections(row.name, Corrections(dropped=("lips",)))


def everything():
    """Return all that is sealed, opened; raises where a key is missing."""
    found = []
    for kind in (Photograph, ClothPhotograph):
        found += [pictures.shown_picture(name) for name in kind.objects.order_by("pk").values_list("name", flat=True)]
    for kind in (Photograph, ClothPhotograph, PhotoSeries):
        found += [tries.result_of(row) for row in kind.objects.order_by("pk")]
    return [*found, [measuring.face_corrections_of(row) for row in Photograph.objects.order_by("pk")]]


def by(said, monkeypatch):
    """Start anew with a passphrase, nothing remembered."""
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase(said))


def sealed_by():
    return {name.key_id for name in photo_reseal.names()}


# -- the change --------------------------------------------------------------------------------------------------------


def test_everything_is_sealed_anew_and_the_old_passphrase_opens_nothing(visitor, kept, monkeypatch):
    before, keys = everything(), sealed_by()
    files = {name: pictures.sealed_picture(name) for name in Photograph.objects.values_list("name", flat=True)}
    photo_keys.change_passphrase(OLD, NEW)
    assert everything() == before, "both open until all is done"
    assert photo_reseal.reseal() == TEXTS
    assert photo_reseal.reseal() == 0
    assert sealed_by().isdisjoint(keys)
    assert photo_keys.leaving() == keys
    assert photo_reseal.finish_resealing() == 0
    assert photo_keys.leaving() == set()
    by(NEW, monkeypatch)
    assert everything() == before
    by(OLD, monkeypatch)
    for name, sealed in files.items():
        with pytest.raises(Locked, match="not the one"):
            pictures.shown_picture(name)
        assert pictures.sealed_picture(name) != sealed


def whole_change():
    photo_keys.change_passphrase(OLD, NEW)
    photo_reseal.reseal()
    photo_reseal.finish_resealing()


STEPS = 2 + TEXTS + 1  # before and after the note, each text, and the key let go of


@pytest.mark.parametrize("step", range(STEPS))
def test_killed_at_any_step_nothing_is_lost_and_a_start_goes_on_with_it(visitor, kept, monkeypatch, step):
    before = everything()

    def dies(*_said):
        raise Killed

    with monkeypatch.context() as patched:
        write, anew = photo_key_note.write_note, vault.sealed_anew
        if step == 0:
            patched.setattr(photo_key_note, "write_note", dies)
        elif step == 1:
            patched.setattr(photo_key_note, "write_note", lambda note: (write(note), dies()))
        elif step == STEPS - 1:
            patched.setattr(photo_keys, "let_go", dies)
        else:
            count = iter(range(STEPS))
            patched.setattr(vault, "sealed_anew", lambda *said: dies() if next(count) == step - 2 else anew(*said))
        with pytest.raises(Killed):
            whole_change()
    holds, other = (OLD, NEW) if step == 0 else (NEW, OLD)
    by(other, monkeypatch)
    with pytest.raises(Locked, match="not the one"):
        photo_keys.sealing_key()
    by(holds, monkeypatch)
    assert everything() == before
    photo_reseal.finish_resealing()
    assert everything() == before
    assert photo_keys.leaving() == set()
    assert len(sealed_by()) == 1


def test_a_second_change_before_the_first_is_done_loses_nothing(visitor, kept, monkeypatch):
    before = everything()
    photo_keys.change_passphrase(OLD, NEW)
    photo_keys.change_passphrase(NEW, OTHER)
    by(OTHER, monkeypatch)
    assert everything() == before
    photo_reseal.finish_resealing()
    assert everything() == before
    assert photo_keys.held_keys() == []


def test_a_damaged_file_stops_nothing_and_stays_as_it_is(visitor, kept, folder):
    row = Photograph.objects.first()
    file = folder / "photographs" / row.name
    whole = file.read_bytes()
    damaged = whole[:-1] + bytes([whole[-1] ^ 1])  # another byte, whatever the last one was
    file.write_bytes(damaged)
    photo_keys.change_passphrase(OLD, NEW)
    photo_reseal.finish_resealing()
    assert file.read_bytes() == damaged
    assert len(photo_keys.leaving()) == 1, "its key is not let go of"


def test_what_is_written_meanwhile_is_not_overwritten(visitor, kept, monkeypatch):
    photo_keys.change_passphrase(OLD, NEW)
    row, anew = Photograph.objects.first(), vault.sealed_anew
    newer = tries.sealed_document({"document": "newer"}, f"{row.name} result")

    def slow(sealed, record):
        found = anew(sealed, record)
        if record == f"{row.name} result":
            Photograph.objects.filter(pk=row.pk).update(result=newer)
        return found

    monkeypatch.setattr(vault, "sealed_anew", slow)
    photo_reseal.reseal()
    row.refresh_from_db()
    assert tries.result_of(row) == {"document": "newer"}


@pytest.mark.parametrize(
    ("now", "new", "match"),
    [("cotton on the line", NEW, "not the one"), (OLD, "short", "5 characters"), (OLD, OLD, "old")],
)
def test_a_change_that_is_none_is_refused(visitor, kept, folder, now, new, match):
    note = (folder / "photo-key.json").read_bytes()
    with pytest.raises(Locked, match=match):
        photo_keys.change_passphrase(now, new)
    assert (folder / "photo-key.json").read_bytes() == note
    assert photo_keys.sealing_key().secret == passphrase.GIVEN.secret(bytes.fromhex(json.loads(note)["salt"]))


def test_neither_passphrase_stands_on_the_disk(visitor, kept, folder):
    photo_keys.change_passphrase(OLD, NEW)
    text = b"".join(file.read_bytes() for file in folder.rglob("*") if file.is_file())
    assert OLD.encode() not in text
    assert NEW.encode() not in text


def test_the_devices_certificates_outlast_the_old_passphrase(visitor):
    made = kept_certificates.certificates_at("192.168.1.5")
    visitor.post("/studio/photographs/passphrase", {"change-now": OLD, "change-passphrase": NEW, "change-again": NEW})
    photo_keys.let_go(photo_keys.leaving())  # as the next start does
    assert kept_certificates.kept_certificates() == made


def test_the_page_changes_it_and_says_what_is_lost_without_it(visitor, kept):
    page = visitor.get("/studio/photographs").text
    assert "Without the key nobody can open them" in page
    assert "can never be opened again" in page
    before = everything()
    wrong = {"change-now": NEW, "change-passphrase": NEW, "change-again": NEW}
    assert "not the one" in visitor.post("/studio/photographs/passphrase", wrong).text
    apart = {"change-now": OLD, "change-passphrase": NEW, "change-again": NEW + "!"}
    assert "not the same" in visitor.post("/studio/photographs/passphrase", apart).text
    said = {"change-now": OLD, "change-passphrase": NEW, "change-again": NEW}
    assert visitor.post("/studio/photographs/passphrase", said).status_code == 302
    assert all(OLD not in said and NEW not in said for said in os.environ.values())
    assert everything() == before
    assert len(sealed_by()) == 1, "sealed anew in the background"
    assert AuditEntry.objects.first().action == "photographs' passphrase changed"


# -- a copy of the key -------------------------------------------------------------------------------------------------


@pytest.fixture
def ring(monkeypatch):
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase())
    found = Memory()
    keyring.set_keyring(found)
    return found


def copied(visitor, passphrase=OTHER):
    return visitor.post("/studio/photographs/copy", {"passphrase": passphrase, "again": passphrase})


def taken(visitor, content, passphrase=OTHER):
    fields = {"take-word": passphrase}
    if content:
        fields["take-file"] = SimpleUploadedFile("key.json", content, "application/json")
    return visitor.post("/studio/photographs/take", fields)


def elsewhere(tmp_path, monkeypatch, folder, ring=None):
    """Go to another machine, with another keyring or none, to which a backup has brought files and rows."""
    there = tmp_path / "elsewhere"
    monkeypatch.setenv("TENTER_DATA_DIR", str(there))
    keyring.set_keyring(ring or NoKeyring())
    (there / "photographs").mkdir(parents=True)
    for file in (folder / "photographs").iterdir():
        (there / "photographs" / file.name).write_bytes(file.read_bytes())


@pytest.mark.parametrize("keeper", ["keyring", "passphrase"])
def test_with_a_copy_of_the_key_a_backup_opens_on_another_machine(
    ring, visitor, kept, tmp_path, monkeypatch, folder, keeper
):
    before = everything()
    (secret,) = ring.kept.values()
    answer = copied(visitor)
    assert answer["Content-Disposition"].startswith('attachment; filename="tenter-photo-key-')
    assert "no-store" in answer["Cache-Control"]
    assert secret.encode() not in answer.content
    elsewhere(tmp_path, monkeypatch, folder, Memory() if keeper == "keyring" else None)
    if keeper == "passphrase":
        monkeypatch.setattr(passphrase, "GIVEN", Passphrase(NEW))
    with pytest.raises(Locked, match="take in a copy"):
        everything()
    assert "not the one that the copy was locked with" in taken(visitor, answer.content, NEW).text
    assert taken(visitor, answer.content).status_code == 302
    assert everything() == before
    note = (tmp_path / "elsewhere" / "photo-key.json").read_bytes()
    assert secret.encode() not in note
    assert taken(visitor, answer.content).status_code == 302, "twice is once"
    assert len(photo_keys.held_keys()) == 1
    assert [line.action for line in AuditEntry.objects.all()[:2]] == [
        "photographs' key taken in",
        "photographs' key copied",
    ]


def test_a_key_that_is_held_is_in_the_next_copy_and_survives_a_change(
    ring, visitor, kept, tmp_path, monkeypatch, folder
):
    before, copy = everything(), copied(visitor).content
    elsewhere(tmp_path, monkeypatch, folder)
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase(OLD))
    taken(visitor, copy)
    photo_keys.change_passphrase(OLD, NEW)
    by(NEW, monkeypatch)
    photo_reseal.finish_resealing()
    assert everything() == before
    again = photo_key_copy.locked_copy(OLD)
    assert [key.key_id for key in photo_key_copy._keys_in(again, OLD)] == [photo_keys.held_keys()[0].key_id]


def test_a_passphrase_of_earlier_opens_what_an_old_backup_brings(visitor, kept, monkeypatch, folder):
    row = Photograph.objects.first()
    old, before = pictures.sealed_picture(row.name), everything()
    photo_keys.change_passphrase(OLD, NEW)
    photo_reseal.finish_resealing()
    pictures.put(row.name, old)
    by(NEW, monkeypatch)
    with pytest.raises(Locked):
        pictures.shown_picture(row.name)
    assert (
        "no photograph here needs" in visitor.post("/studio/photographs/take", {"take-word": OTHER}, follow=True).text
    )
    assert taken(visitor, b"", OLD).status_code == 302
    assert everything() == before


@pytest.mark.parametrize(
    "content",
    [
        b"x",
        b"\xff\xfe",
        b"{}",
        b"[]",
        json.dumps({"format": "tenter-photo-keys", "version": 2, "cost": 1024, "salt": "00", "locked": "00"}).encode(),
        json.dumps({"format": "tenter-photo-keys", "version": 1, "cost": 2**30, "salt": "00", "locked": "00"}).encode(),
        json.dumps({"format": "tenter-photo-keys", "version": 1, "cost": 1000, "salt": "00", "locked": "00"}).encode(),
        b'{"format": "tenter-photo-keys", "version": 1, "cost": 1e999, "salt": "00", "locked": "00"}',
    ],
)
def test_another_file_is_refused_plainly(visitor, kept, content):
    answer = taken(visitor, content)
    assert answer.status_code == 422
    assert "is not a copy of the photographs’ key" in answer.text


def test_a_cut_copy_is_refused(ring, visitor, kept):
    said = json.loads(copied(visitor).content)
    said["locked"] = said["locked"][:20]
    assert "damaged" in taken(visitor, json.dumps(said).encode()).text


def test_a_short_passphrase_locks_no_copy(ring, visitor, kept):
    assert "5 characters" in copied(visitor, "short").text


def test_by_a_passphrase_alone_there_is_nothing_to_copy(visitor, kept):
    with pytest.raises(TenterError, match="no key to copy"):
        photo_key_copy.locked_copy(OTHER)
    assert "Download a copy" not in visitor.get("/studio/photographs").text


def test_to_nobody_else_does_any_of_it_exist(owner, stranger):
    for user in (owner, stranger):
        browser = browser_of(user)
        assert browser.get("/studio/photographs").status_code == 404
        for word in ("passphrase", "copy", "take"):
            assert browser.post(f"/studio/photographs/{word}").status_code == 404


def test_a_start_without_the_passphrase_leaves_everything_for_another(visitor, kept, monkeypatch):
    photo_keys.change_passphrase(OLD, NEW)
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase())
    assert photo_reseal.finish_resealing() == 0
    assert len(photo_keys.leaving()) == 1
    queue.seal_anew()
    by(NEW, monkeypatch)
    assert photo_reseal.finish_resealing() > 0
