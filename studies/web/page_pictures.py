"""Every page of the demo studio as a picture at three widths, for whoever changes how the pages look.

`python -m studies.web.page_pictures FOLDER [--only PART] [--dark] [--language de]` writes NAME-WIDTH.png for each page.
"""

import argparse
import re
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from studies.web.every_page import PAGES
from studies.web.live_studio import CHROMIUM, demo_in_use, log_in

WIDTHS = {390: 844, 1280: 800, 1920: 1080}  # a phone, a laptop, a big screen; CSS px


def file_name(path: str) -> str:
    """Return a page's address as the stem of a file."""
    return re.sub(r"\W+", "-", path).strip("-") or "home"


def picture_pages(browser: Browser, address: str, paths: list[str], folder: Path, dark: bool) -> None:
    """Write each page of a studio as a picture at each width."""
    for width, height in WIDTHS.items():
        scheme = "dark" if dark else "light"
        context = browser.new_context(
            base_url=address, viewport={"width": width, "height": height}, color_scheme=scheme
        )
        page = context.new_page()
        log_in(page)
        for path in paths:
            page.goto(path, wait_until="load")
            page.screenshot(path=folder / f"{file_name(path)}-{width}.png", full_page=True)
        context.close()


def main() -> None:
    """Start a studio of its own and picture its pages."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--only", default="", help="pages whose address has this in it")
    parser.add_argument("--dark", action="store_true", help="as a device in its dark mode shows them")
    parser.add_argument("--language", default="en", help="the studio's, by its tag")
    asked = parser.parse_args()
    asked.folder.mkdir(parents=True, exist_ok=True)
    with demo_in_use() as (studio, visitor, running), sync_playwright() as playwright:
        visitor.post("/studio/language", {"language": asked.language})
        browser = playwright.chromium.launch(**CHROMIUM)
        paths = [path.format(running=running) for path in PAGES]
        chosen = [path for path in paths if asked.only in path]
        picture_pages(browser, studio.address, chosen, asked.folder, asked.dark)


if __name__ == "__main__":
    main()
