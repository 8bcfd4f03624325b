"""The verdict's pages in a language that has no letter of English: only names and what was typed are left in it."""

import pytest

from tenter.web.models import AuditEntry, Client
from tenter.web.papers import handed
from tenter.web.rules.audit import Action
from tenter.web.server.in_language import in_language
from tenter.web.store import store
from tests.support.pseudo import pseudo
from tests.web.conftest import browser_of
from tests.web.other_language import TAG, left_in_english, numbers_of_text, speak_another_language


@pytest.fixture
def row(owner, tmp_path, settings):
    speak_another_language(owner, tmp_path, settings)
    return Client.objects.get(name="Maren Tolliver").sittings.get()


def test_the_verdicts_pages_have_no_english_left(owner, row):
    browser, cloths = browser_of(owner), [f"{drape.name} {drape.place}" for drape in store.kit_of(row.kit).drapes]
    colour = next(c.cloth for c in handed.palette_of_sitting(row).colours if c.cloth)
    addresses = ("evidence", "verdict", f"palette?colour={colour}", "palette?add=red", "papers", "brought")
    pages = {address: browser.get(f"/sittings/{row.pk}/{address}").text for address in addresses}
    begun = store.start_sitting(row.client, owner, row.kit, seed=3)
    pages |= {"owed": browser.get(f"/sittings/{begun.pk}/verdict").text}
    left = {address: left_in_english(page, *cloths) for address, page in pages.items()}
    assert {address: words for address, words in left.items() if words} == {}
    assert set().union(*map(numbers_of_text, pages.values())) == set()


@pytest.mark.parametrize(
    ("subject", "said"),
    [
        ("sitting 5", pseudo("sitting %(number)s") % {"number": 5}),
        ("too many tries", pseudo("too many tries")),
        ("wishes of client 3", "wishes of client 3"),  # written down as words, and left as it was
    ],
)
def test_a_line_of_the_log_is_kept_in_english_and_read_in_the_language(row, subject, said):
    line = AuditEntry(action=Action.PAPERS_WRITTEN, subject=subject)
    assert (line.action_words, line.subject_words) == (Action.PAPERS_WRITTEN, subject)
    with in_language(TAG):
        assert (line.action_words, line.subject_words) == (pseudo("client's papers written"), said)
