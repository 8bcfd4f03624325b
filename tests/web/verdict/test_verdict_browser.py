"""Arrival, verdict and the client's screen in a browser: on one screen, by key, live, accessible."""

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from studies.web.live_studio import LiveStudio
from tests.support.clients.many_categories import many_categories
from tests.support.in_browser import (
    at_bench,
    at_every_width,
    begin,
    fits,
    held_before,
    hold_owed,
    reveal,
    tells_a_result,
    violations,
)
from tests.support.running import new_studio
from tests.web.conftest import WIDTHS, log_in

# Four answers of an otherwise cool, light client that the others speak against, and what makes them stand out.
CONTRADICTING = [
    *(("D065 D019", "D019"), ("D023 D052", "D023"), ("D027 D050", "D027"), ("D068 D057", "D068")),
    *(("D082 D016", "D016"), ("D076 D078", "D076"), ("D037 D032", "D032"), ("D048 D017", "D017")),
    *(("D059 D029", "D029"), ("D056 D064", "D056"), ("D073 D075", "D075"), ("D013 D020", "D020")),
    *(("D076 D001", "D001"), ("D021 D056", "D056"), ("D022 D038", "D022"), ("D085 D018", "D018")),
    *(("D018 D057", "D018"), ("D026 D053", "D053"), ("D045 D066", "D066"), ("D022 D011", "D022")),
]
ON_ONE_SCREEN = "document.documentElement.scrollHeight <= innerHeight"
SMALLEST = """Math.min(...[...document.querySelectorAll('body *')].filter(one => one.checkVisibility()
  && [...one.childNodes].some(part => part.nodeType === 3 && part.data.trim()))
  .map(one => parseFloat(getComputedStyle(one).fontSize)))"""  # letters that are shown, CSS px
pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def studio_apart(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveStudio]:
    """A studio of these tests alone, for what would stay in every other file's."""
    yield from new_studio.opened(tmp_path_factory.mktemp("apart"))


@pytest.fixture
def apart(new_context: Callable[..., BrowserContext], studio_apart: LiveStudio) -> Page:
    """The owner's page in that studio."""
    own = new_context(base_url=studio_apart.address, viewport={"width": 1280, "height": 800}).new_page()
    log_in(own)
    return own


def numbers(page: Page) -> list[str]:
    """Return the numbers of the demo studio's sittings."""
    page.goto("/sittings")
    return sorted({m[1] for m in re.finditer(r'href="/sittings/(\d+)"', page.content())}, key=int)[:5]


@pytest.mark.parametrize("width", [1280, 1920])
def test_every_verdict_fits_one_screen(page: Page, width: int) -> None:
    page.set_viewport_size({"width": width, "height": WIDTHS[width]})
    for number in numbers(page):
        page.goto(f"/sittings/{number}/verdict")
        assert page.evaluate(ON_ONE_SCREEN), number
        expect(page.get_by_role("link", name="Evidence")).to_be_in_viewport()
        page.keyboard.press("e")
        page.wait_for_url("**/evidence")
        assert page.evaluate(ON_ONE_SCREEN), number
        expect(page.locator("summary").last).to_be_in_viewport()


def test_a_sitting_full_of_contradictions_fits_too_and_a_key_shows_the_rest(page: Page, studio: LiveStudio) -> None:
    reveal(at_bench(page, held_before(studio, *CONTRADICTING)))
    listed = page.locator("section[aria-labelledby=contradictions] li:visible")
    for _ in at_every_width(page):
        expect(listed).to_have_count(2)
        assert page.evaluate(f"innerWidth < 1280 || {ON_ONE_SCREEN}")
        assert page.evaluate(SMALLEST) >= 13
        page.keyboard.press("m")
        expect(listed).to_have_count(4)
        assert fits(page)
    page.keyboard.press("t")
    page.wait_for_url("**/verdict")
    assert page.evaluate(SMALLEST) >= 13


