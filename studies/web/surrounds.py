"""What surrounds each colour of a page: the greys around cloths, swatches and photographs, as they are on the screen.

`python -m studies.web.surrounds [FOLDER] [--only PART] [--width 1280]` opens every page of a demo studio, and those of
photographs, by day and by night. Of a ring around whatever paints a colour, a quarter as wide as that is, the share is
told that is a neutral grey for looking or judging. FOLDER: pictures of the pages that break it, each ring red.
"""

import argparse
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any, Final

import numpy as np
from PIL import Image, ImageDraw
from playwright.sync_api import Browser, Page, sync_playwright

from studies.web.every_page import PAGES
from studies.web.live_studio import CHROMIUM, LiveStudio, demo_in_use, log_in
from studies.web.page_pictures import file_name
from studies.web.photographed import photographed_pages
from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.spaces import chroma, srgb_to_lab

RING: Final = (4, 8)  # CSS px around a colour that are looked at, at least and at most: 1 and 2 mm
LEAST_SHARE: Final = 0.9  # of the ring; letters beside a colour may take the rest
NEUTRAL: Final = 1.0  # C*ab: what is stronger is a colour
GREYS: Final = (50.0, 85.0)  # L* of the greys around colours, with 1 for rounding
INK: Final = 49.0  # L* below which a drawing's outlines and words are
_TALL = 16000  # px: no page of the studio is taller

FIND: Final = Path(__file__).with_suffix(".js").read_text(encoding="utf-8")


OPENED: Final = "document.querySelectorAll('details:not(.take-home)').forEach((one) => { one.open = true; })"
LOADED: Final = """() => Promise.all([...document.images].map((one) => {
  one.loading = "eager";
  return one.complete || new Promise((done) => { one.onload = one.onerror = done; });
}))"""


@dataclass(frozen=True, slots=True)
class Surround:
    """A colour of a page and its ring. named: its place in the page. box: left, top, right and bottom in CSS px.

    kind: "swatch", "drawn", "picture" or "background". share: of the ring, 0 to 1, that is a grey for colours.
    lightness, strongest: the ring's median L* and its largest C*ab.
    """

    kind: str
    named: str
    box: tuple[int, int, int, int]
    share: float
    lightness: float
    strongest: float

    @property
    def holds(self) -> bool:
        """Whether the colour stands on a neutral grey."""
        return self.share >= LEAST_SHARE


def ring_around(box: tuple[int, int, int, int], shape: tuple[int, int], width: int) -> BoolArray:
    """Return which pixels of a picture, of (height, width), lie within `width` px around a box."""
    left, top, right, bottom = box
    ring = np.zeros(shape, dtype=bool)
    ring[max(top - width, 0) : bottom + width, max(left - width, 0) : right + width] = True
    ring[max(top, 0) : bottom, max(left, 0) : right] = False
    return ring


def ring_width(box: tuple[int, int, int, int]) -> int:
    """Return how wide the grey around a box is to be, in px: a quarter of its smaller side, within `RING`."""
    left, top, right, bottom = box
    return int(np.clip(round(min(right - left, bottom - top) / 4), *RING))


def surrounds(found: list[dict[str, Any]], lab: FloatArray) -> Iterator[Surround]:
    """Yield what lies around each colour found in a page's picture, other colours left out; lab: (height, width, 3)."""
    boxes = [tuple(round(v) for v in one["box"]) for one in found]
    coloured = np.zeros(lab.shape[:2], dtype=bool)
    for left, top, right, bottom in boxes:
        coloured[max(top - 2, 0) : bottom + 2, max(left - 2, 0) : right + 2] = True  # an edge may lie between two px
    for one, box in zip(found, boxes, strict=True):
        around = lab[ring_around(box, lab.shape[:2], ring_width(box)) & ~coloured]
        if one["kind"] == "drawn":
            around = around[around[:, 0] > INK]  # outlines and words of a drawing, which brings its own ground
        if around.size:
            strength = chroma(around)
            good = (strength < NEUTRAL) & (around[:, 0] > GREYS[0] - 1) & (around[:, 0] < GREYS[1] + 1)
            yield Surround(
                one["kind"], one["named"], box, good.mean(), float(np.median(around[:, 0])), float(strength.max())
            )


