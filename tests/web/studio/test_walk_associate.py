"""Walk 8 in a browser: an associate reads a client blind, and both see afterwards how far they agree."""

import re

import pytest
from playwright.sync_api import Page, expect

from studies.web.live_studio import log_in
from tests.support.in_browser import at_every_width, fits, hold_owed, reveal, violations

FIRST = "/sittings/5"  # the demo studio's last
NAME, PASSWORD = "Idris Pell", "another pair of eyes"
pytestmark = pytest.mark.browser


def ask_for_a_second_reading(owner: Page) -> None:
    owner.goto("/studio/associates/add")
    owner.fill("input[name=name]", NAME)
    owner.fill("input[name=password]", PASSWORD)
    owner.click("button:has-text('Add')")
    owner.goto(FIRST)
    owner.click("a:has-text('Ask for a second reading')")
    owner.select_option("select[name=analyst]", label=NAME)
    owner.click("button:has-text('Ask')")
    expect(owner.locator("main")).to_contain_text(f"{NAME} has been asked to read")


def first_readings_answers(associate: Page) -> dict[str, int]:
    pages = ("", "/verdict", "/arrival", "/agreement", "/sheet.pdf")
    return {path: associate.request.get(f"{FIRST}{path}").status for path in pages}


def her_own(associate: Page) -> str:
    """Return the address of the one sitting that an associate sees."""
    associate.goto("/sittings")
    links = associate.locator("main a[href^='/sittings/']")
    assert links.count() == 1
    return str(links.get_attribute("href"))


def test_an_associate_reads_blind_and_both_see_how_far_they_agree(page, new_context, studio):
    ask_for_a_second_reading(page)
    associate = new_context(base_url=studio.address).new_page()
    log_in(associate, NAME, PASSWORD)
    assert set(first_readings_answers(associate).values()) == {404}
    second = her_own(associate)
    page.goto(f"{second}/agreement")
    expect(page.locator("main")).not_to_contain_text("undertone")
    hold_owed(associate, second, "s")
    reveal(associate)
    for reader in (page, associate):
        reader.goto(f"{second}/agreement")
        for row in ("undertone", "depth", "clarity", "season", "sub-season"):
            expect(reader.get_by_role("row", name=re.compile(rf"^{row}\b", re.I))).to_have_count(1)
        for width in at_every_width(reader):
            assert fits(reader), width
            assert violations(reader) == [], width
    page.goto("/studio/agreement")
    expect(page.locator("main")).to_contain_text("too few to say")
