"""Pictures of the studio's own pages for docs/images: the verdict of the invented K5, and the bench of a new sitting.

PYTHONPATH=src:bench .venv/bin/python bench/studio_pictures.py docs/images
"""

import re
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from live_studio import CHROMIUM, LiveStudio, Visitor, log_in

_SCREEN = {"width": 1280, "height": 800}  # CSS pixels of a small laptop
_CLIENT = "Maren Tolliver"


def verdict(page: Page, images: Path) -> None:
    """Write the verdict of the invented client whose result is clear."""
    page.goto("/people")
    page.get_by_role("link", name=_CLIENT).first.click()
    sitting = page.locator("a[href*='/sittings/']").first.get_attribute("href") or ""
    found = re.search(r"/sittings/(\d+)", sitting)
    if found is None:
        raise RuntimeError(f"the page of {_CLIENT} leads to no sitting")
    page.goto(f"/sittings/{found[1]}/verdict")
    page.screenshot(path=images / "verdict.png")


def bench(page: Page, number: int, images: Path) -> None:
    """Write the bench of a sitting that was just started, with its first pair."""
    page.goto(f"/sittings/{number}/bench")
    page.screenshot(path=images / "bench.png")


def main(images: Path) -> None:
    """Write both pictures from a studio of its own, which is gone afterwards."""
    with tempfile.TemporaryDirectory() as folder:
        studio = LiveStudio(Path(folder)).start()
        try:
            visitor = Visitor(studio)
            visitor.open_studio()
            number = visitor.start_sitting()
            with sync_playwright() as tools:
                browser = tools.chromium.launch(**CHROMIUM)  # type: ignore[arg-type]
                page = browser.new_page(viewport=_SCREEN, base_url=studio.address)
                log_in(page)
                verdict(page, images)
                bench(page, number, images)
                browser.close()
        finally:
            studio.stop()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
