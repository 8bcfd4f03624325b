"""What a reader who hears a PDF is told: its tags with their alternative texts, and the sizes of its letters."""

import ctypes
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

import pypdfium2
import pypdfium2.raw as pdfium


class Tag(NamedTuple):
    """One element of a page's tag tree: its type, its alternative text and how deep it lies."""

    kind: str
    alt: str
    depth: int


def tags(path: Path) -> list[list[Tag]]:
    """Return the tags of each page in reading order."""
    with pypdfium2.PdfDocument(path) as document:
        found = []
        for page in document:
            tree = pdfium.FPDF_StructTree_GetForPage(page)
            roots = range(pdfium.FPDF_StructTree_CountChildren(tree))
            found.append(
                [tag for i in roots for tag in _below(pdfium.FPDF_StructTree_GetChildAtIndex(tree, i), depth=0)]
            )
            pdfium.FPDF_StructTree_Close(tree)
            page.close()
        return found


def _below(element: Any, depth: int) -> Iterator[Tag]:
    yield Tag(
        _text(pdfium.FPDF_StructElement_GetType, element), _text(pdfium.FPDF_StructElement_GetAltText, element), depth
    )
    for i in range(pdfium.FPDF_StructElement_CountChildren(element)):
        child = pdfium.FPDF_StructElement_GetChildAtIndex(element, i)
        if child:
            yield from _below(child, depth + 1)


def _text(read: Callable[..., int], element: Any) -> str:
    size = read(element, None, 0)
    if not size:
        return ""
    buffer = ctypes.create_string_buffer(size)
    read(element, buffer, size)
    return buffer.raw.decode("utf-16-le").rstrip("\0")


def smallest_letter(path: Path) -> float:
    """Return the smallest size of any letter in a file, in points."""
    with pypdfium2.PdfDocument(path) as document:
        sizes = []
        for page in document:
            text = page.get_textpage()
            letters = ((text.get_text_range(i, 1), i) for i in range(text.count_chars()))
            sizes += [pdfium.FPDFText_GetFontSize(text, i) for letter, i in letters if letter.strip()]
            text.close()
            page.close()
    return min(sizes)
