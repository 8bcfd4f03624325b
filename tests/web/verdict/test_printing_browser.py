"""The papers in a browser that shows a PDF inside a page: they print themselves once, and again by a button."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, Playwright

from studies.web.live_studio import CHROMIUM
from tests.support.in_browser import at_every_width, fits, from_verdict, violations

pytestmark = pytest.mark.browser


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    """The whole Chromium: what the other tests drive has nothing that shows a PDF."""
    whole = playwright.chromium.launch(**CHROMIUM)
    yield whole
    whole.close()


def test_the_papers_open_beside_the_verdict_and_print_themselves(page: Page) -> None:
    from_verdict(page, "Palette")
    page.wait_for_url("**/palette")
    page.context.add_init_script("window.print = () => { top.printed = (top.printed ?? 0) + 1; };")
    verdict = page.url.replace("/palette", "/verdict")
    page.goto(verdict)
    page.locator("summary", has_text="Hand over").click()
    with page.expect_popup() as opened:
        page.get_by_role("link", name="Print").click()
    opened.value.get_by_role("button", name="Print").wait_for()
    opened.value.wait_for_load_state("load")
    first = opened.value.evaluate("top.printed ?? 0")
    opened.value.get_by_role("button", name="Print").click()
    assert (first, opened.value.evaluate("top.printed")) == (1, 2)
    assert page.url == verdict
    for width in at_every_width(opened.value):
        assert fits(opened.value), width
    assert violations(opened.value) == []
