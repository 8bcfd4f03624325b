"""How fast and how safe the bench page is, and how soon a verdict is there: `./run bench web`.

The real server in a process of its own, on SQLite, and visitors over the loopback, so a time holds everything but the
drawing. First paint, and the next pair painted after a key, are measured in Chromium. Killing means SIGKILL at a random
moment while entries are being sent; what was not confirmed is sent again with the same key, as the page does.
"""

import argparse
import json
import os
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
from playwright.sync_api import Page, sync_playwright
from rich.console import Console
from rich.progress import track

from studies.clients.targets import Target, at_most
from studies.web.live_studio import CHROMIUM, LiveStudio, Visitor, log_in
from studies.web.pressed_keys import key_to_pair
from studies.web.scripted import Script, lost_and_doubled, under_fire

BUILD = Path(__file__).parents[2] / "build" / "bench"
_PAGES = ("/day", "/people", "/kit", "/sittings", "/sittings/{}/arrival", "/sittings/{}/bench", "/sittings/{}/verdict")
_PAINT = "() => performance.getEntriesByName('first-contentful-paint')[0].startTime"
_ENTRIES_UNDER_FIRE = 6
_ENTRIES_BY_HAND, _PACE = 8, 8.0  # seconds from one entry to the next
_SETTLES_MS = 600  # the page takes a press sooner after a change for a bounce


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--entries", type=int, default=60, help="of the timed sitting")
    parser.add_argument("--crowd", type=int, default=20, help="sittings at once, as fast as they can")
    parser.add_argument("--house", type=int, default=50, help="sittings at once, each at the pace of hands")
    parser.add_argument("--kills", type=int, default=200, help="sittings in which the server is killed")
    parser.add_argument("--seed", type=int, default=5)
    return parser.parse_args()


def visitor_of(studio: LiveStudio) -> Visitor:
    visitor = Visitor(studio)
    visitor.log_in()
    return visitor


def script_of(studio: LiveStudio, seed: int, number: int) -> Script:
    visitor = visitor_of(studio)
    return Script(visitor, visitor.start_sitting(), np.random.default_rng([seed, number]))


def first_screen(studio: LiveStudio) -> Target:
    """Time a newcomer, from an empty folder: the server starts, the demo studio is laid in, and its kit is there."""
    started = time.perf_counter()
    visitor = Visitor(studio.start())
    visitor.open_studio()
    visitor.fetch("/kit/1")
    return at_most(
        "from an empty folder to the kit, its gaps and its mixed pairs", time.perf_counter() - started, 60, "s"
    )


def one_sitting(studio: LiveStudio, entries: int, seed: int) -> tuple[list[Target], int]:
    script = script_of(studio, seed, 0).run(entries)
    milliseconds = 1000 * np.array(script.seconds)
    middle, slow = float(np.median(milliseconds)), float(np.percentile(milliseconds, 95))
    return [
        at_most(f"an entry of {entries}, confirmed and the next pair sent, median", middle, 50, "ms"),
        at_most("the same, 95 of 100", slow, 150, "ms"),
    ], script.sitting


def verdict(studio: LiveStudio, sitting: int, entries: int) -> list[Target]:
    """Time the verdict's page as the server answers it: right after a start, once more, and as the sheet to print."""
    visitor = visitor_of(studio)
    visitor.get(f"/sittings/{sitting}/verdict")
    visitor.post(f"/sittings/{sitting}/reveal", {})
    studio.kill()
    studio.start()
    return [
        at_most(
            f"the verdict of {entries} entries, on a server just started", answer(visitor, sitting, "verdict"), 5, "s"
        ),
        at_most("the same, opened again", answer(visitor, sitting, "verdict"), 5, "s"),
        at_most("its sheet as a PDF", answer(visitor, sitting, "sheet.pdf"), 20, "s"),
    ]


def answer(visitor: Visitor, sitting: int, page: str) -> float:
    started = time.perf_counter()
    visitor.fetch(f"/sittings/{sitting}/{page}")
    return time.perf_counter() - started


def paints(studio: LiveStudio, sitting: int) -> list[Target]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(**CHROMIUM)
        page = browser.new_page(base_url=studio.address, viewport={"width": 1280, "height": 800})
        log_in(page)
        found = [at_most(f"first paint of {p.format('N')}", paint(page, p, sitting), 1, "s") for p in _PAGES]
        browser.close()
    return found


