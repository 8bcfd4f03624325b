"""The backup of each day: sealed without the passphrase, opened by it alone, rotated, and said where it failed."""

import errno
from datetime import datetime, timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import CommandError, call_command
from django.utils import timezone

from tenter import durable
from tenter.errors import TenterError
from tenter.web.backups.backup_file import read_backup
from tenter.web.daily import daily_backup, rotation
from tenter.web.models import Client
from tenter.web.sealing import passphrase, photo_keys, sealed_box
from tenter.web.sealing.daily_note import change_daily, read_daily, seal_daily_to
from tenter.web.sealing.passphrase import Passphrase
from tests.web.conftest import browser_of

WORD = "linen on the line"
SERIES = b"the ones"


@pytest.fixture(autouse=True)
def alone(folder, monkeypatch):
    """A data folder of this test alone, and no passphrase but one that it gives."""
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase())
    folder.mkdir()


@pytest.fixture
def keeper(owner):
    owner.is_superuser = True
    owner.save()
    return owner


@pytest.fixture
def disk(tmp_path):
    found = tmp_path / "disk"
    found.mkdir()
    return found


@pytest.fixture
def set_up(disk):
    seal_daily_to(Passphrase(WORD))
    change_daily(folder=str(disk))
    return disk


def opened(content, word=WORD):
    return b"".join(sealed_box.unboxed([content[i : i + 1000] for i in range(0, len(content), 1000)], Passphrase(word)))


