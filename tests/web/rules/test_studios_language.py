"""The language of a studio: chosen once, and every answer is in it."""

import pytest
from django.conf import settings

from tenter.language import language
from tenter.web.models import StudioName
from tenter.web.server.in_language import in_language
from tests.support.pseudo import pseudo, write_catalogue

RIGHT_TO_LEFT = "he"


@pytest.fixture
def other_language(tmp_path, settings):
    """A language of no letter of English, written from right to left."""
    settings.LOCALE_PATHS = [write_catalogue(tmp_path, RIGHT_TO_LEFT)]
    settings.LANGUAGES = [("en", "en"), (RIGHT_TO_LEFT, RIGHT_TO_LEFT)]
    return RIGHT_TO_LEFT


def test_every_page_of_a_studio_is_in_its_language(owner, visitor, other_language):
    StudioName.objects.create(owner=owner, name="North", language=other_language)
    for address in ("/day", "/studio/words"):  # the second has languages of its own
        page = visitor.get(address).content.decode()
        assert f'<html lang="{other_language}" dir="rtl">' in page
        assert pseudo("Log out") in page
        assert "Log out" not in page


def test_english_is_written_where_no_language_is_chosen_or_its_catalogue_is_gone(owner, visitor):
    assert '<html lang="en" dir="ltr">' in visitor.get("/day").content.decode()
    StudioName.objects.create(owner=owner, name="North", language="xx")
    assert "Log out" in visitor.get("/day").content.decode()


def test_who_is_not_logged_in_yet_is_spoken_to_as_the_owner_is(owner, client, other_language):
    owner.is_superuser = True
    owner.save()
    StudioName.objects.create(owner=owner, name="North", language=other_language)
    assert f'lang="{other_language}"' in client.get("/login").content.decode()


def test_before_there_is_a_studio_the_browser_says_the_language(client, other_language, db):
    assert f'lang="{other_language}"' in client.get("/welcome", headers={"accept-language": "he, en"}).content.decode()


def test_a_studio_is_in_the_language_of_the_page_on_which_it_was_opened(client, other_language, db):
    said = {"name": "Wenna", "password": "cloth and daylight"}
    client.post("/welcome", said, headers={"accept-language": other_language})
    assert f'lang="{other_language}"' in client.get("/day", headers={"accept-language": "en"}).text


def test_the_sandbox_is_in_the_language_of_the_studio_that_opened_it(owner, visitor, other_language):
    StudioName.objects.create(owner=owner, name="North", language=other_language)
    visitor.post("/sandbox")
    page = visitor.get("/kit").text
    assert f'lang="{other_language}"' in page
    assert pseudo("Demo kit") in page


def test_a_language_is_chosen_for_a_while(other_language):
    with in_language(other_language):
        assert language().code == other_language
    assert language().code == settings.LANGUAGE_CODE


def test_the_owner_chooses_the_language_and_is_answered_in_it(owner, visitor, other_language):
    assert "עברית" in visitor.get("/studio/language").text  # each by its own name
    page = visitor.post("/studio/language", {"language": other_language}, follow=True).text
    assert pseudo("Language of screens and new papers:") in page
    assert StudioName.objects.get(owner=owner).language == other_language
    refused = visitor.post("/studio/language", {"language": "tlh"})
    assert (refused.status_code, StudioName.objects.get(owner=owner).language) == (200, other_language)
