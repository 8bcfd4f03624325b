"""How soon after a key the next pair is on the screen, by hands in a real browser."""

import numpy as np
from playwright.sync_api import Page, sync_playwright

from studies.clients.targets import Target, at_most
from studies.web.live_studio import CHROMIUM, LiveStudio, log_in

_KEYS = ("a", "s", "d", "j", "k", "l", "n")  # one or the other cloth by each strength, and nothing seen
_HELD_MS = 80  # a finger lies on a key for about so long: from memory, no study at hand
_LOOKS_MS = (700, 1500)  # at the cloths before each key: quicker than any hands, and not in step with the page
_PATIENCE_MS = 30_000
# From the key's own time stamp to the second frame after the cloths are in the document: the first of the two is before
# they are painted, and the second begins once they are.
_WATCH = """() => {
    window.waits = [];
    let pressed = null;
    addEventListener("keydown", (event) => { pressed = event.timeStamp; }, true);
    new MutationObserver(() => {
        if (pressed === null) return;
        const from = pressed;
        pressed = null;
        requestAnimationFrame(() => requestAnimationFrame(() => window.waits.push(performance.now() - from)));
    }).observe(document.getElementById("stage"), {childList: true});
}"""
_SERVED = """() => performance.getEntriesByType("resource").filter((one) => one.name.endsWith("/bench/entry"))
    .map((one) => one.responseStart - one.requestStart)"""


def key_to_pair(studio: LiveStudio, sitting: int, presses: int, seed: int) -> list[Target]:
    """Answer in a sitting by keys, once each pair was looked at, and time how long eye and page wait."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(**CHROMIUM)
        page = browser.new_page(base_url=studio.address, viewport={"width": 1280, "height": 800})
        log_in(page)
        page.goto(f"/sittings/{sitting}/bench")
        page.wait_for_selector("#stage[data-busy=no]")
        page.evaluate(_WATCH)
        rng = np.random.default_rng(seed)
        for number, key in enumerate(rng.choice(_KEYS, presses)):
            page.wait_for_timeout(float(rng.uniform(*_LOOKS_MS)))
            _press(page, str(key), number)
        waited, served = np.array(page.evaluate("window.waits")), np.array(page.evaluate(_SERVED))
        browser.close()
    middle, slow = np.percentile(waited, [50, 95])
    print(f"{len(waited)} keys: the next pair painted after {middle:.0f} ms in the median, 95 of 100 in {slow:.0f} ms")
    return [
        at_most(f"from a key to the next pair painted, {len(waited)} keys, 95 of 100", float(slow), 150, "ms"),
        at_most("the server's share of that, median", float(np.median(served)), 50, "ms"),
    ]


def _press(page: Page, key: str, number: int) -> None:
    page.keyboard.press(key, delay=_HELD_MS)
    page.wait_for_function("number => window.waits.length > number", arg=number, timeout=_PATIENCE_MS)
