"""Every page in a real browser: what axe finds, and whether it fits a phone, a laptop and a wall screen."""

import importlib
import sys
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import sync_playwright

BENCH = Path(__file__).parents[2] / "bench"
WIDTHS = {390: 844, 1280: 800, 1920: 1080}
RUNNING, ENDED = 6, 5  # a sitting just started, and the demo studio's last
PAGES = (
    "/day",
    "/people",
    "/people/add",
    "/people/1",
    "/people/1/edit",
    "/kit",
    "/kit/1",
    "/kit/add",
    "/sittings",
    f"/sittings/{RUNNING}",
    f"/sittings/{RUNNING}/arrival",
    f"/sittings/{RUNNING}/bench",
    f"/sittings/{RUNNING}/verdict",
    f"/sittings/{ENDED}",
    f"/sittings/{ENDED}/verdict",
    "/studio",
    "/studio/log",
    "/studio/agreement",
    "/account/password",
    "/nowhere",
)
pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def live():
    """The live server of `./run bench web`."""
    sys.path.insert(0, str(BENCH))
    try:
        yield importlib.import_module("live_studio")
    finally:
        sys.path.remove(str(BENCH))


@pytest.fixture(scope="module")
def studio(live, tmp_path_factory):
    studio = live.LiveStudio(tmp_path_factory.mktemp("studio")).start()
    yield studio
    studio.stop()


@pytest.fixture(scope="module")
def browser():
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
        yield chromium
        chromium.close()


@pytest.fixture(scope="module")
def walker(live, studio, browser):
    """A newcomer's own page, gone through the first run."""
    page = browser.new_context(viewport={"width": 1280, "height": 800}).new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(studio.address)
    page.fill("input[name=name]", live.OWNER)
    page.fill("input[name=password]", live.PASSWORD)
    page.check("input[name=demo]")
    page.click("main button")
    page.wait_for_url("**/day")
    page.click("main form button:has-text('Start')")
    page.wait_for_url(f"**/sittings/{RUNNING}*")
    page.asked = asked
    return page


# Walk 1: the first useful screens, with no manual: the cloths, the coverage, the three gaps, the mixed pairs.
def test_a_newcomer_sees_the_kit_its_gaps_and_its_mixed_pairs(walker, studio):
    walker.set_viewport_size({"width": 1280, "height": 800})
    walker.goto(f"{studio.address}/day")
    walker.click("nav >> text=Kit")
    walker.wait_for_load_state()
    if "/kit/" not in walker.url:
        walker.click("main a:has-text('Demo kit')")
        walker.wait_for_url("**/kit/*")
    text = walker.inner_text("main")
    assert "96 cloths" in text
    for word in ("Widest gaps", "Coverage", "Pairs that test more than one thing", "D095", "D096"):
        assert word in text


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("address", PAGES)
def test_a_page_fits_its_screen_and_axe_finds_nothing(walker, studio, address, width):
    walker.set_viewport_size({"width": width, "height": WIDTHS[width]})
    walker.goto(studio.address + address)
    fits_and_axe_finds_nothing(walker, width)


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("sitting", [RUNNING, ENDED])
def test_the_clients_screen_fits_and_axe_finds_nothing(walker, studio, sitting, width):
    walker.set_viewport_size({"width": width, "height": WIDTHS[width]})
    walker.goto(f"{studio.address}/sittings/{sitting}/arrival")
    walker.goto(studio.address + walker.get_attribute("a[href^='/screen/']", "href"))
    fits_and_axe_finds_nothing(walker, width)


def fits_and_axe_finds_nothing(walker, width):
    assert walker.evaluate("document.documentElement.scrollWidth") <= width
    found = Axe().run(walker)
    assert found.response["violations"] == [], found.generate_report()


def test_no_request_left_the_machine(walker, studio):
    assert walker.asked
    assert [url for url in walker.asked if not url.startswith(studio.address)] == []
