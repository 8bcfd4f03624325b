"""How many clicks and seconds the hand-over takes from the verdict on: `./run bench hand_over`.

The real server in a process of its own, and a browser that clicks what a consultant clicks: the papers, which open
beside the verdict, and the mail draft, which carries all that the client takes home. Seconds are from the click to the
last byte. The first client pays for what a process does once; the others are as the rest of a day.
"""

import argparse
import os
import tempfile
import time
from pathlib import Path

from playwright.sync_api import Page, sync_playwright
from rich.console import Console

from studies.clients.targets import Target, at_most
from studies.web.live_studio import CHROMIUM, LiveStudio, Visitor, log_in

_MOST_CLICKS, _MOST_SECONDS = 3, 10.0


def papers(page: Page) -> float:
    """Click the papers and return the seconds until they are there, in a window of their own."""
    address = page.url
    started = time.perf_counter()
    with page.context.expect_event("response", lambda r: r.url.endswith("/papers.pdf"), timeout=120_000) as answered:
        page.get_by_role("link", name="Papers (PDF)").click()
    body = page.request.get(answered.value.url).body() if not answered.value.ok else b"%PDF"
    taken = time.perf_counter() - started
    assert body.startswith(b"%PDF")
    assert page.url == address  # the verdict stays where it was
    return taken


def kept(page: Page, name: str) -> float:
    """Click a link that hands over a file and return the seconds until it is kept."""
    started = time.perf_counter()
    with page.expect_download(timeout=120_000) as coming:
        page.get_by_role("link", name=name).click()
    assert coming.value.path().stat().st_size > 0
    return time.perf_counter() - started


def hand_over(page: Page) -> tuple[int, list[float]]:
    """Hand one client's things over, from the verdict, and return the clicks and the seconds of each file."""
    first = papers(page)
    page.locator("summary", has_text="Hand over").click()
    seconds = [first, kept(page, "Mail draft")]
    return 1 + len(seconds), seconds


def worked(studio: LiveStudio) -> float:
    """Return for how many seconds the server has had a processor, which does not depend on the machine's other work."""
    assert studio.process is not None
    fields = Path(f"/proc/{studio.process.pid}/stat").read_text().rpartition(")")[2].split()
    return sum(map(int, fields[11:13])) / os.sysconf("SC_CLK_TCK")


def measured(console: Console) -> list[Target]:
    """Hand over to the invented studio's five clients, in a studio of their own."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        studio = LiveStudio(Path(folder)).start()
        try:
            Visitor(studio).open_studio()
            page = play.chromium.launch(**CHROMIUM).new_page(base_url=studio.address)  # type: ignore[arg-type]
            log_in(page)
            taken, busy = [], []
            for sitting in range(1, 6):
                page.goto(f"/sittings/{sitting}/verdict", timeout=120_000)
                before = worked(studio)
                clicks, seconds = hand_over(page)
                taken.append(sum(seconds))
                busy.append(worked(studio) - before)
                told = ", ".join(f"{s:.1f} s" for s in seconds)
                console.print(
                    f"sitting {sitting}: {clicks} clicks; papers and mail draft {told}; worked {busy[-1]:.1f} s"
                )
        finally:
            studio.stop()
    return [
        at_most("clicks from the verdict to all that the client takes home", clicks, _MOST_CLICKS, ""),
        at_most("seconds, the first client of a process", taken[0], _MOST_SECONDS, "s"),
        at_most("seconds, the slowest of the others", max(taken[1:]), _MOST_SECONDS, "s"),
        at_most("of which the server worked, the first", busy[0], _MOST_SECONDS, "s"),
        at_most("of which the server worked, the slowest other", max(busy[1:]), _MOST_SECONDS, "s"),
    ]


def main() -> None:
    """Measure and print."""
    argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0]).parse_args()
    console = Console(highlight=False, soft_wrap=True)
    for target in measured(console):
        print(target)
    print(f"load of the machine at the end {os.getloadavg()[0]:.1f}, on {os.cpu_count()} processors")


if __name__ == "__main__":
    main()
