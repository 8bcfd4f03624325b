"""What hands do in a browser: start a sitting, answer at the bench, and look at a page as a whole."""

import re
from collections.abc import Iterator
from secrets import token_hex
from typing import Any

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Page

from studies.web.live_studio import LiveStudio, Visitor
from tenter import Kit
from tenter.consultation.words.odds_words import OddsWord
from tests.web.conftest import WIDTHS

SETTLE_MS = 260  # the page takes a press sooner after a change for a bounce
APART_MS = 60  # from letter to letter, or the page takes them for a scanner's
_DRAWN_MS = 150  # the page counts from when it has drawn the cloths, which may be after they are in the document
OWED = ("D063 D064", "D077 D078")  # the pairs that a verdict needs at the least
NAMES = tuple(drape.name for drape in Kit.demo().drapes)
_WHAT_AXE_FINDS = """axe.run({resultTypes: ['violations']}).then(found => found.violations.map(
  v => ({id: v.id, nodes: v.nodes.slice(0, 3).map(n => n.html)})))"""
_TELLING = re.compile(rf"\b(spring|summer|autumn|winter|{'|'.join(OddsWord)})\b|%", re.IGNORECASE)


def begin(page: Page, method: str | None = None) -> str:
    """Start a sitting from the day, by the method of a title if one is named, and return its address."""
    page.goto("/sittings/new")
    if method:
        page.select_option("form[action='/sittings/start'] select[name=method]", label=method)
    page.click("form[action='/sittings/start'] button:not([type=button])")
    page.wait_for_url(re.compile(r"/sittings/\d+"))
    found = re.search(r"/sittings/\d+", page.url)
    assert found
    return found[0]


def at_bench(page: Page, sitting: str = "", cloths: str = "") -> Page:
    """Open the bench of a sitting, or of a new one, with cloths of one's own choice if they are named."""
    page.goto(f"{sitting or begin(page)}/bench{cloths and f'?cloths={cloths}'}")
    page.wait_for_selector("#stage[data-busy=no]")
    return page


def held_before(studio: LiveStudio, *answers: tuple[str, str]) -> str:
    """Start a sitting in which these pairs were held, each with the cloth that was better, and return its address."""
    visitor = Visitor(studio)
    visitor.log_in()
    sitting = f"/sittings/{visitor.start_sitting()}"
    visitor.get(f"{sitting}/bench")
    for seen, (pair, better) in enumerate(answers):
        said = {"act": "record", "kind": "pair", "cloths": pair, "answer": better, "strength": "3"}
        status, now = visitor.post_json(f"{sitting}/bench/entry", said | {"seen": str(seen), "key": token_hex(16)})
        assert status == 200, now
    return sitting


def event_of(page: Page) -> int:
    return int(page.get_attribute("#bench", "data-event") or 0)


def wait_for(page: Page, event: int) -> None:
    page.wait_for_selector(f"#bench[data-event='{event}']", timeout=15000)
    page.wait_for_selector("#stage[data-busy=no]")


def press(page: Page, key: str) -> None:
    """Press an answer's key once the screen has settled, and wait for the next cloths."""
    event = event_of(page)
    page.wait_for_timeout(SETTLE_MS + _DRAWN_MS)
    page.keyboard.press(key)
    wait_for(page, event + 1)


def tap(page: Page, *keys: str) -> None:
    """Press keys one after the other, as hands do."""
    for key in keys:
        page.keyboard.press(key)
        page.wait_for_timeout(APART_MS)


def hold_owed(page: Page, sitting: str, key: str = "a") -> None:
    """Hold the pairs that a verdict needs at the least, each with the answer of a key."""
    for cloths in OWED:
        press(at_bench(page, sitting, cloths), key)


def choose(page: Page, cloths: str) -> None:
    """Put cloths of one's own choice on the bench, by keys."""
    tap(page, "o")
    page.keyboard.type(cloths)
    page.keyboard.press("Enter")
    page.wait_for_selector(f"#bench input[name=cloths][value='{cloths}']", state="attached")


def reveal(page: Page) -> None:
    """Leave the bench for the verdict by its key, reveal it by its one button, and go on to the evidence by its key."""
    page.wait_for_timeout(SETTLE_MS + _DRAWN_MS)
    page.keyboard.press("v")
    page.wait_for_url("**/verdict")
    page.get_by_role("button", name="Reveal the verdict").click()
    page.wait_for_selector(".across")
    page.wait_for_load_state()  # before, the page's script does not hear a key
    page.keyboard.press("e")
    page.wait_for_url("**/evidence")
    page.wait_for_selector(".verdict-cols")


def from_verdict(page: Page, link: str) -> None:
    """Start a sitting, hold what its verdict needs, reveal it, and follow a link from there."""
    hold_owed(page, begin(page))
    reveal(page)
    page.get_by_role("link", name=link).click()


def tells_a_result(text: str) -> bool:
    """Tell whether a text holds a season, odds, or a word for them; the names of the cloths may."""
    for name in NAMES:
        text = text.replace(name, "")
    return _TELLING.search(text) is not None


def cloths(page: Page) -> list[str]:
    return page.locator(".cloth .id").all_text_contents()


def document(page: Page) -> dict[str, Any]:
    """Return the bench as the server has it."""
    found: dict[str, Any] = page.evaluate("fetch(document.getElementById('stage').dataset.state).then(r => r.json())")
    return found


def at_width(page: Page, width: int) -> Page:
    """Give a page the screen of a phone, a laptop or a wall, by its width."""
    page.set_viewport_size({"width": width, "height": WIDTHS[width]})
    return page


def at_every_width(page: Page, address: str | None = None) -> Iterator[int]:
    """Open a page, or the one that is open anew, on a wall, on a laptop and last on a phone, where it is left."""
    for width in sorted(WIDTHS, reverse=True):
        at_width(page, width)
        page.goto(address) if address else page.reload()
        yield width


def fits(page: Page) -> bool:
    """Tell whether a page can be read without scrolling sideways."""
    return bool(page.evaluate("document.documentElement.scrollWidth <= innerWidth"))


def violations(page: Page) -> list[str]:
    """Return what axe finds on a page, with the first places of each."""
    page.evaluate(AXE_SCRIPT)
    found = page.evaluate(_WHAT_AXE_FINDS)  # not all that it tried, which takes long to hand over
    return [f"{v['id']}: {[html[:120] for html in v['nodes']]}" for v in found]
