"""Everything goes into one file and comes back as it was, or the file is refused and nothing is changed."""

import hashlib
import io
import json
import os
import stat
import subprocess
import sys
import zipfile
from datetime import UTC, date, datetime
from pathlib import Path

import numpy as np
import pytest
from django.apps import apps
from django.contrib.auth import get_user_model
from django.core import serializers
from django.core.management import CommandError, call_command
from django.db import DatabaseError
from django.forms import model_to_dict
from django.test import Client as Browser
from django.urls import reverse

import tenter
from tenter.colorimetry.illuminants import WAVELENGTHS_NM
from tenter.colorimetry.measurement import D65_2
from tenter.colorimetry.reflectance import reflectance_to_xyz
from tenter.consultation.client.consent import OF_FORMS
from tenter.consultation.cloths.kit_rows import kit_template
from tenter.errors import TenterError, UnreadableInput
from tenter.inference.style_learning import FINE_STYLES
from tenter.photo.camera.tone_prior import TonePrior
from tenter.photo.card.learned_camera import LearnedCamera
from tenter.photo.own_card.kept import kept_serials, kept_values_path
from tenter.photo.own_card.layout import CARD_PATCHES
from tenter.photo.own_card.values import OwnCardValues, write_card_values
from tenter.photo.phones.kept import camera_json, camera_path, keep_camera, kept_names
from tenter.web.backups import backup as backups
from tenter.web.backups import backup_file, checking
from tenter.web.backups import restore as restoring
from tenter.web.backups.backup import write_backup
from tenter.web.backups.backup_file import read_backup
from tenter.web.backups.restore import Restored, is_empty, restore
from tenter.web.models import (
    Access,
    AnswerLearning,
    Appointment,
    Arrival,
    Associate,
    AuditEntry,
    Client,
    ClientWish,
    ClothPhotograph,
    Consent,
    ErasedMark,
    HandedPaper,
    IncomingFolder,
    KeepingTimes,
    KeptLight,
    KeptReading,
    KeptRoom,
    KeptThresholds,
    KeptUntil,
    KeptWash,
    KitRecord,
    LearnedPhone,
    LoginAttempt,
    MeasuredFace,
    PairedDevice,
    PairingCode,
    PaletteEdit,
    PhonePhotograph,
    Photograph,
    PhotoSeries,
    PrintedPair,
    SeriesFrame,
    SetAsideReading,
    Sitting,
    SittingCloths,
    SittingEvent,
    SittingStyle,
    SnippetRecord,
    StartedKit,
    StockMovement,
    StudioName,
    StudioText,
    ThingPhotograph,
    ToldBefore,
    WardrobePiece,
)
from tenter.web.pictures import phone_learning, pictures
from tenter.web.replays.backup_rows import label, line_of, stored_rows, tables
from tenter.web.sealing import passphrase, photo_keys
from tenter.web.sealing.passphrase import Passphrase
from tenter.web.server import temporary_files
from tenter.web.store import store
from tests.support import entering
from tests.web.conftest import PASSWORD, browser_of, content_of

pytestmark = pytest.mark.usefixtures("folder", "replayed_once")

PICTURE = b"a face nobody else is to see"
ODD_NAME = "Ana\u2028Łucja \x85 😀 “q” \\n"


