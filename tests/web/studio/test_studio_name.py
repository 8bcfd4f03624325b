"""What the studio is called: asked for at first, changed by its owner, on every page and on the sheet."""

import pytest
from django.test import Client as Browser

from tenter.web.models import Associate, Sitting, StudioName
from tenter.web.store import sheets
from tests.web.conftest import PASSWORD, browser_of

NAME = "The North <Room>"


@pytest.mark.django_db
@pytest.mark.parametrize(("said", "kept"), [(NAME, [NAME]), ("", [])])
def test_the_first_page_asks_for_it_and_goes_without(said, kept):
    Browser().post("/welcome", {"name": "Wenna", "password": PASSWORD, "studio": said})
    assert list(StudioName.objects.values_list("name", flat=True)) == kept


def test_the_owner_names_her_studio_on_every_page_and_sheet(owner):
    browser = browser_of(owner)
    assert "studio-name" not in browser.get("/day").text
    assert browser.post("/studio/name", {"name": NAME})["Location"] == "/studio"
    for address in ("/day", "/people", "/studio"):
        assert '<p class="studio-name">The North &lt;Room&gt;</p>' in browser.get(address).text
    row = Sitting.objects.first()
    assert sheets.client_card(row).studio == NAME
    assert sheets.screen_of(row).sheet.client.studio == NAME
    browser.post("/studio/name", {"name": ""})
    assert sheets.client_card(row).studio == ""
    assert "studio-name" not in browser.get("/day").text


def test_an_associate_sees_it_and_does_not_change_it(owner, person, stranger):
    StudioName.objects.create(owner=owner, name=NAME)
    bea = person("Bea Thorn")
    Associate.objects.create(owner=owner, user=bea)
    assert "The North" in browser_of(bea).get("/day").text
    assert browser_of(bea).post("/studio/name", {"name": "Mine"}).status_code == 404
    browser_of(stranger).post("/studio/name", {"name": "Elsewhere"})
    assert StudioName.objects.get(owner=owner).name == NAME
    assert "The North" not in browser_of(stranger).get("/day").text
