"""Contact sheets of what the demo hands over, for docs/images: papers, swatches, phone page and lock screen.

.venv/bin/python -m studies.written.paper_sheets build/demo docs/images
"""

import sys
from io import BytesIO
from pathlib import Path

import pypdfium2
from PIL import Image
from playwright.sync_api import sync_playwright

from studies.web.live_studio import CHROMIUM

_WIDTH, _GAP, _COLUMNS = 420, 12, 3  # pixels of a page and between pages; pages in a row
_GREY = (118, 118, 118)
_MOST_BYTES = 400_000
# The picture of a paper, and where the demo writes that paper: its client's folder, and the end of the file's name.
_MADE_OF = {
    "your-colours-k2": ("K2", "-colours.pdf"),
    "your-colours-k4": ("K4", "-colours.pdf"),
    "your-colours-k5": ("K5", "-colours.pdf"),
    "studio-sheet-k5": ("K5", "-studio-sheet.pdf"),
}
# Of the swatch sheets the front and the back of the first sheet of each form.
_SWATCHES, _PHONE = "swatches-k5", "phone-k5"
_FORMS = ("-swatches-wallet.pdf", "-swatches-ring.pdf", "-swatches-grid.pdf")
_SCREEN = (390, 844)  # CSS pixels of a common phone


def pages_of(path: Path) -> list[Image.Image]:
    """Return the pages of a PDF as pictures of one width."""
    with pypdfium2.PdfDocument(path) as document:
        drawn = []
        for page in document:
            drawn.append(page.render(scale=2 * _WIDTH / page.get_width()).to_pil().reduce(2))
            page.close()
        return drawn


def phone_screens(page: Path, lock: Path) -> list[Image.Image]:
    """Return the phone page screen by screen as a phone shows it, from its top, and the lock screen last."""
    wide, high = _SCREEN
    with sync_playwright() as tools:
        browser = tools.chromium.launch(**CHROMIUM)  # type: ignore[arg-type]
        tab = browser.new_page(viewport={"width": wide, "height": high})
        tab.goto(page.resolve().as_uri())
        whole = Image.open(BytesIO(tab.screenshot(full_page=True))).convert("RGB")
        browser.close()
    screens = []
    for top in range(0, whole.height, high):
        screen = Image.new("RGB", _SCREEN, _GREY)
        screen.paste(whole.crop((0, top, wide, min(top + high, whole.height))), (0, 0))
        screens.append(screen)
    return [*screens, Image.open(lock).convert("RGB").resize(_SCREEN, Image.Resampling.LANCZOS)]


def contact_sheet(pages: list[Image.Image], most: int = _COLUMNS) -> Image.Image:
    """Return pages side by side, so many at most in a row."""
    width, height = pages[0].size
    columns = min(most, len(pages))
    rows = -(-len(pages) // columns)
    sheet = Image.new("RGB", (columns * (width + _GAP) + _GAP, rows * (height + _GAP) + _GAP), _GREY)
    for i, page in enumerate(pages):
        sheet.paste(page, (_GAP + i % columns * (width + _GAP), _GAP + i // columns * (height + _GAP)))
    return sheet


def main(papers: Path, images: Path) -> None:
    """Write a contact sheet of each paper, and the first page of the client's K5 by itself."""
    for name, (client, ending) in _MADE_OF.items():
        pages = pages_of(only(papers / client, ending))
        write(contact_sheet(pages), images / f"{name}.png")
        if name == "your-colours-k5":
            write(contact_sheet(pages[:3]), images / "your-colours.png")
    fronts = [page for ending in _FORMS for page in pages_of(only(papers / "K5", ending))[:2]]
    write(contact_sheet(fronts, 2), images / f"{_SWATCHES}.png")
    screens = phone_screens(only(papers / "K5", "-phone.html"), only(papers / "K5", "-lock-screen.png"))
    write(contact_sheet(screens, 5), images / f"{_PHONE}.png")


def only(folder: Path, ending: str) -> Path:
    """Return the one file of a folder with an ending."""
    [path] = folder.glob(f"*{ending}")
    return path


def write(picture: Image.Image, path: Path) -> None:
    """Write a picture in few colours; raises where it is too large for a document."""
    picture.quantize(256, kmeans=1, dither=Image.Dither.NONE).save(path, optimize=True)
    if path.stat().st_size > _MOST_BYTES:
        raise SystemExit(f"{path} has {path.stat().st_size} bytes; more than {_MOST_BYTES} make a document slow")
    print(f"{path}: {path.stat().st_size} bytes")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
