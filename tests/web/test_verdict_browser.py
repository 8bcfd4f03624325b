"""Arrival, verdict and the client's screen in a browser: on one screen, by key, live, accessible."""

import os
import re
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from tenter.consultation.odds_words import OddsWord

ROOT = Path(__file__).parents[2]
LAPTOP = {"width": 1280, "height": 800}
TELLING = re.compile(rf"\b(spring|summer|autumn|winter|{'|'.join(OddsWord)})\b|%", re.IGNORECASE)

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def studio(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Serve a studio on a data folder of its own, and return its address."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    kept = {k: v for k, v in os.environ.items() if k not in {"DATABASE_URL", "DJANGO_SETTINGS_MODULE"}}
    environment = kept | {"TENTER_DATA_DIR": str(tmp_path_factory.mktemp("studio"))}
    command = [sys.executable, "-c", "from tenter.web.serve import main; main()", "--port", str(port)]
    running = subprocess.Popen(command, env=environment, cwd=ROOT)
    address = f"http://127.0.0.1:{port}"
    for _ in range(200):
        try:
            urllib.request.urlopen(f"{address}/login", timeout=5).close()
            break
        except OSError:
            time.sleep(0.1)
    yield address
    running.kill()
    running.wait()


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def owner(chromium: Browser, studio: str) -> Iterator[BrowserContext]:
    """The owner's browser, in the demo studio."""
    context = chromium.new_context(viewport=LAPTOP, base_url=studio)
    page = context.new_page()
    page.goto("/welcome")
    page.fill("[name=name]", "Wenna Castrall")
    page.fill("[name=password]", "cloth and daylight")
    page.check("[name=demo]")
    page.click("main button")
    page.wait_for_url("**/day")
    page.close()
    yield context
    context.close()


@pytest.fixture
def page(owner: BrowserContext) -> Iterator[Page]:
    found = owner.new_page()
    faults: list[str] = []
    found.on("pageerror", lambda error: faults.append(str(error)))
    found.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
    yield found
    found.close()
    assert faults == []


def numbers(page: Page) -> list[str]:
    """Return the numbers of the demo studio's sittings."""
    page.goto("/sittings")
    return sorted({m[1] for m in re.finditer(r'href="/sittings/(\d+)"', page.content())}, key=int)[:5]


def begun(page: Page) -> str:
    """Start a sitting and return its address."""
    page.goto("/day")
    page.click("form[action='/sittings/start'] button:not([type=button])")
    page.wait_for_url(re.compile(r"/sittings/\d+"))
    return re.search(r"/sittings/\d+", page.url)[0]


def fits(page: Page) -> bool:
    return bool(page.evaluate("document.documentElement.scrollWidth <= innerWidth"))


def violations(page: Page) -> list[str]:
    found = Axe().run(page).response["violations"]
    return [f"{v['id']}: {[n['html'][:120] for n in v['nodes'][:3]]}" for v in found]


def test_every_verdict_fits_one_laptop_screen_and_comes_in_time(page: Page) -> None:
    for number in numbers(page):
        began = time.monotonic()
        page.goto(f"/sittings/{number}/verdict")
        assert time.monotonic() - began < 5
        assert page.evaluate("document.documentElement.scrollHeight") <= LAPTOP["height"]
        expect(page.locator("summary")).to_be_in_viewport()


def test_one_key_holds_the_contradicting_pair_again(page: Page) -> None:
    for number in numbers(page):
        page.goto(f"/sittings/{number}/verdict")
        again = page.locator("a[data-key='1']")
        if again.count():
            wanted = again.get_attribute("href")
            page.keyboard.press("1")
            page.wait_for_url(f"**/sittings/{number}/{wanted}")
            return
    raise AssertionError("no invented client has a contradiction")


def test_the_clients_screen_follows_and_gives_nothing_away_before(chromium: Browser, studio: str, page: Page) -> None:
    sitting = begun(page)
    page.goto(f"{sitting}/arrival")
    token = page.get_by_role("link", name="Client’s screen").get_attribute("href")
    second = chromium.new_context(base_url=studio)  # nobody is logged in there
    shown = second.new_page()
    heard: list[str] = []
    shown.on("response", lambda r: heard.append(r.text()) if r.url.endswith(str(token)) else None)
    shown.goto(str(token))
    expect(shown.get_by_text("Question 1 of 4")).to_be_visible()
    for cloths, button in (("D063 D064", "a"), ("D077 D078", "a")):
        page.goto(f"{sitting}/bench?cloths={cloths}")
        page.wait_for_selector("#stage[data-busy=no]")
        event = page.get_attribute("#bench", "data-event")
        page.keyboard.press(button)
        page.wait_for_selector(f"#bench[data-event='{int(str(event)) + 1}']")
    expect(shown.get_by_text("2 looked at so far")).to_be_visible()
    shown.wait_for_timeout(300)
    assert heard
    assert [TELLING.search(text) for text in heard] == [None] * len(heard)
    page.goto(f"{sitting}/verdict")
    page.get_by_role("button", name="Reveal the verdict").click()
    page.wait_for_selector(".verdict-cols")
    expect(shown.get_by_role("heading", name="What you were shown")).to_be_visible()
    expect(shown.locator(".bands li")).to_have_count(2)
    second.close()


def test_the_timer_counts_down_and_asks_for_the_pair_again(page: Page) -> None:
    page.clock.install()
    sitting = begun(page)
    page.goto(f"{sitting}/arrival")
    page.get_by_role("button", name="Keep, and start the timer").click()
    expect(page.locator(".timer .left")).to_have_text(re.compile(r"1[12]:\d\d"))
    page.clock.fast_forward("05:00")
    expect(page.locator(".timer .left")).to_have_text(re.compile(r"[67]:\d\d"))
    expect(page.locator(".settled")).to_be_hidden()
    page.clock.fast_forward("07:05")
    expect(page.locator(".settled")).to_be_visible()
    expect(page.get_by_role("link", name="Hold it again")).to_be_visible()


def test_without_scripts_it_is_all_there(chromium: Browser, studio: str, owner: BrowserContext, page: Page) -> None:
    sitting = begun(page)
    bare = chromium.new_context(storage_state=owner.storage_state(), base_url=studio, java_script_enabled=False)
    plain = bare.new_page()
    plain.goto(f"{sitting}/arrival")
    plain.get_by_role("button", name="Keep, and start the timer").click()
    expect(plain.locator(".timer .left")).to_have_text("12 min")
    plain.goto(f"{sitting}/verdict")
    expect(plain.get_by_role("link", name="Hold more cloths")).to_be_visible()
    bare.close()


def test_the_pages_are_accessible_at_every_width(page: Page) -> None:
    told = numbers(page)[0]
    page.goto(f"/sittings/{told}/verdict")
    screen = page.get_by_role("link", name="Client’s screen").get_attribute("href")
    sitting = begun(page)
    page.goto(f"{sitting}/arrival")
    calm = page.get_by_role("link", name="Client’s screen").get_attribute("href")
    for address in (f"/sittings/{told}/verdict", f"{sitting}/verdict", f"{sitting}/arrival", str(screen), str(calm)):
        for width in (1920, 1280, 390):
            page.set_viewport_size({"width": width, "height": 800})
            page.goto(address)
            assert fits(page), (address, width)
        assert violations(page) == [], address
