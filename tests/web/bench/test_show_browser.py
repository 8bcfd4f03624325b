"""The show round in a browser: one key a cloth, a name for what was brought, kept in step, readable and accessible."""

import pytest
from playwright.sync_api import Page, expect

from tests.support.in_browser import at_every_width, fits, from_verdict, press, violations

pytestmark = pytest.mark.browser


@pytest.fixture
def shown(page: Page) -> Page:
    """The show round of a new sitting whose verdict was revealed, reached from there."""
    from_verdict(page, "Show round")
    page.wait_for_selector("#stage[data-busy=no]")
    return page


def cloth(page: Page) -> str:
    return page.locator(".cloth .id").inner_text()


def test_one_key_shows_a_cloth_and_the_arrows_go_on_and_back(shown: Page) -> None:
    first = cloth(shown)
    press(shown, "1")
    second = cloth(shown)
    assert second != first
    expect(shown.locator(".round li").first).to_contain_text("best")
    shown.keyboard.press("ArrowRight")
    expect(shown.locator(".cloth .id")).not_to_have_text(second)
    shown.keyboard.press("ArrowLeft")
    expect(shown.locator(".cloth .id")).to_have_text(second)
    press(shown, "4")
    press(shown, "u")
    expect(shown.locator(".cloth .id")).to_have_text(second)


def test_a_scanned_label_is_held_at_once_and_leaves_alone_what_is_being_typed(shown: Page) -> None:
    told = {"on": True, "scan": "1", "cloth": "D026", "said": "Scanned: D026"}
    shown.route("**/scanned?*", lambda route: route.fulfill(json=told))
    shown.route("**/coming", lambda route: route.fulfill(json={"labels": True, "pictures": True, "again": 0}))
    shown.evaluate("dispatchEvent(new Event('focus'))")  # somebody turns to the page
    expect(shown.locator(".cloth .id")).to_have_text("D026")
    shown.get_by_label("Its name").fill("grey blazer")
    told |= {"scan": "2", "cloth": "D038"}
    expect(shown.get_by_label("A cloth of your own choice")).to_have_value("D038")
    told |= {"scan": "3", "cloth": "", "said": "X1 was scanned. It is no cloth of this kit."}
    expect(shown.locator("#notice")).to_contain_text("It is no cloth of this kit.")
    expect(shown.get_by_label("Its name")).to_have_value("grey blazer")
    assert cloth(shown) == "D026"


def test_what_was_brought_takes_a_name_and_one_press(shown: Page) -> None:
    shown.get_by_label("Its name").fill("grey blazer")
    shown.wait_for_timeout(500)
    shown.locator(".brought").get_by_role("button", name="Away").click()
    expect(shown.locator(".round ul")).to_contain_text("grey blazer")
    expect(shown.locator("#notice")).to_contain_text("grey blazer shown: away from the face")


def test_a_cloth_of_ones_own_choice_is_held_up(shown: Page) -> None:
    shown.get_by_label("A cloth of your own choice").fill("D001")
    shown.keyboard.press("Enter")
    expect(shown.locator(".cloth .id")).to_have_text("D001")


def test_it_fits_every_screen_and_axe_finds_nothing(shown: Page) -> None:
    press(shown, "1")
    for width in at_every_width(shown):
        assert fits(shown), width
        assert violations(shown) == [], width
        if width >= 1280:
            assert shown.evaluate("document.documentElement.scrollHeight <= innerHeight"), width
