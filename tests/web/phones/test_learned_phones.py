"""Phones learned once, in the browser: photographs of the card come in, teach, and go; a client's are read by them."""

import os
import time
from datetime import date

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from tenter.photo.files.loading import photo_from_bytes
from tenter.photo.phones.kept import camera_json
from tenter.photo.phones.learning import lesson
from tenter.web.models import AuditEntry, LearnedPhone, Photograph
from tenter.web.pictures import phone_learning, pictures, queue
from tenter.web.sweeping import photo_sweep
from tests.support.photo_studio import send
from tests.support.pictures.phone_pictures import TAUGHT_BY, phone_picture
from tests.web.conftest import browser_of

pytestmark = pytest.mark.usefixtures("folder")


@pytest.fixture(scope="module")
def camera():
    opened = [lambda name=name: photo_from_bytes(phone_picture(name), name) for name in TAUGHT_BY]
    found = lesson("my-phone", opened, date(2026, 3, 1)).camera
    assert found is not None
    return found


@pytest.fixture
def learned(owner, camera):
    """A phone that the studio has learned."""
    return LearnedPhone.objects.create(
        owner=owner, by=owner, phone="my-phone", chart="classic24", state="done", camera=camera_json(camera)
    )


def send_in(browser, name, *shots):
    """Send photographs of the card by the page's form: their names, or names and contents."""
    found = [shot if isinstance(shot, tuple) else (f"{shot}.jpg", phone_picture(shot)) for shot in shots]
    files = [SimpleUploadedFile(file, content, "image/jpeg") for file, content in found]
    return browser.post("/phones", {"phone": name, "values": "mean-of-30", "files": files})


def page_of(browser, client, shot, **said):
    answer = send(browser, client, phone_picture(shot), **said)
    assert answer.status_code == 302, dict(answer.context["form"].errors)
    return browser.get(answer["Location"]).text


def test_a_phone_is_learned_beside_the_server_from_the_files_that_can_be_read(visitor, folder, monkeypatch):
    with monkeypatch.context() as later:
        later.setattr(queue, "put_in_line", lambda _row: None)
        broken = ("broken.jpg", phone_picture("day")[:3000])
        answer = send_in(visitor, " My  Phone ", *TAUGHT_BY, broken)
    assert answer.status_code == 302, dict(answer.context["form"].errors)
    page = visitor.get(answer["Location"])
    assert "Waiting to be learned" in page.text
    assert visitor.get(f"{answer['Location']}/state").json()["waits"]
    kept = list((folder / "photographs").iterdir())
    assert len(kept) == 3
    for file in kept:
        os.utime(file, (time.time() - 3600,) * 2)
    assert photo_sweep.sweep().strays == 0

    assert queue.put_all_in_line() == 1
    page = visitor.get(answer["Location"]).text
    assert "✓ Learned from 3 photographs" in page
    assert "more contrast" in page
    assert "<strong>broken.jpg</strong>: " in page
    assert list((folder / "photographs").iterdir()) == []
    assert "<strong>my-phone</strong>" in visitor.get("/phones").text
    assert list(phone_learning.by_name(LearnedPhone.objects.get().owner)) == ["my-phone"]


def test_a_photograph_is_read_by_its_phone_and_says_so(visitor, client_row, learned):
    page = page_of(visitor, client_row, "face", phone="my-phone")
    assert "Measured with what was learned about the phone my-phone." in page
    page = page_of(visitor, client_row, "updated", phone="my-phone")
    assert "Measured without what was learned about the phone my-phone." in page
    assert "▲ The tone of this photograph is not what phone &#x27;my-phone&#x27; had when it was learned" in page
    assert "the phone my-phone" not in page_of(visitor, client_row, "face")
    offered = visitor.get(f"/people/{client_row.pk}/photographs").context["form"]["phone"]
    assert offered.initial == ""


def test_a_photograph_of_before_is_read_by_a_phone_that_is_chosen_afterwards(visitor, client_row, learned):
    page_of(visitor, client_row, "face")
    row = Photograph.objects.get()
    page = visitor.post(f"/photographs/{row.pk}/phone", {"phone": "my-phone"}, follow=True).text
    assert "Measured with what was learned about the phone my-phone." in page
    assert '<option value="my-phone" selected>' in page
    assert visitor.post(f"/photographs/{row.pk}/phone", {"phone": "another"}).status_code == 404
    assert "the phone my-phone" not in visitor.post(f"/photographs/{row.pk}/phone", {"phone": ""}, follow=True).text