def paint(page: Page, path: str, sitting: int) -> float:
    page.goto(path.format(sitting))
    page.wait_for_function("() => performance.getEntriesByName('first-contentful-paint').length > 0")
    return float(page.evaluate(_PAINT)) / 1000


def crowd(studio: LiveStudio, count: int, seed: int) -> list[Target]:
    scripts = [script_of(studio, seed, 1000 + n) for n in range(count)]

    def run(script: Script) -> int:
        try:
            script.run(15)
        except RuntimeError as error:
            Console(stderr=True).print(str(error))
            return 1
        return 0

    with ThreadPoolExecutor(count) as pool:
        errors = sum(pool.map(run, scripts))
    seconds = np.concatenate([s.seconds for s in scripts])
    middle, slow = 1000 * np.median(seconds), 1000 * np.percentile(seconds, 95)
    print(f"{count} sittings at once: {len(seconds)} entries, median {middle:.0f} ms, 95 of 100 {slow:.0f} ms")
    return [at_most(f"errors in {count} sittings at once", errors, 0)]


def house(studio: LiveStudio, count: int, seed: int) -> list[Target]:
    """Time many sittings at the pace of hands, an entry each eight seconds."""
    scripts = [script_of(studio, seed, 3000 + n) for n in range(count)]
    for script in scripts:
        script.state()
    with ThreadPoolExecutor(count) as pool:
        list(pool.map(lambda script: script.run(_ENTRIES_BY_HAND, _PACE), scripts))
    slow = 1000 * float(np.percentile(np.concatenate([script.seconds for script in scripts]), 95))
    return [at_most(f"an entry in {count} sittings at once, one each {_PACE:.0f} s, 95 of 100", slow, 300, "ms")]


def from_the_door(studio: LiveStudio) -> list[Target]:
    """Count what hands do between a new client at the door and the first answer: clicks, a name and one key."""
    clicks = 0
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(**CHROMIUM)
        page = browser.new_page(base_url=studio.address, viewport={"width": 1280, "height": 800})
        log_in(page)
        page.get_by_label("Somebody without an appointment").fill("Ada Quill")
        for name in ("Start", "I agree", "Go to the bench"):
            page.locator("main").locator("button, a.button").get_by_text(name, exact=True).last.click()
            clicks += 1
        page.wait_for_selector("#stage[data-busy=no]")
        page.wait_for_timeout(_SETTLES_MS)
        page.keyboard.press("a")
        page.wait_for_selector("#bench[data-event='1']")
        browser.close()
    return [at_most("clicks from a new client at the door to the first answer, beside a name and a key", clicks, 3)]


def kills(studio: LiveStudio, count: int, seed: int) -> list[Target]:
    lost = doubled = confirmed = 0
    for number in track(range(count), "killing the server", console=Console(stderr=True)):
        script = under_fire(studio, script_of(studio, seed, 2000 + number), _ENTRIES_UNDER_FIRE)
        gone, twice = lost_and_doubled(studio, script)
        lost, doubled, confirmed = lost + gone, doubled + twice, confirmed + len(script.acknowledged)
    print(f"{count} sittings with the server killed in each: {confirmed} entries confirmed")
    return [
        at_most("confirmed entries lost", lost, 0),
        at_most("entries doubled", doubled, 0),
    ]


def main() -> None:
    options = arguments()
    BUILD.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        studio = LiveStudio(Path(folder))
        try:
            newcomer = first_screen(studio)
            targets, sitting = one_sitting(studio, options.entries, options.seed)
            targets += key_to_pair(studio, visitor_of(studio).start_sitting(), options.entries, options.seed)
            targets += [newcomer, *verdict(studio, sitting, options.entries)]
            targets += paints(studio, sitting)
            targets += from_the_door(studio)
            targets += crowd(studio, options.crowd, options.seed)
            targets += house(studio, options.house, options.seed)
            targets += kills(studio, options.kills, options.seed)
        finally:
            studio.stop()
    print(f"load of the machine at the end {os.getloadavg()[0]:.1f}\n")
    print("\n".join(str(target) for target in targets))
    (BUILD / "web.json").write_text(json.dumps([t.plain() for t in targets], indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
