"""The first page, step by step: a passphrase chosen on it, its strength in words, the sheet to print, and unlocking."""

import pytest
from django.contrib.auth import get_user_model
from django.test import Client as Browser

from tenter.web.sealing import passphrase, photo_keys
from tenter.web.sealing.passphrase import Passphrase
from tenter.web.sealing.photo_keys import Keeper
from tenter.web.sealing.strength import strength_in_words
from tests.web.conftest import PASSWORD

WORD = "linen on the line"


@pytest.fixture(autouse=True)
def nothing_yet(db, folder, monkeypatch):
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase())
    folder.mkdir()


def opened(**said):
    browser = Browser()
    return browser, browser.post("/welcome", {"name": "Wenna", "password": PASSWORD, **said}, follow=True)


def test_a_passphrase_on_the_first_page_seals_and_leads_to_the_sheet_which_does_not_hold_it():
    _, page = opened(passphrase=WORD, studio="Cloth and Light")
    assert page.redirect_chain == [("/studio/recovery", 302)]
    assert photo_keys.keeper() is Keeper.PASSPHRASE
    assert WORD not in page.text
    assert "Passphrase of photographs" in page.text
    assert "Cloth and Light" in page.text
    assert "Set up the daily backup first" in page.text


def test_it_may_be_left_for_later_and_then_chosen_on_the_page_of_the_key():
    browser, page = opened()
    assert page.redirect_chain == [("/day", 302)]
    assert "Seal with a passphrase" in browser.get("/studio/photographs").text
    said = {"begin-passphrase": WORD, "begin-again": WORD}
    page = browser.post("/studio/photographs/begin", said, follow=True)
    assert page.redirect_chain == [("/studio/recovery", 302)]
    assert "Fair. One or two more words" in page.text
    assert photo_keys.keeper() is Keeper.PASSPHRASE
    assert browser.post("/studio/photographs/begin", said).status_code == 422  # there is one already


def test_a_short_one_opens_no_studio():
    _, page = opened(passphrase="linen")
    assert "Too short" in page.text
    assert not get_user_model().objects.exists()


def test_after_a_start_without_a_terminal_the_day_asks_and_the_right_one_unlocks():
    browser, _ = opened(passphrase=WORD)
    assert "Photographs are locked" not in browser.get("/day").text
    passphrase.GIVEN.give("")  # as after a start
    assert "Photographs are locked until you give their passphrase" in browser.get("/day").text
    assert "Unlock the photographs" in browser.get("/studio/photographs").text
    assert 'href="/studio/photographs"' in browser.get("/phones").text  # as wherever photographs are shut
    wrong = browser.post("/studio/photographs/give", {"give-passphrase": "something else"})
    assert "not the one that the photographs were sealed with" in wrong.text
    assert "TENTER_" not in wrong.text  # nobody who reads this page sets variables
    assert not passphrase.GIVEN
    assert browser.post("/studio/photographs/give", {"give-passphrase": WORD}).status_code == 302
    assert photo_keys.problem() == ""


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("linen", "Too short"),
        ("1234567890", "Weak: it is on the list"),
        ("ababababababababab", "Weak: it repeats"),
        ("Waldmeister7", "Weak against"),
        ("linen on the line", "Fair"),
        ("kettle orbit mustard sleeve", "Strong"),
        ("kettle kettle kettle kettle", "Weak: it repeats"),
    ],
)
def test_the_strength_is_said_in_words_by_a_simple_rule(said, told):
    assert strength_in_words(said).startswith(told)
    assert Browser().post("/welcome/strength", {"passphrase": said}).text.startswith(told)