@pytest.fixture
def studio(owner, person):
    """A studio with a row of every kind."""
    owner.is_superuser = True
    owner.save()
    few = list(Client.objects.exclude(name="Ilse Varnholt").values_list("pk", flat=True)[1:])
    Client.objects.filter(pk__in=few).delete()
    associate = person("Bea Thorn")
    Associate.objects.create(owner=owner, user=associate)
    client = Client.objects.create(owner=owner, name=ODD_NAME, note="a\nb", minor=True)
    Access.objects.create(client=client, user=associate)
    first = Sitting.objects.first()
    second = store.start_sitting(first.client, associate, first.kit, blind_to=first)
    store.add_method(owner, 'extends = "four-seasons"')
    StudioName.objects.create(owner=owner, name=ODD_NAME)
    Arrival.objects.create(sitting=second, checks={"hair": "covered"})
    AuditEntry.objects.create(user=None, action="logged in", subject="nobody")
    shot = Photograph.objects.create(client=client, by=owner, chart="none", state="done", result="00", progress=100)
    pictures.keep_picture(shot.name, PICTURE)
    MeasuredFace.objects.create(sitting=first, photograph=shot, by=owner, colours={"regions": {}})
    series = PhotoSeries.objects.create(
        client=client, by=owner, chart="none", pattern="ABAB", state="done", result="00"
    )
    SeriesFrame.objects.create(series=series, photograph=shot, place=0)
    ClothPhotograph.objects.create(
        owner=owner, by=owner, kit=first.kit, chart="own", state="done", numbers={"r1c1": "D1"}
    )
    phone = LearnedPhone.objects.create(
        owner=owner, by=owner, phone="my-phone", chart="classic24", state="done", camera=camera_json(learned_phone())
    )
    PhonePhotograph.objects.create(of=phone, file="dark.jpg", problem="Too dark.")
    SittingCloths.objects.create(sitting=first, events=1, cloths="D001 D002")
    SittingStyle.objects.create(sitting=first, log_likelihoods=[0.0] * len(FINE_STYLES.weights))
    AnswerLearning.objects.create(user=owner, used=False)
    PaletteEdit.objects.create(sitting=first, number=1, payload={"edit": "drop", "colour": "D001"}, key="one")
    ThingPhotograph.objects.create(sitting=first, by=owner, chart="own", state="done", result="00", entry=3)
    HandedPaper.objects.create(sitting=first, events=3, edits=1, words="7, letter 2", by=owner)
    PrintedPair.objects.create(sitting=first, best=shot, less=shot, by=owner)
    KeepingTimes.objects.create(owner=owner, wishes=2)
    KeptUntil.objects.create(client=client, kind="wishes", day=date(2031, 1, 31), reason="comes back", by=owner)
    ErasedMark.objects.create(kind="client", key="0" * 32, digest="1" * 64)
    WardrobePiece.objects.create(client=client, name=ODD_NAME, kind="top", colour="navy", price=9.5, by=owner)
    ClientWish.objects.create(client=client, kind="must", about="navy", why=ODD_NAME, by=owner)
    Appointment.objects.create(client=client, begins=datetime(2026, 12, 1, 10, tzinfo=UTC), visit="online", by=owner)
    ToldBefore.objects.create(client=client, day="2019-05", result=ODD_NAME, note="a\nb", by=owner)
    told = {"cloth": "D001", "day": "2026-11-01", "given_as": "Lab", "lab": [50, 1.5, 0]}
    told |= {"illuminant": "D65", "observer": "10", "note": ODD_NAME}
    reading = KeptReading.objects.create(
        kit=first.kit, cloth="D001", day=date(2026, 11, 1), document=told, by=owner, key="one"
    )
    KeptLight.objects.create(
        owner=owner,
        values={"basis": "meter", "cct": 5600.5},
        thresholds={"least_lux": 1200.5},
        power=[1.5] * 81,
        by=owner,
        key="one",
    )
    KeptThresholds.objects.create(owner=owner, own={"least_ra": 97.5}, by=owner)
    regions = {"chin": {"factor": 0.05, "factor_range": [0.02, 0.1], "sheen": 0.1}}
    KeptRoom.objects.create(owner=owner, document={"regions": regions}, by=owner, key="one")
    SetAsideReading.objects.create(reading=reading, by=owner)
    StartedKit.objects.create(
        owner=owner, by=owner, name=ODD_NAME, base=first.kit, csv=kit_template(), illuminant="D65", observer="10"
    )
    KeptWash.objects.create(kit=first.kit, cloth="D001", day=date(2026, 11, 2), kind=ODD_NAME, by=owner, key="one")
    snippet = SnippetRecord.objects.create(
        owner=owner, drawer="A3", name=ODD_NAME, lab=[65.1, 40.2, -30.3], illuminant="D65", observer="10", reorder_at=2
    )
    StockMovement.objects.create(snippet=snippet, change=-1, why="picked", sitting=first, by=owner, key="one")
    StudioText.objects.create(owner=owner, number=1, topic="letterhead", text=ODD_NAME, language="ar", by=owner)
    StudioText.objects.create(
        owner=owner, number=2, topic="logo", picture=b"\x89PNG\0\xff", width=9, height=9, by=owner
    )
    StudioText.objects.create(owner=owner, client=client, number=1, topic="letter", text="a\n\nb", by=owner)
    return owner


@pytest.fixture
def saved(studio, tmp_path):
    path = tmp_path / "all.zip"
    write_backup(path)
    return path


def learned_phone(name="my-phone", day="2026-03-01"):
    tone, alone = TonePrior((0.3, -0.2, 0.5), (0.1, 0.1, 0.2)), TonePrior((0.3, -0.2), (0.1, 0.1))
    return LearnedCamera(name, date.fromisoformat(day), 4, tone, alone)


def everything():
    return {label(m): [row_of(row) for row in m._default_manager.order_by("pk")] for m in tables()}


def row_of(row):
    return {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}


def empty():
    for model in reversed(tables()):
        model._default_manager.all().delete()
    store.forget_sittings()