def test_the_phone_of_the_latest_photograph_is_offered_first(visitor, client_row, owner, learned):
    Photograph.objects.create(client=client_row, by=owner, chart="classic24", phone="my-phone")
    form = visitor.get(f"/people/{client_row.pk}/photographs").context["form"]
    assert form["phone"].initial == "my-phone"
    assert [name for name, _label in form.fields["phone"].choices] == ["", "my-phone"]


def test_a_phone_that_is_forgotten_is_not_offered_and_reads_nothing_any_more(visitor, client_row, learned):
    page_of(visitor, client_row, "face", phone="my-phone")
    answer = visitor.post(f"/phones/{learned.pk}/forget", follow=True)
    assert "The phone my-phone is forgotten." in answer.text
    assert not LearnedPhone.objects.exists()
    assert AuditEntry.objects.filter(action="learned phone forgotten").exists()
    assert "phone" not in visitor.get(f"/people/{client_row.pk}/photographs").context["form"].fields
    row = Photograph.objects.get()
    page = visitor.post(f"/photographs/{row.pk}/again", {"excluded": "[]"}, follow=True).text
    assert "The phone my-phone was not known when this was measured, so nothing learned about it was used." in page


def test_another_owners_phone_does_not_exist(stranger, learned):
    browser = browser_of(stranger)
    for path in (f"/phones/{learned.pk}", f"/phones/{learned.pk}/state"):
        assert browser.get(path).status_code == 404
    assert browser.post(f"/phones/{learned.pk}/forget").status_code == 404
    assert "my-phone" not in browser.get("/phones").text
    assert LearnedPhone.objects.filter(pk=learned.pk).exists()
    assert phone_learning.by_name(stranger) == {}


def test_a_learned_phone_goes_with_the_24_patch_card_alone(visitor, client_row, learned):
    answer = send(visitor, client_row, phone_picture("face"), chart="none", phone="my-phone")
    assert answer.status_code == 422
    assert "A learned phone needs the 24-patch card" in answer.context["form"].errors["phone"][0]
    answer = send(visitor, client_row, phone_picture("face"), phone="somebody-elses")
    assert "phone" in answer.context["form"].errors


BROKEN = [(f"{name}.jpg", b"no picture") for name in "ab"]


@pytest.mark.parametrize(
    ("name", "shots", "field", "words"),
    [
        ("my-phone", ("day", "shade"), "files", "You sent 2 photographs. Choose three to six"),
        ("my-phone", ("day",) * 7, "files", "You sent 7 photographs. Choose three to six"),
        ("my-phone", (), "files", "You sent 0 photographs"),
        ("my-phone", ("day", "shade", *BROKEN), "files", "a.jpg cannot be read: "),
        ("my-phone", ("day", "shade", *BROKEN), "files", "At least three usable photographs are needed."),
        ("Büro", ("day", "shade", "lamp"), "phone", "cannot be the name of a"),
    ],
)
def test_what_cannot_be_learned_from_is_said_and_nothing_is_kept(visitor, folder, name, shots, field, words):
    answer = send_in(visitor, name, *shots)
    assert answer.status_code == 422
    assert words in " ".join(answer.context["form"].errors[field])
    assert not LearnedPhone.objects.exists()
    assert not (folder / "photographs").exists() or list((folder / "photographs").iterdir()) == []


def test_photographs_that_teach_nothing_leave_the_phone_as_it_was_and_others_take_its_place(visitor, learned, owner):
    before = phone_learning.by_name(owner)
    page = visitor.get(send_in(visitor, "my-phone", "day", "shade", "nocard")["Location"]).text
    assert "▲ Nothing was learned" in page
    assert "2 photographs of the card can be used" in page
    assert "What was learned earlier under this name stays in use." in page
    assert "<strong>nocard.jpg</strong>: " in page
    assert phone_learning.by_name(owner) == before
    page = visitor.get(send_in(visitor, "my-phone", *TAUGHT_BY)["Location"]).text
    assert "✓ Learned from 3 photographs" in page
    [row] = LearnedPhone.objects.all()
    assert (row.state, row.pk == learned.pk) == ("done", False)


def test_a_phone_whose_photographs_are_gone_says_what_to_do(visitor, owner):
    row = LearnedPhone.objects.create(owner=owner, by=owner, phone="my-phone", chart="classic24", card="mean-of-30")
    row.photographs.create(file="day.jpg")
    queue.put_all_in_line()
    page = visitor.get(f"/phones/{row.pk}").text
    assert "▲ This phone cannot be used" in page
    assert "Its photographs are no longer here; send them again." in page
    assert pictures.is_name(row.photographs.get().name)
