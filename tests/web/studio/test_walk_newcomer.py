"""Walk 1 in a browser: from an empty folder to the kit, its gaps and its mixed pairs, with no manual."""

import re

import pytest
from playwright.sync_api import expect

from studies.web.live_studio import OWNER, PASSWORD, LiveStudio
from tests.support.in_browser import at_every_width, fits

pytestmark = pytest.mark.browser


@pytest.fixture
def empty(tmp_path):
    """A studio where nobody was yet, not running."""
    studio = LiveStudio(tmp_path)
    yield studio
    studio.stop()


def fits_every_screen(page):
    return [width for width in at_every_width(page) if not fits(page)] == []


def test_a_newcomer_sees_the_kit_its_gaps_and_its_mixed_pairs(new_context, empty):
    empty.start()
    page = new_context(base_url=empty.address).new_page()
    page.goto("/")
    expect(page).to_have_url(f"{empty.address}/welcome")
    assert fits_every_screen(page)
    page.get_by_label("Show what I typed").check()
    expect(page.get_by_label("Password", exact=True)).to_have_attribute("type", "text")
    page.get_by_role("button", name="Look around in the demo studio").click()
    expect(page).to_have_url(f"{empty.address}/day")
    assert fits_every_screen(page)
    page.get_by_role("navigation").get_by_role("link", name="Kit").click()
    if not re.search(r"/kit/\d+$", page.url):
        page.get_by_role("link", name="Demo kit").click()
    expect(page.locator("main")).to_contain_text("96 cloths")

    gaps = page.get_by_role("region", name="Widest gaps").get_by_role("listitem")
    expect(gaps).to_have_count(3)
    mixed = page.get_by_role("region", name="more than one thing").get_by_role("listitem")
    assert any("D095" in text and "D096" in text for text in mixed.all_inner_texts())
    coverage = page.get_by_role("region", name="Coverage", exact=True)
    totals = coverage.locator("table").first.locator("tbody tr td:last-child").all_inner_texts()
    assert sum(int(total) for total in totals) > 80
    expect(page.get_by_role("region", name="Cloths", exact=True).get_by_role("listitem")).to_have_count(96)
    assert fits_every_screen(page)

    page.get_by_role("button", name="Leave and throw it away").click()
    expect(page).to_have_url(f"{empty.address}/welcome")
    page.get_by_label("Your name").fill(OWNER)
    page.locator("input[type=password]").fill(PASSWORD)
    page.get_by_role("button", name="Open the studio").click()
    expect(page).to_have_url(f"{empty.address}/day")
