"""Walk 4 in a browser: the light in the morning, by keyboard, until it is good."""

import re

import pytest
from playwright.sync_api import expect

from tests.support.in_browser import at_width, fits, violations

pytestmark = pytest.mark.browser
# Keystroke-level model (Card, Moran and Newell 1980): seconds a key of an average typist, and before each number.
KEY_S, THOUGHT_S = 0.28, 1.35


def type_light(page, *numbers):
    """Type what the meter shows and press Enter; return the seconds that it takes by hand."""
    page.goto("/light")
    expect(page.get_by_label("Colour temperature, K")).to_be_focused()
    typed = "\t".join(map(str, numbers))
    for key in typed:
        page.keyboard.press("Tab" if key == "\t" else key)
    with page.expect_navigation(url=re.compile(r"/light/\d+$")):
        page.keyboard.press("Enter")
    return (len(typed) + 1) * KEY_S + len(numbers) * THOUGHT_S


def looked_at(page):
    for width in (1920, 1280, 390):
        at_width(page, width)
        assert fits(page), width
        assert violations(page) == [], width
    at_width(page, 1280)


def test_the_light_is_checked_by_keyboard_corrected_and_good(workshop_page):
    page = workshop_page
    assert type_light(page, 5600, "", "", "", 1100, 1000, 1120, 1180, 1080) < 30
    said = page.get_by_label("What it comes to")
    expect(said).to_contain_text("Left cheek 18 % brighter: move the lamp or turn the chair.")
    looked_at(page)
    page.goto("/light/thresholds")
    looked_at(page)
    page.go_back()
    page.get_by_role("link", name="Check again").click()
    expect(page.get_by_text("▲ to correct").first).to_be_visible()
    looked_at(page)
    type_light(page, 5600, 97, 92, 0.001, 1100, 1050, 1120, 1080, 1080)
    expect(said).to_contain_text("✓ This light is good for draping.")
    expect(said).not_to_contain_text("brighter")
    looked_at(page)
    page.goto("/day")
    expect(page.get_by_text("This light is good for draping.")).to_be_visible()
    looked_at(page)
