"""In a browser: a shadow is suspected on the card; the consultant looks, sees none, and has the photograph measured."""

import re

import pytest
from playwright.sync_api import expect

from tests.support.in_browser import fits, violations
from tests.support.photo_studio import shaded
from tests.web.conftest import WIDTHS

pytestmark = pytest.mark.browser


def test_a_suspected_shadow_is_seen_and_overruled(page, studio):
    page.goto("/people/4/photographs")
    page.get_by_text("Change this, or the sitting").click()
    page.get_by_label("Beside the face").select_option("classic24")  # the studio's latest may have had another
    page.get_by_label("Shoot, choose a file").set_input_files(
        {"name": "one.png", "mimeType": "image/png", "buffer": shaded()}
    )
    page.wait_for_url(re.compile(r"/photographs/\d+$"))
    button = page.get_by_role("button", name="The card is evenly lit: measure it")
    expect(button).to_be_visible(timeout=40_000)
    for width, height in WIDTHS.items():
        page.set_viewport_size({"width": width, "height": height})
        assert fits(page)
        assert not violations(page)
        card, words = (page.locator(f".shot {part}").bounding_box() for part in ("polygon.card >> nth=1", "text.edge"))
        assert words["y"] + words["height"] / 2 > card["y"] + card["height"] + 4, "the words hide no patch"
        assert words["height"] > 9, "they can be read"
        shot = page.locator(".shot").bounding_box()
        assert words["x"] + words["width"] <= shot["x"] + shot["width"] + 1
    button.click()
    expect(page.get_by_role("heading", name="✓ Measured")).to_be_visible(timeout=40_000)
    assert not violations(page)
    page.get_by_role("button", name="Take that back and measure again").click()
    expect(button).to_be_visible(timeout=40_000)
