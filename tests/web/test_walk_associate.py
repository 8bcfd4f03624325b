"""Walk 8 in a browser: an associate reads a client blind, and both see afterwards how far they agree."""

import importlib
import re
import sys
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect, sync_playwright

BENCH = Path(__file__).parents[2] / "bench"
FIRST, SECOND = 5, 6  # the demo studio's last sitting, and the reading that is asked for
NAME, PASSWORD = "Idris Pell", "another pair of eyes"
ANSWERS = "akjnsgdlakjs"
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
    live.Visitor(studio).open_studio()
    yield studio
    studio.stop()


@pytest.fixture(scope="module")
def chromium():
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
        yield browser
        browser.close()


def page_of(chromium, studio, name: str, password: str) -> Page:
    page = chromium.new_context(viewport={"width": 1280, "height": 800}).new_page()
    page.goto(f"{studio.address}/login")
    page.fill("input[name=username]", name)
    page.fill("input[name=password]", password)
    page.press("input[name=password]", "Enter")
    page.wait_for_url("**/day")
    return page


def ask_for_a_second_reading(owner: Page, address: str) -> None:
    owner.goto(f"{address}/studio/associates/add")
    owner.fill("input[name=name]", NAME)
    owner.fill("input[name=password]", PASSWORD)
    owner.click("button:has-text('Add')")
    owner.goto(f"{address}/sittings/{FIRST}")
    owner.click("a:has-text('Ask for a second reading')")
    owner.select_option("select[name=analyst]", label=NAME)
    owner.click("button:has-text('Ask')")
    expect(owner.locator("main")).to_contain_text(f"{NAME} is asked to read")


def read_blind(associate: Page, address: str) -> None:
    for path in ("", "/verdict", "/arrival", "/agreement", "/sheet.pdf"):
        answer = associate.request.get(f"{address}/sittings/{FIRST}{path}")
        assert answer.status == 404, path
    associate.goto(f"{address}/sittings")
    assert associate.locator(f"a[href='/sittings/{FIRST}']").count() == 0
    associate.goto(f"{address}/sittings/{SECOND}/bench")
    for number, key in enumerate(ANSWERS, start=1):
        associate.keyboard.press(key)
        expect(associate.locator("body")).to_contain_text(re.compile(rf"\b{number} entr"))
        associate.wait_for_timeout(300)  # longer than a bounce of the key
    associate.goto(f"{address}/sittings/{SECOND}/verdict")
    associate.click("main button:has-text('eveal')")
    associate.wait_for_load_state()


def test_an_associate_reads_blind_and_both_see_how_far_they_agree(live, studio, chromium):
    owner = page_of(chromium, studio, live.OWNER, live.PASSWORD)
    ask_for_a_second_reading(owner, studio.address)
    associate = page_of(chromium, studio, NAME, PASSWORD)
    read_blind(associate, studio.address)
    for page in (owner, associate):
        page.goto(f"{studio.address}/sittings/{SECOND}/agreement")
        for axis in ("undertone", "depth", "clarity"):
            expect(page.locator("main")).to_contain_text(re.compile(axis, re.I))
        assert page.evaluate("document.documentElement.scrollWidth") <= 1280
        found = Axe().run(page)
        assert found.response["violations"] == [], found.generate_report()
    owner.goto(f"{studio.address}/studio/agreement")
    expect(owner.locator("main")).to_contain_text("too few to say")
