"""What kind of file came, told by its first bytes: names lie."""

from enum import StrEnum
from typing import Literal

from tenter.errors import UnreadableInput
from tenter.language import N_, _
from tenter.photo.decoders.decoded import REMEDY


class FileKind(StrEnum):
    """The formats that are read; DNG stands for every raw format."""

    JPEG = "JPEG"
    PNG = "PNG"
    WEBP = "WebP"
    TIFF = "TIFF"
    HEIC = "HEIC"
    DNG = "DNG"


_TIFF_HEADS = (b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")
# Raw files that look like a TIFF whose first page is a thumbnail; only the name tells.
_RAW_ENDINGS = (".dng", ".nef", ".nrw", ".arw", ".sr2", ".pef", ".cr2", ".srw", ".3fr", ".iiq", ".raw", ".rwl", ".erf")
_RAW_HEADS = (b"FUJIFILMCCD-RAW", b"IIU\0", b"IIRO", b"IIRS", b"MMOR", b"FOVb")
_HEIF_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1"}
_FILM_BRANDS = {b"isom", b"iso2", b"mp41", b"mp42", b"qt  ", b"M4V ", b"3gp4", b"3gp5", b"avc1"}
_DNG_VERSION = 50706  # tag of DNG 1.6, DNGVersion
_OTHERS = {
    b"GIF8": N_("a GIF, whose 256 colours are too few to measure"),
    b"%PDF": N_("a PDF"),
    b"BM": N_("a BMP"),
    b"8BPS": N_("a Photoshop file"),
    b"<svg": N_("a drawing (SVG)"),
    b"PK\x03\x04": N_("a ZIP file"),
    b"\xff\x0a": N_("a JPEG XL"),
    b"\0\0\0\x0cJXL ": N_("a JPEG XL"),
    b"\0\0\0\x0cjP  ": N_("a JPEG 2000"),
    b"\x1aE\xdf\xa3": N_("a film (Matroska)"),
}


def kind_of(content: bytes, name: str) -> FileKind:
    """Return what a file is, or refuse it by what it seems to be: `UnreadableInput`."""
    if content.startswith(b"\xff\xd8\xff"):
        return FileKind.JPEG
    if content.startswith(b"\x89PNG\r\n\x1a\n"):
        return FileKind.PNG
    if content[:4] == b"RIFF" and content[8:12] == b"WEBP":
        return FileKind.WEBP
    if content.startswith(_RAW_HEADS) or (content[4:12] == b"ftypcrx "):
        return FileKind.DNG
    if content.startswith(_TIFF_HEADS):
        return FileKind.DNG if _is_raw(content, name) else FileKind.TIFF
    if content[4:8] == b"ftyp" and _brands(content) & _HEIF_BRANDS and content[8:12] not in {b"avif", b"avis"}:
        return FileKind.HEIC
    raise UnreadableInput(name, _("this is {kind}", kind=_what_it_seems(content)), _(REMEDY))


def _is_raw(content: bytes, name: str) -> bool:
    if name.lower().endswith(_RAW_ENDINGS) or content[8:10] == b"CR":
        return True
    order: Literal["little", "big"] = "little" if content[:2] == b"II" else "big"
    start = int.from_bytes(content[4:8], order)
    count = min(int.from_bytes(content[start : start + 2], order), 200)
    entries = (content[start + 2 + 12 * k : start + 4 + 12 * k] for k in range(count))
    return _DNG_VERSION.to_bytes(2, order) in entries


def _brands(content: bytes) -> set[bytes]:
    size = min(int.from_bytes(content[:4], "big"), 200)
    return {content[8:12]} | {content[k : k + 4] for k in range(16, size, 4)}


def _what_it_seems(content: bytes) -> str:
    if not content:
        return _("not a picture: the file is empty")
    if content[:4] == b"RIFF":
        return _("not a picture: a film or a sound")
    if content[4:8] == b"ftyp":
        if _brands(content) & _FILM_BRANDS:
            return _("a film (MP4 or MOV)")
        return _("an AVIF or an unknown relative of HEIC")
    for head, words in _OTHERS.items():
        if content.startswith(head):
            return _(words)
    return _("not a picture, by its first bytes")