# -- sealed ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", [0, 5, 1 << 20, (1 << 20) + 7])
def test_what_is_sealed_to_the_public_key_opens_by_the_passphrase(size):
    content = bytes(range(256)) * (size // 256) + b"x" * (size % 256)
    sealed = b"".join(
        sealed_box.boxed([content[:300], content[300:]], sealed_box.recipient_of(Passphrase(WORD)), SERIES)
    )
    assert opened(sealed) == content
    assert sealed_box.series_of_box(sealed) == SERIES
    with pytest.raises(TenterError, match="not the one that the backup was sealed with"):
        opened(sealed, "another passphrase")
    with pytest.raises(TenterError, match="Type the passphrase"):
        opened(sealed, "")


def test_no_piece_is_changed_cut_off_or_moved_unnoticed():
    to, piece = sealed_box.recipient_of(Passphrase(WORD)), (1 << 20) + 16
    sealed = b"".join(sealed_box.boxed([bytes(3 << 20)], to, SERIES))
    head = len(sealed) - 3 * piece
    one, two, three = (sealed[head + n * piece : head + (n + 1) * piece] for n in range(3))
    begins = sealed[:head]
    for broken in (
        begins + one + two,
        begins + two + one + three,
        begins + one + two + three + three,
        begins[:10] + b"?" + sealed[11:],
        sealed[:-1],
        begins[:40],
        sealed[:-1] + bytes([sealed[-1] ^ 1]),
    ):
        with pytest.raises(TenterError):
            opened(broken)


def test_a_backup_that_is_not_sealed_passes_as_it_is():
    assert opened(b"PK and so on") == b"PK and so on"


# -- rotated -----------------------------------------------------------------------------------------------------------


def test_seven_days_four_weeks_and_twelve_months_stay_and_other_files_are_left_alone():
    first = datetime(2025, 1, 1, 9)
    names = [rotation.name_at(first + timedelta(days=day, hours=hour)) for day in range(730) for hour in (0, 3)]
    gone = set(rotation.to_remove([*names, "tenter-notes.sealed", "letter.pdf"]))
    stay = sorted(set(names) - gone)
    assert [name[7:17] for name in stay[-7:]] == [f"2026-12-{day}" for day in range(25, 32)]
    assert all(name.endswith("-120000.sealed") for name in stay)  # the latest of each day
    assert [name[7:17] for name in stay[:-7]] == [
        *("2026-01-31", "2026-02-28", "2026-03-31", "2026-04-30", "2026-05-31", "2026-06-30", "2026-07-31"),
        *("2026-08-31", "2026-09-30", "2026-10-31", "2026-11-30", "2026-12-13", "2026-12-20"),
    ]
    assert not gone & {"tenter-notes.sealed", "letter.pdf"}


# -- written each day --------------------------------------------------------------------------------------------------


@pytest.mark.usefixtures("replayed_once")
def test_the_first_start_of_a_day_writes_one_and_it_is_put_back_by_its_passphrase(owner, set_up, tmp_path):
    assert daily_backup.write_if_due()
    assert not daily_backup.write_if_due()  # one a day
    [path] = set_up.iterdir()
    assert path.name == read_daily().last_file
    assert b"Ilse" not in path.read_bytes()
    plain = tmp_path / "plain.zip"
    plain.write_bytes(opened(path.read_bytes()))
    assert len(read_backup(plain).rows_of(Client)) == 5
    yesterday = timezone.localtime() - timedelta(days=1)
    change_daily(last=yesterday.isoformat())
    path.unlink()  # its name ends with the second
    assert daily_backup.write_if_due()


def test_backups_follow_the_passphrase_of_the_photographs_once_it_is_known(owner, set_up):
    passphrase.GIVEN.give("another one of ours")
    photo_keys.sealing_key()
    assert daily_backup.write_daily_now()
    [path] = set_up.iterdir()
    assert opened(path.read_bytes(), "another one of ours")
    photo_keys.change_passphrase("another one of ours", "a third one of ours")
    path.unlink()
    assert daily_backup.write_daily_now()
    [path] = set_up.iterdir()
    assert opened(path.read_bytes(), "a third one of ours")


def test_none_is_written_before_it_is_set_up(owner, disk):
    assert not daily_backup.write_if_due()
    seal_daily_to(Passphrase(WORD))
    assert not daily_backup.write_if_due()


def test_old_ones_go_and_those_of_another_studio_stay(owner, set_up):
    note = read_daily()
    for number in range(1, 29):
        whose = bytes(8) if number % 2 else bytes.fromhex(note.series)
        content = b"".join(sealed_box.boxed([b""], note.recipient, whose))
        (set_up / f"tenter-2020-02-{number:02}-090000.sealed").write_bytes(content)
    assert daily_backup.write_daily_now()
    kept = sorted(path.name[7:17] for path in set_up.iterdir() if "2020" in path.name)
    assert [int(day[-2:]) for day in kept if int(day[-2:]) % 2 == 1] == list(range(1, 29, 2))  # the other's
    # With today's the latest seven days, and the latest of the week before.
    assert [int(day[-2:]) for day in kept if int(day[-2:]) % 2 == 0] == [16, 18, 20, 22, 24, 26, 28]


def test_a_folder_that_is_gone_or_a_full_disk_is_said_and_tried_again(owner, set_up, monkeypatch, folder):
    set_up.rmdir()
    assert not daily_backup.write_if_due()
    assert "is not there. Plug in its disk" in read_daily().failed
    assert not set_up.exists()  # never made: it may be where a disk belongs
    set_up.mkdir()

    def full(*said, **named):
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(durable, "new_file", full)
        assert not daily_backup.write_if_due()
    assert read_daily().failed
    assert daily_backup.write_if_due()
    assert read_daily().failed == ""
    assert list((folder / "passing").iterdir()) == []


# -- the pages ---------------------------------------------------------------------------------------------------------


def test_the_owner_chooses_a_folder_and_a_passphrase_and_the_first_one_is_written(keeper, disk, folder):
    browser = browser_of(keeper)
    assert "No daily backup is set up" in browser.get("/studio").text
    for wrong in (str(folder), "disk", str(disk / "none")):
        answer = browser.post("/studio/backup/daily", {"folder": wrong, "passphrase": WORD, "again": WORD})
        assert answer.status_code == 422
    page = browser.post("/studio/backup/daily", {"folder": str(disk), "passphrase": WORD, "again": WORD}, follow=True)
    [path] = disk.iterdir()
    assert f"A backup was written and sealed: {path.name}" in page.text
    assert "The last daily backup was written" in browser.get("/studio").text
    sheet = browser.get("/studio/recovery").text
    assert str(disk) in sheet
    assert WORD not in sheet
    path.unlink()
    disk.rmdir()
    assert "Plug in its disk" in browser.post("/studio/backup/daily/write", follow=True).text
    assert "No backup was written. The folder" in browser.get("/day").text
    browser.post("/studio/backup/daily/stop")
    assert not read_daily().is_on


def test_the_page_and_the_sheet_are_the_openers_alone(owner):
    for path in ("/studio/backup/daily", "/studio/recovery"):
        assert browser_of(owner).get(path).status_code == 404


@pytest.mark.usefixtures("replayed_once")
def test_a_sealed_backup_is_looked_at_with_its_passphrase(keeper, set_up):
    assert daily_backup.write_daily_now()
    content = (set_up / read_daily().last_file).read_bytes()
    browser = browser_of(keeper)

    def choose(**said):
        return browser.post("/studio/restore", {"file": SimpleUploadedFile("b.sealed", content), **said}, follow=True)

    assert "The backup is sealed. Type the passphrase" in choose().text
    assert "is not the one" in choose(passphrase="something else").text
    assert choose(passphrase=WORD).redirect_chain[-1][0] == "/studio/restore/confirm"


@pytest.mark.usefixtures("replayed_once")
def test_a_sealed_backup_is_put_back_by_command(owner, set_up, monkeypatch, folder):
    assert daily_backup.write_daily_now()
    path = set_up / read_daily().last_file
    Client.objects.all().delete()
    with pytest.raises(CommandError, match="The backup is sealed"):
        call_command("restore", str(path), replace=True)
    passphrase.GIVEN.give(WORD)
    call_command("restore", str(path), replace=True)
    assert Client.objects.count() == 5
    assert [one.suffix for one in set_up.iterdir() if one != path] == [".zip"]  # what was here before
    assert not list((folder / "passing").glob("opened-*"))
