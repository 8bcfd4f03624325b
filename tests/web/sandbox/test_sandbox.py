"""The sandbox: opened in one click, said on every page, thrown away in one, and the own studio as it was."""

from datetime import timedelta

import pytest
from django.contrib.auth import get_user_model
from django.contrib.auth.models import User
from django.db.models import F
from django.test import Client as Browser

from tenter.web.backups import holdings
from tenter.web.backups.backup import write_backup
from tenter.web.models import Access, Appointment, Associate, AuditEntry, Client, KeptLight, Photograph, Sitting
from tenter.web.pictures import pictures
from tenter.web.replays.backup_rows import tables
from tenter.web.rules.sandbox_user import SANDBOX_NAME
from tests.support.photo_studio import portrait
from tests.web.conftest import PASSWORD, browser_of

LEAVE = "Leave and throw it away"


@pytest.fixture
def own(person):
    """An owner with one client of their own."""
    user = person("Wenna Castrall")
    Client.objects.create(owner=user, name="Ada")
    return user


def test_a_restore_would_replace_nothing_of_the_sandbox(own):
    before, browser = holdings.of_studio(), browser_of(own)
    browser.post("/sandbox")
    assert Sitting.objects.exists()
    assert holdings.of_studio() == before


def everything_but_the_log():
    kinds = [model for model in tables() if model is not AuditEntry]
    return {model: set(model._default_manager.values_list("pk", flat=True)) for model in kinds}


def test_an_owner_opens_it_and_throws_it_away_and_nothing_is_left(own):
    before, browser = everything_but_the_log(), browser_of(own)
    assert "Look around in the demo studio" in browser.get("/studio").text
    page = browser.post("/sandbox", follow=True)
    assert page.redirect_chain == [("/day", 302)]
    assert page.text.count('class="clock"') == 3  # somebody is expected today
    for path in ("/day", "/people", "/kit", "/studio", f"/sittings/{Sitting.objects.first().pk}/verdict"):
        assert LEAVE in browser.get(path).text, path
    assert "Maren Tolliver" in browser.get("/people").text
    assert "Ada" not in browser.get("/people").text
    assert browser.get(f"/people/{Client.objects.get(name='Ada').pk}").status_code == 404
    sandbox = get_user_model().objects.get(username=SANDBOX_NAME)
    assert not sandbox.is_superuser  # so that no backup, key or restore of the own studio is within reach
    shot = Photograph.objects.create(client=sandbox.clients.first(), by=sandbox, chart="none")
    pictures.keep_picture(shot.name, portrait())
    KeptLight.objects.create(owner=sandbox, values={"basis": "meter", "cct": 5600}, by=sandbox, key="one")
    guest = User.objects.create_user("Guest", password=PASSWORD)
    Associate.objects.create(owner=sandbox, user=guest)
    Access.objects.create(client=sandbox.clients.first(), user=guest)
    page = browser.post("/sandbox/leave", follow=True)
    assert page.redirect_chain == [("/studio", 302)]
    assert "your own studio again" in page.text
    assert LEAVE not in page.text
    assert "Ada" in browser.get("/people").text
    assert everything_but_the_log() == before
    with pytest.raises(pictures.MissingPicture):
        pictures.sealed_picture(shot.name)
    assert [row.action for row in AuditEntry.objects.all()] == ["sandbox thrown away", "sandbox opened"]


def test_it_opens_on_the_first_page_and_the_studio_can_still_be_opened_then(db):
    browser = Browser()
    browser.post("/sandbox")
    assert LEAVE in browser.get("/day").text
    assert Browser().get("/", follow=True).redirect_chain[-1][0] == "/welcome"
    left = browser.post("/sandbox/leave", follow=True)
    assert left.redirect_chain[-1][0] == "/welcome"
    assert "The demo studio is thrown away." in left.text
    assert not get_user_model().objects.exists()
    taken = Browser().post("/welcome", {"name": SANDBOX_NAME, "password": PASSWORD})
    assert "That is the name of the demo studio" in taken.text
    assert Browser().post("/welcome", {"name": "Wenna", "password": PASSWORD}).url == "/day"


def test_nobody_else_comes_in_by_it(own, stranger):
    assert Browser().post("/sandbox").url == "/login"
    Associate.objects.create(owner=own, user=stranger)
    assert browser_of(stranger).post("/sandbox").status_code == 404
    assert browser_of(own).post("/sandbox/leave").status_code == 404
    assert not get_user_model().objects.filter(username=SANDBOX_NAME).exists()


def test_the_way_back_is_shut_where_the_password_has_changed_meanwhile(own):
    browser = browser_of(own)
    browser.post("/sandbox")
    own.set_password("another one than before")
    own.save()
    assert browser.post("/sandbox/leave").url == "/login"
    assert browser.get("/day").status_code == 302


def test_logging_out_of_it_throws_it_away_and_leaves_nobody_logged_in(own):
    before, browser = everything_but_the_log(), browser_of(own)
    browser.post("/sandbox")
    assert browser.post("/logout").url == "/login"
    assert everything_but_the_log() == before
    assert AuditEntry.objects.first().action == "sandbox thrown away"
    assert browser.get("/day").status_code == 302
    assert browser_of(own).post("/logout").url == "/login"
    assert everything_but_the_log() == before


def test_a_day_is_laid_out_again_where_the_sandbox_was_left_lying(own):
    browser_of(own).post("/sandbox")
    Appointment.objects.update(begins=F("begins") - timedelta(days=2))
    for _ in range(2):
        assert browser_of(own).post("/sandbox", follow=True).text.count('class="clock"') == 3


def test_it_is_no_part_of_a_backup(own, tmp_path):
    browser_of(own).post("/sandbox")
    sandbox = get_user_model().objects.get(username=SANDBOX_NAME)
    shot = Photograph.objects.create(client=sandbox.clients.first(), by=sandbox, chart="none")
    pictures.keep_picture(shot.name, portrait())
    guest = User.objects.create_user("Guest", password=PASSWORD)
    Associate.objects.create(owner=sandbox, user=guest)
    backup = write_backup(tmp_path / "all.zip")
    held = {model: [row.pk for row in backup.rows_of(model)] for model in tables()}
    audit = held.pop(AuditEntry)
    assert {model: rows for model, rows in held.items() if rows} == {
        User: [own.pk],
        Client: [Client.objects.get(name="Ada").pk],
    }
    assert [row.action for row in AuditEntry.objects.filter(pk__in=audit)] == ["sandbox opened"]
    assert not backup.photographs
    assert not backup.lacking
