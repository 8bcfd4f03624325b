"""Contact sheets of the demo's papers for docs/images: every page of each, small, on grey.

PYTHONPATH=src:bench .venv/bin/python bench/paper_sheets.py build/demo docs/images
"""

import sys
from pathlib import Path

import pypdfium2
from PIL import Image

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


def pages_of(path: Path) -> list[Image.Image]:
    """Return the pages of a PDF as pictures of one width."""
    with pypdfium2.PdfDocument(path) as document:
        drawn = []
        for page in document:
            drawn.append(page.render(scale=2 * _WIDTH / page.get_width()).to_pil().reduce(2))
            page.close()
        return drawn


def contact_sheet(pages: list[Image.Image]) -> Image.Image:
    """Return pages side by side."""
    width, height = pages[0].size
    rows = -(-len(pages) // _COLUMNS)
    columns = min(_COLUMNS, len(pages))
    sheet = Image.new("RGB", (columns * (width + _GAP) + _GAP, rows * (height + _GAP) + _GAP), _GREY)
    for i, page in enumerate(pages):
        sheet.paste(page, (_GAP + i % _COLUMNS * (width + _GAP), _GAP + i // _COLUMNS * (height + _GAP)))
    return sheet


def main(papers: Path, images: Path) -> None:
    """Write a contact sheet of each paper, and the first page of the client's K5 by itself."""
    for name, (client, ending) in _MADE_OF.items():
        [path] = (papers / client).glob(f"*{ending}")
        pages = pages_of(path)
        write(contact_sheet(pages), images / f"{name}.png")
        if name == "your-colours-k5":
            write(contact_sheet(pages[:3]), images / "your-colours.png")


def write(picture: Image.Image, path: Path) -> None:
    """Write a picture in few colours; raises where it is too large for a document."""
    picture.quantize(192, dither=Image.Dither.NONE).save(path, optimize=True)
    if path.stat().st_size > _MOST_BYTES:
        raise SystemExit(f"{path} has {path.stat().st_size} bytes; more than {_MOST_BYTES} make a document slow")
    print(f"{path}: {path.stat().st_size} bytes")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
