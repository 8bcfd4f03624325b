"""Walk 7 in a browser: one button to the verdict, on one screen, and the sheet to hand over."""

import re

import pytest
from playwright.sync_api import expect

from tenter.consultation.words.odds_words import OddsWord
from tests.support.in_browser import NAMES, at_bench, at_every_width, fits, held_before, reveal

# A warm, deep and bright face, and two answers that speak against it.
ANSWERS = [
    ("D063 D064", "D063"),
    ("D065 D066", "D065"),
    ("D067 D068", "D068"),
    ("D069 D070", "D069"),
    ("D073 D075", "D073"),
    ("D077 D078", "D077"),
    ("D079 D080", "D080"),
    ("D071 D072", "D072"),
]
pytestmark = pytest.mark.browser


def lines_of(page, side):
    return page.locator(f".weighed .{side}").all_inner_texts()


def test_one_button_shows_the_verdict_and_why_and_the_sheet_follows(page, studio):
    at_bench(page, held_before(studio, *ANSWERS))
    reveal(page)
    for width in at_every_width(page):
        says_what_it_is_and_why(page)
        assert fits(page), width
        if width >= 1280:
            assert page.evaluate("document.documentElement.scrollHeight <= innerHeight"), width
    sheet = page.request.get(page.get_by_role("link", name="Papers (PDF)").get_attribute("href"))
    assert sheet.body().startswith(b"%PDF-")


def says_what_it_is_and_why(page):
    assert re.search(rf"\b({'|'.join(OddsWord)})\b", page.locator(".verdict-head").inner_text(), re.IGNORECASE)
    reasons, against = lines_of(page, "for"), lines_of(page, "against")
    assert (len(reasons), len(against)) == (3, 2)
    assert [line for line in reasons + against if not any(name in line for name in NAMES)] == []
    settling = page.locator("section[aria-labelledby=settling]")
    assert sum(name in settling.inner_text() for name in NAMES) >= 2
    runner_up = page.locator("section[aria-labelledby=neighbours]")
    expect(runner_up).to_contain_text(re.compile("second", re.I))
