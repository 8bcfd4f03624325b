"""Pictures in the incoming folder: offered, taken in by the form's own door, and nothing lost whatever lies there."""

import os
import time

import pytest

from tenter.web.incoming import folder_contents
from tenter.web.incoming.folder_contents import FolderGone, look_into, read_picture, remove_picture_file
from tenter.web.models import AuditEntry, Client, IncomingFolder, Photograph, Sitting
from tenter.web.pictures import pictures
from tenter.web.rules import consents
from tests.support.photo_studio import portrait
from tests.web.conftest import agreed, browser_of

MOST = 10_000_000  # bytes


@pytest.fixture
def inbox(tmp_path):
    found = tmp_path / "From my phone"
    found.mkdir()
    return found


def put(inbox, name, content, age=60.0):
    """Write a file that has been there for so many seconds."""
    path = inbox / name
    path.write_bytes(content)
    then = time.time() - age
    os.utime(path, (then, then))
    return path


def only(inbox):
    (one,) = look_into(inbox, MOST).pictures
    return one


# -- what lies in the folder -------------------------------------------------------------------------------------------


def test_a_picture_is_ready_and_one_that_grows_is_not(inbox):
    put(inbox, "face.JPG", b"x" * 10)
    assert only(inbox).problem == ""
    put(inbox, "face.JPG", b"x" * 20, age=0)
    assert only(inbox).problem.startswith("still being copied")
    later = time.time() + folder_contents.STILL_SECONDS + 1
    assert look_into(inbox, MOST, later).ready


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("notes.txt", b"x", "not a kind of picture"),
        ("face.jpg.part", b"x", "still being copied"),
        ("face.jpg", b"", "empty"),
        ("face.jpg", b"x" * (MOST + 1), "larger than 10 MB"),
    ],
)
def test_what_is_no_whole_picture_is_said_in_words(inbox, name, content, said):
    put(inbox, name, content)
    assert said in only(inbox).problem


def test_links_folders_and_pipes_are_never_opened(inbox, tmp_path):
    secret = put(tmp_path, "secret.jpg", b"not for here")
    (inbox / "a.jpg").symlink_to(secret)
    (inbox / "b.jpg").mkdir()
    os.mkfifo(inbox / "c.jpg")
    found = look_into(inbox, MOST)
    assert found.ready == ()
    assert sorted(one.problem.split(".")[0] for one in found.pictures) == [
        "a folder",
        "a link to another place",
        "not a file with a picture",
    ]
    for one in found.pictures:
        with pytest.raises(folder_contents.TenterError):
            read_picture(inbox, one.key)


def test_a_picture_that_a_link_takes_the_place_of_is_not_read(inbox, tmp_path):
    path = put(inbox, "a.jpg", b"face")
    key = only(inbox).key
    path.unlink()
    path.symlink_to(put(tmp_path, "secret.jpg", b"not for here"))
    with pytest.raises(folder_contents.TenterError, match="changed or left"):
        read_picture(inbox, key)
    remove_picture_file(inbox, key)
    assert path.is_symlink()


def test_a_name_of_any_bytes_is_shown_and_taken(inbox):
    name = os.fsdecode(b"f\xffa\nc <b>e.jpg")
    put(inbox, name, b"face")
    one = only(inbox)
    assert one.name == "f\ufffda\ufffdc <b>e.jpg"
    assert read_picture(inbox, one.key) == b"face"
    remove_picture_file(inbox, one.key)
    assert list(inbox.iterdir()) == []


def test_a_folder_that_is_gone_or_became_a_link_is_said(inbox, tmp_path):
    with pytest.raises(FolderGone, match="cannot be opened"):
        look_into(tmp_path / "no", MOST)
    (tmp_path / "link").symlink_to(inbox)
    with pytest.raises(FolderGone):
        look_into(tmp_path / "link", MOST)


# -- on the pages ------------------------------------------------------------------------------------------------------


@pytest.fixture
def named(folder, owner, inbox):
    """The studio's incoming folder, which pictures leave once they are sealed."""
    owner.is_superuser = True
    owner.save()
    return IncomingFolder.objects.create(owner=owner, path=str(inbox), removes=True)


def take(browser, client, *keys, **said):
    fields = {"chart": "classic24", "values": "mean-of-30", "picture": keys} | said
    return browser.post(f"/people/{client.pk}/photographs/incoming", fields, follow=True)


def test_one_press_seals_a_picture_measures_it_and_takes_it_out_of_the_folder(visitor, client_row, named, inbox):
    put(inbox, "face.jpg", portrait())
    page = visitor.get(f"/people/{client_row.pk}/photographs")
    (one,) = page.context["incoming"].ready
    assert "face.jpg" in page.text
    answer = take(visitor, client_row, one.key, sitting=client_row.sittings.first().pk)
    row = Photograph.objects.get()
    assert (row.client, row.state, row.sitting) == (client_row, "done", client_row.sittings.first())
    assert pictures.is_there(row.name)
    assert list(inbox.iterdir()) == []
    assert "1 photograph taken in." in answer.text


