"""The palette in a browser: changed by mouse and by key, in its place, readable and accessible at every width."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.support.in_browser import at_every_width, fits, from_verdict, violations

pytestmark = pytest.mark.browser


@pytest.fixture
def palette(page: Page) -> Page:
    """The palette of a new sitting whose verdict was revealed, reached from there."""
    from_verdict(page, "Palette")
    page.wait_for_selector(".rails")
    return page


def changed(page: Page) -> None:
    expect(page.get_by_role("button", name=re.compile("Undo"))).to_be_visible()


def count(page: Page) -> int:
    return page.locator(".rails > .rail .hung").count()


def test_keys_go_from_colour_to_colour_drop_one_and_take_that_back(palette: Page) -> None:
    before = count(palette)
    palette.keyboard.press("ArrowRight")
    palette.keyboard.press("ArrowRight")
    name = palette.evaluate("document.activeElement.querySelector('.hung-name').lastChild.textContent.trim()")
    palette.keyboard.press("Enter")
    expect(palette.locator("#panel-title")).to_contain_text(re.compile(name or "?", re.IGNORECASE))
    palette.keyboard.press("Delete")
    changed(palette)
    assert count(palette) == before - 1
    palette.keyboard.press("u")
    expect(palette.get_by_role("button", name=re.compile("Undo"))).to_have_count(0)
    assert count(palette) == before


def test_a_colour_is_moved_and_stays_held_and_is_swapped_by_a_click(palette: Page) -> None:
    reds = palette.locator(".rail", has_text="Reds and pinks").locator("a")
    first = str(reds.first.get_attribute("href"))
    reds.first.click()
    palette.wait_for_url(re.compile("colour="))
    palette.keyboard.press("]")
    changed(palette)
    expect(reds.nth(1)).to_have_attribute("href", first)
    expect(reds.nth(1)).to_have_attribute("aria-current", "true")
    palette.locator(".choice").first.click()
    expect(palette.locator(f"a[href='{first}']")).to_have_count(0)
    expect(palette.locator(".rails").get_by_text("chosen by you")).to_have_count(2)  # the colour, and the key below


def test_a_colour_is_added_by_its_hue_and_by_a_code(palette: Page) -> None:
    before = count(palette)
    palette.get_by_label("Hue").select_option("green")
    palette.get_by_role("button", name="Suggest some").click()
    palette.locator(".choice").first.click()
    changed(palette)
    assert count(palette) == before + 1
    palette.get_by_label("Cloth’s number or screen colour").fill("#ff6a4d")
    palette.get_by_label("Its name").fill("my coral")
    palette.keyboard.press("Enter")
    expect(palette.locator(".rails")).to_contain_text("my coral")


def test_it_works_without_scripts(palette: Page, new_context, entrance) -> None:
    plain = new_context(**entrance, java_script_enabled=False).new_page()
    plain.goto(palette.url)
    before = count(plain)
    plain.locator("a[data-hung]").first.click()
    plain.get_by_role("button", name=re.compile("Drop")).click()
    assert count(plain) == before - 1


def test_it_fits_every_screen_and_axe_finds_nothing(palette: Page) -> None:
    palette.locator("a[data-hung]").nth(3).click()
    palette.wait_for_url(re.compile("colour="))
    for address in (palette.url, palette.url.partition("?")[0]):
        for width in at_every_width(palette, address):
            assert fits(palette), width
            assert violations(palette) == [], width
