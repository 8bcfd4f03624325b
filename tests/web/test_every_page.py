"""Every page in a real browser: what axe finds, whether it fits a screen, and where it asks for things."""

import pytest

from studies.web.every_page import ENDED, PAGES
from studies.web.live_studio import Visitor
from tests.support.in_browser import at_every_width, fits, violations

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def running(studio):
    """A sitting just started."""
    visitor = Visitor(studio)
    visitor.log_in()
    return f"/sittings/{visitor.start_sitting()}"


@pytest.mark.parametrize("address", PAGES)
def test_a_page_fits_every_screen_asks_only_its_own_server_and_axe_finds_nothing(page, studio, running, address):
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    for width in at_every_width(page, address.format(running=running)):
        assert fits(page), width
        assert violations(page) == [], width
    assert asked
    assert [url for url in asked if not url.startswith(studio.address)] == []


@pytest.mark.parametrize("sitting", ["{running}", ENDED])
def test_the_clients_screen_fits_and_axe_finds_nothing(page, running, sitting):
    page.goto(f"{sitting.format(running=running)}/arrival")
    if sitting == ENDED:
        page.get_by_role("button", name="New screen link").click()
    for width in at_every_width(
        page, page.url if sitting == ENDED else page.get_attribute("a[href^='/screen/']", "href")
    ):
        assert fits(page), width
        assert violations(page) == [], width
