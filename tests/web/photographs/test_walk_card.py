"""On a phone: two greys lie beside the face; a finger shows which is the card, and the face is measured by it."""

import re

import pytest
from playwright.sync_api import expect

from tests.support.in_browser import fits, violations
from tests.support.photo_studio import SEVERAL, beside_greys
from tests.web.conftest import WIDTHS

pytestmark = pytest.mark.browser


def test_a_card_is_shown_by_a_drag_or_by_two_taps(new_context, entrance):
    phone = new_context(**entrance | {"viewport": {"width": 390, "height": WIDTHS[390]}}, has_touch=True)
    page = phone.new_page()
    page.goto("/people/4/photographs")
    picture = {"name": "grey.jpg", "mimeType": "image/jpeg", "buffer": beside_greys(*SEVERAL)}
    page.get_by_text("Change this, or the sitting").click()
    page.get_by_label("Beside the face").select_option("grey")
    page.get_by_label("Shoot, choose a file").set_input_files(picture)
    page.wait_for_url(re.compile(r"/photographs/\d+$"))
    expect(page.get_by_role("heading", name="Show the place: grey card")).to_be_visible(timeout=40_000)
    assert fits(page)
    assert violations(page) == []

    shot = page.locator(".shot")
    left, top, right, bottom = ((a + inside) for a, inside in zip(SEVERAL[1], (20, 20, -20, -20), strict=True))

    def on_screen(x, y):
        box = shot.bounding_box()
        assert box
        return x / 640 * box["width"], y / 800 * box["height"]

    draw = page.get_by_role("button", name="Draw a box on the photograph")
    draw.click()
    for corner in ((left, top), (right, bottom)):
        x, y = on_screen(*corner)
        shot.tap(position={"x": x, "y": y})
    expect(page.get_by_label("Width")).not_to_have_value("")
    assert int(page.get_by_label("Width").input_value()) == pytest.approx(right - left, abs=4)
    assert int(page.get_by_label("From the top").input_value()) == pytest.approx(top, abs=4)

    draw.click()  # and once more, by a drag the other way round
    box = shot.bounding_box()
    assert box
    (x1, y1), (x2, y2) = on_screen(right - 10, bottom), on_screen(left, top + 10)
    page.mouse.move(box["x"] + x1, box["y"] + y1)
    page.mouse.down()
    page.mouse.move(box["x"] + x2, box["y"] + y2, steps=4)
    page.mouse.up()
    assert int(page.get_by_label("Width").input_value()) == pytest.approx(right - left - 10, abs=4)
    assert page.locator(".shot polygon.boxed").count() == 2
    page.get_by_role("button", name="Measure with it").click()
    expect(page.get_by_role("heading", name="✓ Measured")).to_be_visible(timeout=40_000)
    page.get_by_text("Where the card is").click()
    expect(page.get_by_role("heading", name="The place: grey card", exact=True)).to_be_visible()
    assert fits(page)
    page.get_by_role("link", name="The whole photograph").click()
    expect(page.get_by_role("link", name="Head and card only")).to_be_visible()
    assert violations(page) == []