def members_of(path):
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def reseal(path, members, note=b"0" * 64):
    """Write the files as a backup with a right seal, however wrong they are."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.comment = note
        for name, content in members.items():
            archive.writestr(name, content)
    body = buffer.getvalue()[:-64]
    path.write_bytes(body + hashlib.sha256(body).hexdigest().encode())


def with_manifest(path, members, **changes):
    manifest = json.loads(members["manifest.json"]) | changes
    reseal(path, members | {"manifest.json": json.dumps(manifest).encode()})


def sealed_anew(path, name, content, count):
    """Write the backup with another table, its checksum and count made right."""
    members = members_of(path) | {name: content}
    manifest = json.loads(members["manifest.json"])
    with_manifest(
        path,
        members,
        sha256=manifest["sha256"] | {name: hashlib.sha256(content).hexdigest()},
        counts=manifest["counts"] | {name: count},
    )


def test_a_table_comes_after_those_that_its_rows_refer_to():
    known = tables()
    for place, model in enumerate(known):
        referred = {field.related_model for field in model._meta.fields if field.related_model} - {model}
        assert referred & set(known) <= set(known[:place]), label(model)


def refusal(path):
    """Return in what words a file is refused; nothing is changed by it, with leave to replace or not."""
    before = everything()
    with pytest.raises(UnreadableInput) as refused:
        restore(path, replace=True)
    with pytest.raises(TenterError) as first:
        restore(path)
    assert str(first.value) == str(refused.value) or "holds data already" in str(first.value)
    assert everything() == before
    assert list(path.parent.glob("before-restore-*")) == []
    return str(refused.value)


# -- there and back ----------------------------------------------------------------------------------------------------


def test_every_table_is_kept_or_named_as_left_out():
    ours = {m for m in apps.get_models() if m.__module__.startswith("tenter.")}
    assert set(tables()) == (ours - {LoginAttempt, PairedDevice, PairingCode, IncomingFolder}) | {get_user_model()}


def test_it_comes_back_row_by_row(saved):
    before = everything()
    assert all(before.values()), "a table without a row proves nothing"
    empty()
    assert is_empty()
    done = restore(saved)
    assert everything() == before
    entries = sum(e.kind == "recorded" for e in SittingEvent.objects.all())
    assert (done.found.sittings, done.found.entries, done.found.differing, done.safety_copy) == (3, entries, (), None)
    assert str(done) == f"3 sittings, {entries} entries, all as they were"


def test_no_device_comes_back_and_none_stays_connected(saved):
    user = get_user_model().objects.first()
    PairedDevice.objects.create(owner=user, user=user, right="camera", name="phone", hashed="one")
    PairingCode.objects.create(owner=user, user=user, right="camera", hashed="one")
    IncomingFolder.objects.create(owner=user, path="/somewhere")
    restore(saved, replace=True)
    assert not any(model.objects.exists() for model in (PairedDevice, PairingCode, IncomingFolder))


def test_new_rows_go_on_from_there(saved):
    empty()
    restore(saved)
    highest = max(Client.objects.values_list("pk", flat=True))
    assert Client.objects.create(owner=get_user_model().objects.first(), name="next").pk > highest


def test_the_password_still_opens(saved):
    empty()
    restore(saved)
    answer = Browser().post("/login", {"username": "Wenna Castrall", "password": PASSWORD})
    assert answer.status_code == 302


def test_rows_are_written_as_djangos_serialiser_writes_them(studio):
    for model in tables():
        rows = list(stored_rows(model))
        whole = serializers.serialize("jsonl", rows, ensure_ascii=True)
        lines = "".join(map(line_of, rows))
        assert lines.isascii()
        assert [json.loads(line) for line in lines.splitlines()] == _with_microseconds(whole, rows), label(model)


def _with_microseconds(text, rows):
    """Return what Django writes, with the whole of each moment, of which Django keeps milliseconds."""
    found = [json.loads(line) for line in text.splitlines()]
    for line, row in zip(found, rows, strict=True):
        moments = {f.name: getattr(row, f.attname) for f in row._meta.local_fields}
        line["fields"] |= {k: v.isoformat() for k, v in moments.items() if isinstance(v, datetime)}
    return found


def test_a_format_in_which_sittings_are_mixed_is_read(saved):
    before = everything()
    members = members_of(saved)
    lines = members["tenter.sittingevent.jsonl"].splitlines(keepends=True)
    mixed = b"".join(lines[::2] + lines[1::2])
    sealed_anew(saved, "tenter.sittingevent.jsonl", mixed, len(lines))
    assert "do not fit together" in refusal(saved), "in the present format they lie together"
    with_manifest(saved, members_of(saved), version=2)
    empty()
    assert str(restore(saved)).endswith("all as they were")
    assert everything() == before


_WRITING_MEANWHILE = """
import sys
from pathlib import Path
from threading import Thread
from tenter.web.serve import bring_up_to_date
bring_up_to_date()
from django.contrib.auth import get_user_model
from django.db import connection
from tenter.web.backups import backup
from tenter.web.models import Client
owner, whole, threads = get_user_model().objects.create_user("Ada"), backup.line_of, []

def add():
    Client.objects.create(owner=owner, name="meanwhile")
    connection.close()

def line(row):
    if not threads:
        threads.append(Thread(target=add))
        threads[0].start()
        threads[0].join()
    return whole(row)