def test_a_result_that_is_named_stands_first_and_the_page_fits_one_screen(apart: Page) -> None:
    page = apart
    number = numbers(page)[-1]
    page.goto(f"/sittings/{number}/evidence")
    by_odds = page.locator("h1").inner_text()
    page.locator("summary", has_text="Name the result").click()
    page.get_by_label("Result").select_option("deep winter")
    page.get_by_label("Reason").fill("Dark, cool colours evened the cheeks, and every warm one shadowed the jaw.")
    page.get_by_role("button", name="Save this result").click()
    page.wait_for_selector("h1:text-is('Deep winter')")
    expect(page.get_by_text(f"By the odds: {by_odds}")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollHeight <= innerHeight")
    for width in at_every_width(page):
        assert fits(page), width
        page.locator("summary", has_text="Name the result").click()
        assert fits(page), width
    assert violations(page) == []
    page.get_by_role("button", name="Leave it to the odds").click()
    page.wait_for_selector(f"h1:text-is('{by_odds}')")


def test_a_verdict_of_many_categories_fits_one_screen(apart: Page, tmp_path: Path) -> None:
    page = apart
    (tmp_path / "many.toml").write_text(many_categories(24), encoding="utf-8")
    page.goto("/kit/methods/add")
    page.set_input_files("input[name=file]", tmp_path / "many.toml")
    page.get_by_role("button", name="Read the file").click()
    page.wait_for_url(re.compile(r"/kit/methods/\d+"))
    assert fits(page)
    sitting = begin(page, "24 categories")
    hold_owed(page, sitting)
    reveal(page)
    assert page.locator("table tbody tr").count() >= 24
    assert page.evaluate("document.documentElement.scrollHeight <= innerHeight")
    for _ in at_every_width(page):
        assert fits(page)
        page.locator("details:not(.ending) > summary").last.click()
        assert fits(page)


def test_one_key_holds_the_contradicting_pair_again(page: Page) -> None:
    held = []
    for number in numbers(page):
        page.goto(f"/sittings/{number}/evidence")
        again = page.locator("a[data-key='1']")
        if again.count():
            wanted = again.evaluate("link => link.href")
            with page.expect_request(
                re.compile("/bench")
            ) as asked:  # a bench that has ended forgets the cloths at once
                page.keyboard.press("1")
            held.append((asked.value.url, wanted))
            page.wait_for_url(re.compile("/bench"))  # or the next page would be on its way at the same time
    assert held  # an invented client has a contradiction
    assert all(opened == wanted and "cloths=" in wanted for opened, wanted in held)


def test_the_clients_screen_follows_and_gives_nothing_away_before(
    new_context: Callable[..., BrowserContext], studio: LiveStudio, page: Page
) -> None:
    sitting = begin(page)
    page.goto(f"{sitting}/arrival")
    token = page.get_by_role("link", name="Client’s screen").get_attribute("href")
    second = new_context(base_url=studio.address)  # nobody is logged in there
    shown = second.new_page()
    heard: list[str] = []
    shown.on("response", lambda r: heard.append(r.text()) if r.url.endswith(str(token)) else None)
    shown.goto(str(token))
    expect(shown.get_by_text("Question 1 of 4")).to_be_visible()
    hold_owed(page, sitting)
    expect(shown.get_by_text("2 looked at so far")).to_be_visible()
    shown.wait_for_timeout(300)
    assert heard
    assert not any(tells_a_result(text) for text in heard)
    page.goto(f"{sitting}/verdict")
    page.get_by_role("button", name="Reveal the verdict").click()
    page.wait_for_selector(".across")
    expect(shown.get_by_role("heading", name="What you were shown")).to_be_visible()
    expect(shown.locator(".pictures li")).to_have_count(2)


def test_the_timer_counts_down_and_asks_for_the_pair_again(page: Page) -> None:
    page.clock.install()
    sitting = begin(page)
    page.goto(f"{sitting}/arrival")
    page.get_by_role("button", name="Save and start the timer").click()
    expect(page.locator(".timer .left")).to_have_text(re.compile(r"1[12]:\d\d"))
    page.clock.fast_forward("05:00")
    expect(page.locator(".timer .left")).to_have_text(re.compile(r"[67]:\d\d"))
    expect(page.locator(".settled")).to_be_hidden()
    page.clock.fast_forward("07:05")
    expect(page.locator(".settled")).to_be_visible()
    expect(page.get_by_role("link", name="Hold it again")).to_be_visible()


def test_without_scripts_it_is_all_there(
    new_context: Callable[..., BrowserContext], entrance: dict[str, Any], page: Page
) -> None:
    sitting = begin(page)
    bare = new_context(**entrance, java_script_enabled=False)
    plain = bare.new_page()
    plain.goto(f"{sitting}/arrival")
    plain.get_by_role("button", name="Save and start the timer").click()
    expect(plain.locator(".timer .left")).to_have_text("12 min")
    plain.goto(f"{sitting}/verdict")
    expect(plain.get_by_role("link", name="Hold more cloths")).to_be_visible()


def test_the_pages_are_accessible_at_every_width(page: Page) -> None:
    told = numbers(page)[0]
    page.goto(f"/sittings/{told}/evidence")
    page.get_by_role("button", name="New screen link").click()
    screen = page.url
    sitting = begin(page)
    page.goto(f"{sitting}/arrival")
    calm = page.get_by_role("link", name="Client’s screen").get_attribute("href")
    revealed = (f"/sittings/{told}/verdict", f"/sittings/{told}/evidence")
    for address in (*revealed, f"{sitting}/verdict", f"{sitting}/arrival", str(screen), str(calm)):
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": WIDTHS[width]})
            page.goto(address)
            assert fits(page), (address, width)
        assert violations(page) == [], address