def test_without_the_owners_word_it_stays_and_is_not_offered_twice(visitor, client_row, named, inbox):
    IncomingFolder.objects.update(removes=False)
    put(inbox, "face.jpg", portrait())
    key = look_into(inbox, MOST).ready[0].key
    answer = take(visitor, client_row, key)
    assert (inbox / "face.jpg").exists()
    assert Photograph.objects.count() == 1
    assert answer.context["incoming"].ready == ()


def test_what_cannot_be_read_stays_in_the_folder_and_the_page_says_why(visitor, client_row, named, inbox):
    put(inbox, "face.jpg", portrait()[:4000])
    answer = take(visitor, client_row, look_into(inbox, MOST).ready[0].key, "0" * 32)
    assert (inbox / "face.jpg").exists()
    assert Photograph.objects.count() == 0
    assert "changed or left the folder" in answer.text
    assert len(list(answer.context["messages"])) == 2


def test_nothing_is_taken_in_without_consent_and_the_folder_is_not_emptied(visitor, owner, named, inbox):
    client = Client.objects.create(owner=owner, name="Ada")
    put(inbox, "face.jpg", portrait())
    key = look_into(inbox, MOST).ready[0].key
    assert take(visitor, client, key).status_code == 409
    assert "wait" in visitor.get(f"/people/{client.pk}/photographs").text
    assert (Photograph.objects.count(), len(list(inbox.iterdir()))) == (0, 1)


def test_nothing_is_removed_where_nothing_can_be_sealed(visitor, client_row, named, inbox, monkeypatch):
    put(inbox, "face.jpg", portrait())
    key = look_into(inbox, MOST).ready[0].key

    def locked(*_):
        raise pictures.vault.photo_keys.Locked("there is no key")

    monkeypatch.setattr(pictures.vault, "seal", locked)
    take(visitor, client_row, key)
    assert (Photograph.objects.count(), len(list(inbox.iterdir()))) == (0, 1)


def test_what_came_since_the_sitting_began_is_ticked(visitor, owner, named, inbox):
    client = agreed(Client.objects.create(owner=owner, name="Ada"))
    kit = Sitting.objects.first().kit
    Sitting.objects.create(client=client, analyst=owner, kit=kit, method="four-by-three", seed=1)
    put(inbox, "old.jpg", b"x", age=3600)
    put(inbox, "new.jpg", b"x", age=-60)
    incoming = visitor.get(f"/people/{client.pk}/photographs").context["incoming"]
    assert [one.name for one in incoming.ready if one.key in incoming.likely] == ["new.jpg"]


def test_the_page_learns_of_a_new_picture_by_its_version(visitor, client_row, named, inbox):
    address = f"/people/{client_row.pk}/photographs"
    before = visitor.get(address).context["version"]
    assert visitor.get(f"{address}/latest").json() == {"version": before, "said": ""}
    put(inbox, "face.jpg", portrait())
    after = visitor.get(f"{address}/latest").json()
    assert after["version"] != before
    assert after["said"] == "1 picture in the incoming folder"
    assert 'id="arrived"' in visitor.get(f"/sittings/{client_row.sittings.first().pk}/bench").text


def test_a_picture_in_the_folder_is_seen_small_before_it_is_taken(visitor, client_row, named, inbox, owner):
    put(inbox, "face.jpg", portrait())
    address = f"/incoming/small?client={client_row.pk}&of={look_into(inbox, MOST).ready[0].key}"
    assert visitor.get(address).content.startswith(b"\xff\xd8")
    assert visitor.get(address[:-1]).status_code == 404
    consents.take_back_consent(client_row, consents.Purpose.MEASURE, owner)
    assert visitor.get(address).status_code == 409


# -- the setting -------------------------------------------------------------------------------------------------------


def test_the_folder_is_named_by_whoever_opened_the_studio(named, owner, stranger, inbox):
    IncomingFolder.objects.all().delete()
    assert browser_of(stranger).get("/studio/incoming").status_code == 404
    browser = browser_of(owner)
    assert browser.post("/studio/incoming", {"path": f"{inbox}/../{inbox.name}", "removes": "on"}).status_code == 302
    row = IncomingFolder.objects.get()
    assert (row.path, row.removes) == (str(inbox.resolve()), True)
    assert AuditEntry.objects.filter(action="incoming folder set").count() == 1
    browser.post("/studio/incoming", {"path": ""})
    assert not IncomingFolder.objects.exists()


def test_a_folder_that_cannot_serve_is_refused_in_words(named, owner, inbox, folder):
    browser = browser_of(owner)
    for path, said in (
        ("Pictures", "whole path"),
        (str(inbox / "no"), "no such folder"),
        (str(folder), "own data"),
        (str(folder.parent), "own data"),
    ):
        answer = browser.post("/studio/incoming", {"path": path})
        assert (answer.status_code, said in answer.text) == (422, True), path


def test_a_folder_that_vanished_is_said_on_the_page(visitor, client_row, named, inbox):
    inbox.rmdir()
    assert "cannot be opened" in visitor.get(f"/people/{client_row.pk}/photographs").text