backup.line_of = line
made = backup.write_backup(Path(sys.argv[1]))
print(len(made.rows["tenter.client"]), Client.objects.count())
"""


@pytest.mark.one_database  # a file of SQLite's, as a studio has it: the tests' own is in memory
def test_a_backup_keeps_nobody_from_writing_and_sees_one_moment(tmp_path):
    environment = {**os.environ, "TENTER_DATA_DIR": str(tmp_path), "DJANGO_SETTINGS_MODULE": "tenter.web.settings"}
    environment.pop("DATABASE_URL", None)
    command = [sys.executable, "-c", _WRITING_MEANWHILE, str(tmp_path / "b.zip")]
    done = subprocess.run(command, check=False, env=environment, capture_output=True, text=True, timeout=60)
    assert done.stdout.split() == ["0", "1"], done.stderr


def test_two_backups_of_one_studio_hold_the_same(studio, tmp_path):
    one, other = (write_backup(tmp_path / name) for name in ("1.zip", "2.zip"))
    assert one.digests == other.digests
    assert {k: list(map(model_to_dict, v)) for k, v in one.rows.items()} == {
        k: list(map(model_to_dict, v)) for k, v in other.rows.items()
    }


def test_no_secret_key_and_no_session_is_in_it(studio, saved, settings):
    browser = browser_of(studio)
    content = b"".join(members_of(saved).values())
    assert settings.SECRET_KEY.encode() not in content
    assert browser.session.session_key.encode() not in content
    photograph = f"photographs/{Photograph.objects.get().name}"
    assert set(members_of(saved)) == {"manifest.json", photograph, *(f"{label(m)}.jsonl" for m in tables())}


def test_the_manifest_says_what_is_inside(saved):
    members = members_of(saved)
    manifest = json.loads(members.pop("manifest.json"))
    assert (manifest["format"], manifest["version"]) == ("tenter-backup", 3)
    tables_of = {name: text for name, text in members.items() if name.endswith(".jsonl")}
    assert manifest["counts"] == {name: text.count(b"\n") for name, text in tables_of.items()}
    assert manifest["photographs"] == 1
    assert manifest["sha256"] == {name: hashlib.sha256(text).hexdigest() for name, text in members.items()}
    assert set(manifest["digests"]) == {str(row.pk) for row in Sitting.objects.all()}


def test_only_its_owner_can_read_the_file(saved):
    assert stat.S_IMODE(saved.stat().st_mode) == 0o600


def test_a_file_is_never_written_over(saved):
    content = saved.read_bytes()
    with pytest.raises(TenterError, match="there already"):
        write_backup(saved)
    assert saved.read_bytes() == content
    with pytest.raises(TenterError, match="cannot be written"):
        write_backup(saved / "x.zip")


# -- photographs -------------------------------------------------------------------------------------------------------


def test_photographs_go_in_sealed_and_come_back(saved, folder):
    name = Photograph.objects.get().name
    assert PICTURE not in b"".join(members_of(saved).values())
    assert PICTURE not in saved.read_bytes()
    empty()
    pictures.remove_picture(name)
    restore(saved)
    assert pictures.shown_picture(name) == PICTURE
    assert (folder / "photographs" / name).stat().st_mode & 0o777 == 0o600


def test_elsewhere_the_passphrase_alone_opens_them(saved, tmp_path, monkeypatch):
    name = Photograph.objects.get().name
    empty()
    monkeypatch.setenv("TENTER_DATA_DIR", str(tmp_path / "elsewhere"))
    restore(saved)
    assert pictures.shown_picture(name) == PICTURE
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase())
    with pytest.raises(photo_keys.Locked, match="passphrase"):
        pictures.shown_picture(name)


def test_a_photograph_whose_day_has_passed_does_not_come_back(saved, folder):
    Photograph.objects.update(deletes_on="2026-01-01")
    late = saved.with_name("late.zip")
    write_backup(late)
    restore(late, replace=True)
    assert not Photograph.objects.exists()
    assert list((folder / "photographs").iterdir()) == []
    assert AuditEntry.objects.first().action == "photograph deleted on its date"


def test_a_row_whose_file_is_gone_is_kept_and_named(saved, studio, tmp_path):
    shot = Photograph.objects.get()
    pictures.remove_picture(shot.name)
    made = write_backup(tmp_path / "2.zip")
    assert made.photographs == frozenset()
    named = f"photograph No. {shot.pk} of {ODD_NAME}"
    assert set(made.lacking) == {named, cloths_without_a_file()}
    manifest = json.loads(members_of(tmp_path / "2.zip")["manifest.json"])
    assert sorted(manifest["photographs_missing"]) == sorted(made.lacking)
    empty()
    assert restore(tmp_path / "2.zip").lacking == made.lacking
    assert Photograph.objects.get().name == shot.name


def cloths_without_a_file():
    return f"photograph of cloths No. {ClothPhotograph.objects.get().pk}"


def test_a_file_that_cannot_be_read_is_named_and_the_others_are_kept(studio, folder, tmp_path):
    shot, other = Photograph.objects.get(), Photograph.objects.create(client=Client.objects.first(), by=studio)
    (folder / "photographs" / other.name).mkdir()  # reading it is an error of the system's
    made = write_backup(tmp_path / "2.zip")
    assert made.photographs == {shot.name}
    assert f"photograph No. {other.pk} of {other.client}" in made.lacking


def test_no_number_of_photographs_is_too_many(studio, tmp_path):
    names = {Photograph.objects.create(client=Client.objects.first(), by=studio).name for _ in range(30)}
    for name in names:
        pictures.put(name, name.encode() * 1000)
    made = write_backup(tmp_path / "2.zip")
    assert made.photographs == names | {Photograph.objects.get(state="done").name}
    assert dict(made.sealed_photographs()).keys() == made.photographs
    assert dict(made.sealed_photographs())[min(names)] == min(names).encode() * 1000


def test_what_a_phone_is_still_to_be_learned_from_goes_in_too(studio, tmp_path):
    waiting = PhonePhotograph.objects.get()
    pictures.keep_picture(waiting.name, PICTURE)
    assert waiting.name not in write_backup(tmp_path / "1.zip").photographs, "it is learned already"
    LearnedPhone.objects.update(state="measuring")
    assert waiting.name in write_backup(tmp_path / "2.zip").photographs
    pictures.remove_picture(waiting.name)
    assert "photograph dark.jpg for the phone my-phone" in write_backup(tmp_path / "3.zip").lacking


@pytest.mark.parametrize("name", ["photographs/../../tenter.sqlite3", "photographs/" + "0" * 32, "photographs/"])
def test_a_photograph_that_belongs_to_nobody(saved, name):
    members = members_of(saved) | {name: b"x"}
    manifest = json.loads(members["manifest.json"])
    sha256 = manifest["sha256"] | {name: hashlib.sha256(b"x").hexdigest()}
    with_manifest(saved, members, sha256=sha256, photographs=2)
    assert "belongs to nobody" in refusal(saved)
    with_manifest(saved, members, sha256=sha256)
    assert "holds 2 photographs, and not 1" in refusal(saved)


def test_a_photograph_whose_name_leads_elsewhere(saved):
    kept, members = Photograph.objects.get().name, members_of(saved)
    rows = members["tenter.photograph.jsonl"].replace(kept.encode(), b"../../tenter.sqlite3")
    sealed_anew(saved, "tenter.photograph.jsonl", rows, 1)
    members = members_of(saved)
    members["photographs/../../tenter.sqlite3"] = content = members.pop(f"photographs/{kept}")
    sha256 = json.loads(members["manifest.json"])["sha256"]
    del sha256[f"photographs/{kept}"]
    sha256["photographs/../../tenter.sqlite3"] = hashlib.sha256(content).hexdigest()
    with_manifest(saved, members, sha256=sha256)
    assert "belongs to nobody" in refusal(saved)


# -- cards of our own --------------------------------------------------------------------------------------------------


def card_values(serial=7, day="2026-03-01", reflectance=0.3):
    flat = np.full((len(CARD_PATCHES), len(WAVELENGTHS_NM)), reflectance)
    xyz = reflectance_to_xyz(flat, D65_2.illuminant, D65_2.observer)
    half = np.full((len(CARD_PATCHES), 3), 1.5)
    return OwnCardValues(serial, date.fromisoformat(day), xyz, half, flat, "classic24", 1.2, 2)


def kept(serial=7):
    return kept_values_path(serial).read_bytes()


@pytest.fixture
def saved_with_cards(studio, tmp_path):
    for serial in (7, 12):
        write_card_values(card_values(serial), kept_values_path(serial))
    kept_values_path(13).write_text("{}", encoding="utf-8")  # cannot be used, and stays out
    write_backup(tmp_path / "all.zip")
    return tmp_path / "all.zip"


def test_cards_measured_here_come_back(saved_with_cards):
    before = kept(7), kept(12)
    assert json.loads(members_of(saved_with_cards)["manifest.json"])["cards"] == 2
    for serial in (7, 12, 13):
        kept_values_path(serial).unlink()
    empty()
    restore(saved_with_cards)
    assert (kept(7), kept(12)) == before
    assert kept_serials() == (7, 12)


def test_a_later_measurement_of_a_card_is_kept_and_none_is_taken_away(saved_with_cards):
    earlier = kept(12)
    write_card_values(card_values(7, "2026-05-01", 0.4), kept_values_path(7))
    write_card_values(card_values(12, "2026-02-01", 0.4), kept_values_path(12))
    write_card_values(card_values(40), kept_values_path(40))
    later, other = kept(7), kept(40)
    done = restore(saved_with_cards, replace=True)
    assert (kept(7), kept(12), kept(40)) == (later, earlier, other)
    held = read_backup(done.safety_copy).kept
    assert {place: str(file.measured_on) for place, file in held.items()} == {
        "cards/card-7.json": "2026-05-01",
        "cards/card-12.json": "2026-02-01",
        "cards/card-40.json": "2026-03-01",
    }


def test_cards_stand_as_they_stood_after_a_fault(saved_with_cards, monkeypatch):
    write_card_values(card_values(7, "2026-02-01", 0.4), kept_values_path(7))
    kept_values_path(12).unlink()
    before = kept(7)
    monkeypatch.setattr(restoring, "_put_in_place", raise_database_error)
    with pytest.raises(TenterError, match="Nothing was changed"):
        restore(saved_with_cards, replace=True)
    assert kept(7) == before
    assert kept_serials() == (7, 13)


def raise_database_error(_backup):
    raise DatabaseError("in the midst of it")


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("cards/card-8.json", b"{}", "holds a cards/card-8.json that cannot be used"),
        ("cards/../card-7.json", None, "holds the values of card No. 7 as cards/../card-7.json"),
        ("cards/card-8.json", None, "holds the values of card No. 7 as cards/card-8.json"),
    ],
)
def test_values_that_are_not_what_their_name_says(saved_with_cards, name, content, words):
    members = members_of(saved_with_cards)
    members[name] = content or members["cards/card-7.json"]
    sha256 = json.loads(members["manifest.json"])["sha256"] | {name: hashlib.sha256(members[name]).hexdigest()}
    with_manifest(saved_with_cards, members, sha256=sha256, cards=3)
    assert words in refusal(saved_with_cards)
    with_manifest(saved_with_cards, members, sha256=sha256)
    assert "holds 3 files in cards/, and not 2" in refusal(saved_with_cards)


# -- learned phones ----------------------------------------------------------------------------------------------------


@pytest.fixture
def saved_with_phones(studio, tmp_path):
    """A backup of a studio with a phone of its own, and of two that the command line keeps."""
    for name in ("day-phone", "night-phone"):
        keep_camera(learned_phone(name))
    camera_path("spoilt").write_text("{}", encoding="utf-8")  # cannot be used, and stays out
    write_backup(tmp_path / "all.zip")
    return tmp_path / "all.zip"


def test_learned_phones_come_back_the_later_of_each_and_none_is_taken_away(saved_with_phones):
    earlier = camera_path("night-phone").read_bytes()
    later = keep_camera(learned_phone("day-phone", "2026-05-01")).read_bytes()
    keep_camera(learned_phone("night-phone", "2026-02-01"))
    keep_camera(learned_phone("new-phone"))
    camera_path("spoilt").unlink()
    empty()
    restore(saved_with_phones)
    assert kept_names() == ("day-phone", "new-phone", "night-phone")
    assert camera_path("day-phone").read_bytes() == later
    assert camera_path("night-phone").read_bytes() == earlier
    assert phone_learning.by_name(get_user_model().objects.get(username="Wenna Castrall")) == {
        "my-phone": learned_phone()
    }


def test_a_phone_under_another_name_is_refused(saved_with_phones):
    members = members_of(saved_with_phones)
    members["cameras/x.json"] = members["cameras/day-phone.json"]
    sha256 = {name: hashlib.sha256(text).hexdigest() for name, text in members.items() if name != "manifest.json"}
    with_manifest(saved_with_phones, members, sha256=sha256, cameras=3)
    assert "holds the phone day-phone as cameras/x.json" in refusal(saved_with_phones)


def test_a_backup_of_before_phones_could_be_learned_is_read(saved_with_phones):
    members = members_of(saved_with_phones)
    for name in [name for name in members if "phone" in name]:
        del members[name]
    photographs = members["tenter.photograph.jsonl"]
    assert b'"phone": "",' in photographs
    members["tenter.photograph.jsonl"] = photographs.replace(b'"phone": "",', b"")
    manifest = json.loads(members.pop("manifest.json"))
    counts = {name: count for name, count in manifest["counts"].items() if name in members}
    del manifest["cameras"]
    sha256 = {name: hashlib.sha256(text).hexdigest() for name, text in members.items()}
    manifest |= {"version": 1, "counts": counts, "sha256": sha256}
    reseal(saved_with_phones, members | {"manifest.json": json.dumps(manifest).encode()})
    empty()
    restore(saved_with_phones)
    assert Photograph.objects.get().phone == ""
    assert not LearnedPhone.objects.exists()
    assert kept_names() == ("day-phone", "night-phone", "spoilt")


# -- onto what is there ------------------------------------------------------------------------------------------------


def test_a_studio_with_data_is_left_alone(saved):
    Client.objects.filter(name=ODD_NAME).update(name="Ada")
    before = everything()
    with pytest.raises(TenterError, match="--replace"):
        restore(saved)
    assert everything() == before


def test_one_person_alone_is_data(saved, person):
    empty()
    person("somebody")
    with pytest.raises(TenterError, match="holds data already"):
        restore(saved)


def test_replacing_keeps_what_was_there_in_a_safety_copy(saved, owner):
    before = everything()
    browser = browser_of(owner)
    Client.objects.filter(name=ODD_NAME).update(name="Ada")
    Client.objects.create(owner=owner, name="Newer")
    changed = everything()
    done = restore(saved, replace=True)
    assert everything() == before
    assert done.safety_copy.parent == saved.parent
    assert browser.get("/day").status_code == 302, "a login from before is over"
    restore(done.safety_copy, replace=True)
    assert everything() == changed


@pytest.mark.django_db(transaction=True)
def test_a_live_sitting_from_before_is_forgotten(studio, tmp_path):
    row = Sitting.objects.exclude(blind_to=None).get()
    write_backup(tmp_path / "all.zip")
    entering.set_aside(row, "D001", "k")
    with store.load(row) as live:
        assert live.held.missing
    restore(tmp_path / "all.zip", replace=True)
    with store.load(row) as live:
        assert not live.held.missing


def test_rows_that_do_not_fit_together_change_nothing(saved):
    sealed_anew(saved, "tenter.kitrecord.jsonl", b"", 0)
    before = everything()
    with pytest.raises(TenterError, match="do not fit together"):
        restore(saved, replace=True)
    assert everything() == before


def test_odds_that_are_not_what_they_were_are_named(saved):
    members = members_of(saved)
    digests = json.loads(members["manifest.json"])["digests"]
    number = min(digests)
    with_manifest(saved, members, digests=digests | {number: "0" * 64})
    done = restore(saved, replace=True)
    assert done.found.differing == (int(number),)
    assert "not what they were" in str(done)
    assert "as they were" not in str(Restored(1, 2, checking.Checked(1, 2, None, 1, (3,)), (), None)).replace(
        "not what they were", ""
    )


# -- what is refused ---------------------------------------------------------------------------------------------------


def test_any_byte_that_is_changed(saved):
    whole = saved.read_bytes()
    rng = np.random.default_rng(3)
    places = {0, 1, len(whole) - 1, len(whole) - 65, *(int(p) for p in rng.integers(0, len(whole), 60))}
    for place in places:
        saved.write_bytes(whole[:place] + bytes([whole[place] ^ (1 << int(rng.integers(8)))]) + whole[place + 1 :])
        with pytest.raises(UnreadableInput, match="damaged"):
            read_backup(saved)
    assert "damaged" in refusal(saved)


@pytest.mark.parametrize("left", [0.0, 0.01, 0.5, 0.99])
def test_a_file_that_is_cut_off(saved, left):
    whole = saved.read_bytes()
    saved.write_bytes(whole[: int(left * len(whole))])
    assert "damaged" in refusal(saved)


def test_bytes_after_the_end(saved):
    saved.write_bytes(saved.read_bytes() + b"\0")
    assert "damaged" in refusal(saved)


def test_a_file_of_another_kind(saved):
    with zipfile.ZipFile(saved, "w") as archive:
        archive.writestr("letter.txt", "Dear client")
    assert "not a backup of Tenter" in refusal(saved)
    reseal(saved, {"letter.txt": b"Dear client"})
    assert "not a backup that this program wrote" in refusal(saved)
    saved.write_bytes(b"id,name,L,a,b\n")
    assert "not a backup of Tenter" in refusal(saved)
    saved.unlink()
    assert "cannot be read" in refusal(saved)


@pytest.mark.parametrize(
    ("changes", "match"),
    [
        (
            {"version": 4, "app_version": "9.1"},
            "of format 4, made by Tenter 9.1; this program reads formats 1, 2 and 3",
        ),
        ({"version": "1"}, "this program reads formats 1, 2 and 3"),
        ({"format": "another"}, "not a backup of Tenter"),
        ({"counts": {}}, "the files that its manifest names"),
        ({"sha256": {}}, "the files that its manifest names"),
        ({"digests": 3}, "not a backup that this program wrote"),
    ],
)
def test_a_manifest_that_is_wrong(saved, changes, match):
    with_manifest(saved, members_of(saved), **changes)
    assert match in refusal(saved)


def test_a_table_that_is_not_what_the_manifest_says(saved):
    members = members_of(saved)
    reseal(saved, members | {"tenter.client.jsonl": members["tenter.client.jsonl"].replace(b"Ilse", b"Else")})
    assert "not what its manifest says" in refusal(saved)


def test_a_count_that_is_wrong(saved):
    content = members_of(saved)["tenter.client.jsonl"]
    sealed_anew(saved, "tenter.client.jsonl", content, content.count(b"\n") + 1)
    assert "holds 3 rows of tenter.client.jsonl, and not 4" in refusal(saved)


def test_rows_of_another_kind(saved):
    content = members_of(saved)["auth.user.jsonl"]
    sealed_anew(saved, "tenter.client.jsonl", content, content.count(b"\n"))
    assert "rows of another kind" in refusal(saved)


@pytest.mark.parametrize("content", [b'{"model": "tenter.client", "pk": "x", "fields": {}}\n', b"{}\n", b"no row\n"])
def test_rows_that_are_none(saved, content):
    sealed_anew(saved, "tenter.client.jsonl", content, 1)
    words = refusal(saved)
    assert "does not fit this program" in words or "not a backup that this program wrote" in words


def test_a_table_that_nobody_knows(saved):
    sealed_anew(saved, "../../evil.jsonl", b"", 0)
    assert "does not know" in refusal(saved)


def test_a_file_that_unpacks_to_too_much(saved, monkeypatch):
    bomb = b"\n" * 30_000_000
    reseal(saved, members_of(saved) | {"tenter.client.jsonl": bomb})
    assert saved.stat().st_size < 1_000_000
    monkeypatch.setattr(backup_file, "_TABLES_AT_MOST", 20_000_000)
    monkeypatch.setattr(zipfile.ZipFile, "read", lambda *_: pytest.fail("it was unpacked"))
    with pytest.raises(UnreadableInput, match="unpacks to more than 20 MB"):
        restore(saved)


class Zeros(io.RawIOBase):
    """A file of thirty million zeros, which counts those that were read."""

    def __init__(self):
        self.read_so_far = 0

    def readable(self):
        return True

    def readinto(self, place):
        count = min(len(place), 30_000_000 - self.read_so_far)
        place[:count] = bytes(count)
        self.read_so_far += count
        return count


def test_a_row_that_fills_the_memory_is_refused_before_it_is_whole(saved, monkeypatch):
    sealed_anew(saved, "tenter.client.jsonl", bytes(3_000_000), 1)
    monkeypatch.setattr(backup_file, "_LINE_AT_MOST", 1_000_000)
    with pytest.raises(UnreadableInput, match=r"a row of tenter\.client\.jsonl of more than 1 MB"):
        list(read_backup(saved).rows_of(Client))
    zeros = Zeros()
    with pytest.raises(TenterError, match="more than 1 MB"):
        list(backup_file._lines(io.BufferedReader(zeros), "a table"))
    assert zeros.read_so_far < 2_000_000


# -- the doors ---------------------------------------------------------------------------------------------------------


def test_the_button_hands_over_a_backup(studio, tmp_path, folder):
    browser = browser_of(studio)
    assert "Download a backup" in browser.get("/studio").text
    shown = browser.post("/studio/backup")
    assert "The backup would lack 1 photograph" in shown.text
    assert cloths_without_a_file()[1:] in shown.text
    assert not AuditEntry.objects.filter(action="backed up").exists()
    answer = browser.post("/studio/backup", {"without": "yes"})
    assert answer["Content-Type"] == "application/zip"
    assert list(temporary_files.folder_in(folder).iterdir()) == []
    assert answer["Content-Disposition"].startswith('attachment; filename="tenter-')
    path = tmp_path / "downloaded.zip"
    path.write_bytes(content_of(answer))
    assert int(answer["Content-Length"]) == path.stat().st_size
    assert len(read_backup(path).rows[label(Sitting)]) == 3
    assert AuditEntry.objects.filter(action="backed up", user=studio).exists()


def test_nobody_else_gets_it(studio, stranger):
    associate = get_user_model().objects.get(username="Bea Thorn")
    for user in (associate, stranger):
        assert browser_of(user).post(reverse("backup")).status_code == 404
        assert "Download a backup" not in browser_of(user).get("/day").text
    assert browser_of(studio).get(reverse("backup")).status_code == 405


def test_the_commands(studio, tmp_path, capsys):
    path = tmp_path / "all.zip"
    call_command("backup", str(path))
    assert (
        "3 clients, 3 sittings, 1 photograph, 1 learned phone, read back and intact"
        in (told := capsys.readouterr()).out
    )
    assert f"Without its file: {cloths_without_a_file()}. It is not in the data folder" in told.err
    with pytest.raises(CommandError, match="--replace"):
        call_command("restore", str(path))
    call_command("restore", str(path), "--replace")
    out, err = capsys.readouterr()
    assert f"Without its file: {cloths_without_a_file()}. The backup does not hold it" in err
    assert "all as they were" in out
    assert "before-restore-" in out
    with pytest.raises(CommandError, match="there already"):
        call_command("backup", str(path))


@pytest.mark.one_database  # the program that is started knows the folder alone
def test_run_backs_up_and_restores_from_where_one_stands(studio, tmp_path):
    write_backup(tmp_path / "all.zip")
    script = Path(__file__).parents[3] / "run"
    environment = {"TENTER_DATA_DIR": str(tmp_path / "new"), "PATH": f"{Path(sys.executable).parent}:/usr/bin:/bin"}
    # The program under test, wherever the environment of `run` was installed from.
    environment["PYTHONPATH"] = str(Path(tenter.__file__).parents[1])

    def run(*words):
        command = [script, *words]
        done = subprocess.run(
            command, check=False, cwd=tmp_path, env=environment, capture_output=True, text=True, timeout=120
        )
        return done.returncode, done.stdout + done.stderr

    code, told = run("restore", "all.zip")
    assert (code, "3 sittings" in told, "all as they were" in told) == (0, True, True), told
    code, told = run("restore", "all.zip")
    assert (code, "holds data already" in told, "Traceback" in told) == (2, True, False), told
    code, told = run("backup", "again.zip")
    assert (code, "3 clients, 3 sittings" in told) == (0, True), told
    assert read_backup(tmp_path / "again.zip").digests == read_backup(tmp_path / "all.zip").digests


def test_kits_stay_as_they_were(saved):
    csv = KitRecord.objects.get().csv
    empty()
    restore(saved)
    assert KitRecord.objects.get().csv == csv


@pytest.mark.parametrize(
    ("change", "match"),
    [
        ({"payload": {"edit": "paint"}}, "a change of the palette of sitting .*'paint'"),
        ({"payload": {"edit": "taken back"}}, "there is no change of this palette left to undo"),
        ({"number": 2}, "one of them is missing"),
    ],
)
def test_a_palettes_change_that_cannot_be_read_changes_nothing(saved, change, match):
    kept = everything()
    _with_fields(saved, "tenter.paletteedit.jsonl", change)
    with pytest.raises(TenterError, match=match):
        restore(saved, replace=True)
    assert everything() == kept


def test_a_wish_that_cannot_be_read_changes_nothing(saved):
    kept = everything()
    _with_fields(saved, "tenter.clientwish.jsonl", {"about": "bleen"})
    with pytest.raises(TenterError, match=r"a wish of client \d+ cannot be read .*bleen"):
        restore(saved, replace=True)
    assert everything() == kept


@pytest.mark.parametrize("change", [{"kind": "hat"}, {"colour": " "}])
def test_a_piece_of_a_wardrobe_that_cannot_be_read_changes_nothing(saved, change):
    kept = everything()
    _with_fields(saved, "tenter.wardrobepiece.jsonl", change)
    with pytest.raises(TenterError, match=r"a piece in the wardrobe of client \d+ cannot be read"):
        restore(saved, replace=True)
    assert everything() == kept


def test_a_paper_in_words_that_nobody_names_changes_nothing(saved):
    kept = everything()
    _with_fields(saved, "tenter.handedpaper.jsonl", {"words": "the latest"})
    with pytest.raises(TenterError, match=r"a paper of sitting \d+ cannot be read .*the latest"):
        restore(saved, replace=True)
    assert everything() == kept


@pytest.mark.parametrize(
    ("table", "change", "said"),
    [
        ("keptreading", {"cloth": "D002"}, "a reading of kit"),
        ("keptreading", {"document": {"kind": "reading"}}, "a reading of kit"),
        ("keptwash", {"kind": " "}, "a wash of kit"),
        ("keptlight", {"values": {"basis": "moon"}}, "a light check of user"),
        ("keptlight", {"power": [1.0]}, "a light check of user"),
        ("keptlight", {"thresholds": {"least_ra": 300}}, "a light check of user"),
        ("keptthresholds", {"own": {"most_ra": 3}}, "the thresholds of the light of user"),
        ("keptroom", {"document": {"regions": {"chin": 3}}}, "a room of user"),
    ],
)
def test_a_row_of_the_workshop_that_cannot_be_read_changes_nothing(saved, table, change, said):
    kept = everything()
    _with_fields(saved, f"tenter.{table}.jsonl", change)
    with pytest.raises(TenterError, match=rf"{said} \d+ cannot be read"):
        restore(saved, replace=True)
    assert everything() == kept


def _with_fields(path, table, change):
    """Write the backup with the one row of a table changed."""
    row = json.loads(members_of(path)[table])
    row["fields"] |= change
    sealed_anew(path, table, json.dumps(row).encode(), 1)


def test_a_backup_that_is_older_than_consents_on_the_card_brings_those_of_the_photographs(
    studio, tmp_path, monkeypatch
):
    shot = Photograph.objects.first()
    Photograph.objects.filter(pk=shot.pk).update(purposes=["measure", "sheet"], guardian=True)
    known = [model for model in tables() if model is not Consent]
    with monkeypatch.context() as then:
        then.setattr(backups, "tables", lambda: known)
        write_backup(tmp_path / "old.zip")
    restore(tmp_path / "old.zip", replace=True)
    found = {(row.client_id, row.purpose, row.version) for row in Consent.objects.all()}
    assert found == {(shot.client_id, "measure", OF_FORMS), (shot.client_id, "sheet", OF_FORMS)}
