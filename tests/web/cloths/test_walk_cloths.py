"""A rack photographed in a browser: numbers are given on screen, seen on the picture, and put into a kit."""

import re

import pytest
from playwright.sync_api import expect

from tests.support.cloth_studio import rack_picture
from tests.support.in_browser import fits, violations
from tests.web.conftest import WIDTHS

pytestmark = pytest.mark.browser


def put_in(page, rows):
    page.goto("/kit")
    page.get_by_role("link", name="Measure cloths by photograph").click()
    page.get_by_label("Rows").fill(str(rows))
    page.get_by_label("Columns").fill("3")
    page.get_by_label("A file").set_input_files({"name": "r.jpg", "mimeType": "image/jpeg", "buffer": rack_picture()})
    page.get_by_role("button", name="Save and measure").click()
    page.wait_for_url(re.compile(r"/kit/cloths/\d+$"))
    expect(page.locator(".shot")).to_be_visible(timeout=40_000)  # the script waits for it and shows it by itself


def go_on(page, field):
    """Go on to the kit by the Enter key, which counts nothing anew."""
    field.press("Enter")
    page.wait_for_url("**/kit")


def shown_numbers(page):
    return [said.split()[0] for said in page.locator(".changes tbody th").all_text_contents()]


def test_numbers_are_given_on_screen(page):
    put_in(page, 2)
    photograph = page.url
    on_picture = page.locator("[data-place=r1c2] text")
    expect(on_picture).to_have_text("D002")
    field = page.get_by_label("Row 1, column 2")
    field.fill("E7")
    expect(on_picture).to_have_text("E7")
    expect(page.locator("[data-number-of=r1c2]")).to_have_text("E7")
    page.get_by_label("Row 1, column 3").fill("")
    assert page.locator("[data-place=r1c3] polygon.unread").count() == 2
    page.locator("[data-place=r2c1] text").click()
    expect(page.get_by_label("Row 2, column 1")).to_be_focused()
    go_on(page, field)
    assert shown_numbers(page) == ["D001", "E7", "D004", "D006"]
    expect(page.get_by_text("1 cloth added; 93 cloths as before.")).to_be_visible()
    assert violations(page) == []
    page.get_by_role("link", name="Cancel").click()
    page.wait_for_url(photograph)
    assert violations(page) == []
    page.get_by_text("Renumber", exact=True).click()
    page.get_by_label("The first number").fill("B1")
    page.get_by_label("The numbers run").select_option("snake")
    page.get_by_role("button", name="Renumber them", exact=True).click()
    expect(page.get_by_label("Row 2, column 1")).to_have_value("B6")


def test_on_a_phone_a_rack_that_was_not_found_is_marked_on_the_picture_and_numbered(page):
    page.set_viewport_size({"width": 390, "height": WIDTHS[390]})
    put_in(page, 3)
    expect(page.get_by_role("status").first).to_contain_text("take it again, or read it another way")
    assert fits(page)
    assert violations(page) == []
    page.get_by_role("button", name="Mark it on the photograph").click()
    shot = page.locator(".shot")
    box = shot.bounding_box()
    assert box
    for x, y in ((845, 620), (380, 60), (380, 620), (845, 60)):
        shot.click(position={"x": x / 900 * box["width"], "y": y / 700 * box["height"]})
    expect(page.get_by_text("4 corners marked.")).to_be_visible()
    page.get_by_label("Rows").fill("2")
    page.get_by_role("button", name="Measure again").click()
    field = page.get_by_label("Row 2, column 3")
    expect(field).to_have_value("D006", timeout=40_000)
    assert page.locator(".shot circle.corner").count() == 4
    page.get_by_label("In the picture").select_option("cloth")
    expect(page.get_by_label("Rows")).to_be_hidden()
    expect(page.locator(".shot circle.corner")).to_have_count(0)
    assert fits(page)
    field.fill("E9")
    go_on(page, field)
    assert shown_numbers(page) == ["D001", "D002", "D003", "D004", "E9"]
    assert fits(page)
    assert violations(page) == []
