"""Pictures of the studio's own pages for docs/images: of the README, and of the guide.

.venv/bin/python -m studies.written.studio_pictures docs/images
"""

import os
import re
import sys
import tempfile
from importlib.resources import as_file, files
from pathlib import Path

from playwright.sync_api import Page, expect, sync_playwright

from studies.web.live_studio import CHROMIUM, LiveStudio, Visitor, log_in

_SCREEN = {"width": 1280, "height": 800}  # CSS pixels of a small laptop
_CLIENT = "Maren Tolliver"  # whose result is clear
_PHOTOGRAPHED = "Ilse Varnholt"
_MEASURED_IN = 180_000  # milliseconds, on a machine that has other work too


def first_pages(page: Page, images: Path) -> None:
    """Write the first page of a new studio; the studio is opened by somebody else."""
    page.goto("/welcome")
    page.screenshot(path=images / "guide-welcome.png")


def of_a_sitting(page: Page, number: int, images: Path) -> None:
    """Write the pages that a sitting begins with: the day, the arrival, and the bench with its first pair."""
    for address, name in (("/day", "guide-day"), (f"/sittings/{number}/arrival", "guide-arrival")):
        page.goto(address)
        page.screenshot(path=images / f"{name}.png")
    page.goto(f"/sittings/{number}/bench")
    page.screenshot(path=images / "bench.png")


def of_a_verdict(page: Page, images: Path) -> None:
    """Write the verdict and the palette of the invented client whose result is clear."""
    page.goto(_card_of(page, _CLIENT))
    sitting = page.locator("ol.rows a[href*='/sittings/']").first.get_attribute("href") or ""
    found = re.search(r"/sittings/(\d+)", sitting)
    if found is None:
        raise RuntimeError(f"the page of {_CLIENT} leads to no sitting")
    for word, name in (("verdict", "verdict"), ("palette", "guide-palette")):
        page.goto(f"/sittings/{found[1]}/{word}")
        page.screenshot(path=images / f"{name}.png")


def of_a_photograph(page: Page, images: Path) -> None:
    """Write the card of a client, and a photograph of theirs as it was measured."""
    page.goto(_card_of(page, _PHOTOGRAPHED))
    page.screenshot(path=images / "guide-client.png")
    page.get_by_role("link", name="Photographs").first.click()
    with as_file(files("tenter.demo_studio") / "portraits" / "K1.jpg") as portrait:
        page.get_by_label("Shoot, choose a file").set_input_files(portrait)
    expect(page.locator(".shot img").first).to_be_visible(timeout=_MEASURED_IN)
    page.screenshot(path=images / "guide-photograph.png")


def _card_of(page: Page, client: str) -> str:
    page.goto("/people")
    return page.get_by_role("link", name=client).first.get_attribute("href") or ""


def main(images: Path) -> None:
    """Write every picture from a studio of its own, which is gone afterwards."""
    os.environ["TENTER_PHOTO_PASSPHRASE"] = "of a studio that is gone in a minute"
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as tools:
        studio = LiveStudio(Path(folder)).start()
        try:
            browser = tools.chromium.launch(**CHROMIUM)  # type: ignore[arg-type]
            page = browser.new_page(viewport=_SCREEN, base_url=studio.address)
            first_pages(page, images)
            visitor = Visitor(studio)
            visitor.open_studio()
            number = visitor.start_sitting()
            log_in(page)
            of_a_sitting(page, number, images)
            of_a_verdict(page, images)
            of_a_photograph(page, images)
            browser.close()
        finally:
            studio.stop()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