def page_surrounds(page: Page) -> tuple[list[Surround], Image.Image]:
    """Return what lies around each colour of the page that is open, and its picture."""
    tall = page.evaluate("document.documentElement.scrollHeight")
    size = page.viewport_size or {"width": 1280, "height": 800}
    page.set_viewport_size({"width": size["width"], "height": min(max(tall, size["height"]), _TALL)})
    page.evaluate(OPENED)
    tall = page.evaluate("document.documentElement.scrollHeight")
    page.set_viewport_size({"width": size["width"], "height": min(max(tall, size["height"]), _TALL)})
    page.evaluate(LOADED)
    picture = Image.open(BytesIO(page.screenshot(animations="disabled"))).convert("RGB")
    lab = srgb_to_lab(np.asarray(picture, dtype=float) / 255)
    found = list(surrounds(page.evaluate(FIND), lab))
    page.set_viewport_size(size)
    return found, picture


def write_marked(picture: Image.Image, broken: list[Surround], path: Path) -> None:
    """Write a page's picture with a frame around each colour that stands on no neutral grey."""
    drawn = ImageDraw.Draw(picture)
    for one in broken:
        left, top, right, bottom = one.box
        wide = ring_width(one.box)
        drawn.rectangle((left - wide, top - wide, right + wide, bottom + wide), outline=(255, 0, 0), width=1)
    picture.save(path)


def look(browser: Browser, studio: LiveStudio, paths: list[str], scheme: str, width: int, folder: Path | None) -> int:
    """Print what lies around the colours of pages, and return how many stand on no neutral grey."""
    context = browser.new_context(
        base_url=studio.address, viewport={"width": width, "height": 800}, color_scheme=scheme
    )
    page, broken, coloured, every = context.new_page(), 0, 0, 0
    log_in(page)
    for path in paths:
        page.goto(path, wait_until="load")
        found, picture = page_surrounds(page)
        bad = [one for one in found if not one.holds]
        every, coloured, broken = every + len(found), coloured + bool(found), broken + len(bad)
        for line in _told(path, bad):
            print(f"{scheme:5s} {line}")
        if bad and folder:
            write_marked(picture, bad, folder / f"{scheme}-{file_name(path)}-{width}.png")
    print(f"{scheme}, {width} px: {len(paths)} pages, {coloured} with {every} colours; {broken} on no neutral grey")
    context.close()
    return broken


def _told(path: str, bad: list[Surround]) -> Iterator[str]:
    for named in dict.fromkeys((one.kind, one.named) for one in bad):
        alike = [one for one in bad if (one.kind, one.named) == named]
        worst = min(alike, key=lambda one: one.share)
        yield (
            f"{path:44s} {len(alike):3d} x {named[0]:8s} {100 * worst.share:3.0f} % L* {worst.lightness:3.0f} "
            f"C* {worst.strongest:3.0f} at {worst.box}  {named[1]}"
        )


def main() -> None:
    """Start a studio of its own and look at its pages."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("folder", type=Path, nargs="?")
    parser.add_argument("--only", default="", help="pages whose address has this in it")
    parser.add_argument("--width", type=int, default=1280)
    parser.add_argument("--schemes", nargs="*", default=["light", "dark"])
    asked = parser.parse_args()
    if asked.folder:
        asked.folder.mkdir(parents=True, exist_ok=True)
    with demo_in_use() as (studio, visitor, running), sync_playwright() as playwright:
        browser = playwright.chromium.launch(**CHROMIUM)
        paths = [*(path.format(running=running) for path in PAGES), *photographed_pages(visitor)]
        chosen = [path for path in paths if asked.only in path]
        for scheme in asked.schemes:
            look(browser, studio, chosen, scheme, asked.width, asked.folder)


if __name__ == "__main__":
    main()
