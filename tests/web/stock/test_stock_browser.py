"""The stock in a real browser: from a kit to a pick list, on a phone and a laptop, and axe finds nothing."""

import re

import pytest

from tests.support.in_browser import at_width, fits, violations

pytestmark = pytest.mark.browser
ENDED = "/sittings/5"  # the demo studio's last, whose verdict was revealed


def looked_at(page, address):
    page.goto(address)
    for width in (1280, 390):
        at_width(page, width)
        assert fits(page), width
        assert violations(page) == [], width


def test_a_kit_becomes_stock_a_palette_takes_of_it_and_a_piece_goes_back(page):
    looked_at(page, "/stock/add")
    page.locator("[name=kit-count]").fill("2")
    page.get_by_role("button", name="Add its cloths").click()
    page.wait_for_url("**/stock")
    looked_at(page, "/stock")
    page.locator("a.swatch-name").first.click()
    page.wait_for_url(re.compile(r"/stock/\d+$"))
    looked_at(page, page.url)
    page.locator("[name=move-pieces]").fill("0")
    page.get_by_label("Why the number changes").select_option("counted")
    page.get_by_role("button", name="Save the count").click()
    page.get_by_text("Empty").first.wait_for()

    page.goto(f"{ENDED}/pick")
    before = page.locator("input[name=drawers]").count()
    assert before > 3
    for box in page.locator("input[name=drawers]").all()[2:]:
        box.uncheck()
    page.get_by_role("button", name="Take them from stock").click()
    page.get_by_text("2 pieces taken from stock.").wait_for()
    assert page.locator("input[name=drawers]").count() == before - 2
    looked_at(page, f"{ENDED}/pick")
    page.get_by_role("button", name="Put back").first.click()
    page.get_by_text("One piece is back in drawer").wait_for()
    assert page.locator("input[name=drawers]").count() == before - 1
