"""What a file says of the length of its parts, held against the file before a decoder believes it.

A few bytes may claim a part of 4 GB, and some decoders make room for it before they look whether it is there.

Sources: PNG third edition, 5.3 and 11.3; ITU-T T.81, annex B (JPEG); RIFF as in RFC 9649, 2.3 (WebP); TIFF 6.0,
section 2, and its form for files beyond 4 GB; ISO/IEC 14496-12, 4.2 (the boxes of a HEIC).
"""

import struct
import zlib
from collections.abc import Iterator
from typing import NamedTuple

from tenter.errors import UnreadableInput
from tenter.language import _, local_whole
from tenter.photo.decoders.decoded import cut_short, require_room

_MOST_PARTS = 100_000  # the smallest parts that are in use, of 8 kB, make up more than a whole file of these
_MOST_JPEG_SEGMENTS = 10_000  # the longest profile takes 255 of them
_MOST_PAGES = 9  # of a TIFF: a picture, its thumbnails and a mask
_MOST_UNPACKED = 1_000_000  # bytes of a profile or a text: Pillow takes no more either


def _too_many(name: str) -> UnreadableInput:
    return UnreadableInput(
        name, _("the file comes in thousands of small pieces"), _("Open it and export it as a plain JPEG or PNG")
    )


def _beyond(name: str, said: int, left: int) -> UnreadableInput:
    return cut_short(
        name,
        _(
            "a part of the file says that it is {said} bytes long, and {left} are left",
            said=local_whole(said),
            left=local_whole(max(left, 0)),
        ),
    )


# -- PNG and WebP ------------------------------------------------------------------------------------------------------


class Chunk(NamedTuple):
    """A chunk: what it is, and where in the file the whole of it and its data begin and end."""

    kind: bytes
    start: int
    data: int
    data_end: int
    end: int


def png_parts(content: bytes, name: str) -> list[Chunk]:
    """Return the chunks of a PNG up to its end, all of which are there.

    Raises `UnreadableInput` where one is longer than the file, or there are too many of them.
    """
    parts: list[Chunk] = []
    at = 8
    while at + 8 <= len(content) and (not parts or parts[-1].kind != b"IEND"):
        length, kind = struct.unpack_from(">I4s", content, at)
        if at + 8 + length > len(content):
            raise _beyond(name, length, len(content) - at - 8)
        parts.append(Chunk(kind, at, at + 8, at + 8 + length, at + 12 + length))
        at = parts[-1].end
        if len(parts) > _MOST_PARTS:
            raise _too_many(name)
    return parts


def unpacks_small(content: bytes, part: Chunk) -> bool:
    """Whether what a PNG's chunk has compressed, a profile or a text, unpacks to as much as such a thing may have."""
    data = content[part.data : part.data_end]
    _name, _end, rest = data.partition(b"\0")
    if part.kind == b"iTXt":
        rest = rest[:2] + rest[2:].split(b"\0", 2)[-1] if rest[:1] == b"\1" else b""
        packed = rest[2:]
    else:
        packed = rest[1:] if part.kind in {b"iCCP", b"zTXt"} else b""
    unpacking = zlib.decompressobj()
    try:
        unpacking.decompress(packed, _MOST_UNPACKED)
    except zlib.error:  # what is broken unpacks to nothing; the decoder passes it over
        return True
    return len(data) <= _MOST_UNPACKED and not unpacking.unconsumed_tail


def webp_parts(content: bytes, name: str) -> list[Chunk]:
    """Return the chunks of a WebP, all of which are there.

    Raises `UnreadableInput` where one is longer than the file, or there are too many of them.
    """
    (length,) = struct.unpack_from("<I", content, 4)
    end = 8 + length
    if end > len(content):
        raise _beyond(name, length, len(content) - 8)
    parts: list[Chunk] = []
    at = 12
    while at + 8 <= end:
        kind, length = struct.unpack_from("<4sI", content, at)
        if at + 8 + length > end:
            raise _beyond(name, length, end - at - 8)
        parts.append(Chunk(kind, at, at + 8, at + 8 + length, at + 8 + length + length % 2))
        at = parts[-1].end
        if len(parts) > _MOST_PARTS:
            raise _too_many(name)
    return parts


# -- JPEG --------------------------------------------------------------------------------------------------------------

_BARE = frozenset({0x00, 0x01, 0xFF, *range(0xD0, 0xD9)})  # markers, and what looks like one, that no length follows
_START_OF_SCAN, _END_OF_IMAGE = 0xDA, 0xD9  # markers, ITU-T T.81 table B.1


def require_jpeg_head(content: bytes, name: str) -> None:
    """Refuse a JPEG with a segment longer than the file, or thousands of them, before its first scan.

    Raises `UnreadableInput` for it.
    """
    at = 2
    for _part in range(_MOST_JPEG_SEGMENTS):
        at = content.find(b"\xff", at)  # what stands between segments is passed over, as decoders do
        if at < 0 or at + 4 > len(content):
            return
        marker = content[at + 1]
        if marker in {_START_OF_SCAN, _END_OF_IMAGE}:
            return
        if marker in _BARE:
            at = _past_fill(content, at) if marker == 0xFF else at + 2
            continue
        (length,) = struct.unpack_from(">H", content, at + 2)
        if at + 2 + length > len(content):
            raise _beyond(name, length, len(content) - at - 2)
        at += 2 + length
    raise _too_many(name)


def _past_fill(content: bytes, at: int) -> int:
    """Return where the last of many fill bytes (FF) from `at` on stands, which may begin a marker."""
    while content[at + 1 : at + 2] == b"\xff":
        at += 1
    return at


# -- TIFF --------------------------------------------------------------------------------------------------------------

_SUBFILE, _BITS, _SAMPLES, _TILE_WIDTH, _TILE_HEIGHT = 254, 258, 277, 322, 323  # tags of TIFF 6.0
_OFFSETS, _LENGTHS = (273, 324), (279, 325)  # of strips and of tiles
_NEEDED = {_BITS, *_OFFSETS, *_LENGTHS, 320, 339, 347, 34675}  # whose values a decoder makes room for
# Bytes of each type of TIFF 6.0 and BigTIFF.
_SIZES = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8, 13: 4, 16: 8, 17: 8, 18: 8}
_WHOLE = {1: "B", 3: "H", 4: "I", 16: "Q"}  # whole numbers among them, as `struct` spells them
_MOST_STRIPS = 500_000  # the smallest tiles, of 16 pixels a side, in half the largest picture


class _Layout(NamedTuple):
    """How numbers are laid out: TIFF proper, or its larger form."""

    order: str
    many: str
    entry: str
    field: int

    @classmethod
    def of(cls, content: bytes) -> "_Layout":
        order = "<" if content.startswith(b"II") else ">"
        large = struct.unpack_from(order + "H", content, 2)[0] == 43
        return cls(order, order + "Q", order + "HHQ", 8) if large else cls(order, order + "H", order + "HHI", 4)

    def place(self, content: bytes, at: int) -> int:
        """Return a place in the file that is written at another."""
        return int(struct.unpack_from(self.order + ("Q" if self.field == 8 else "I"), content, at)[0])


def require_tiff_pages(content: bytes, name: str) -> None:
    """Refuse a TIFF whose pages, up to the first that is no thumbnail, have more than there is room for in the file.

    Raises `UnreadableInput` for it.
    """
    try:
        layout = _Layout.of(content)
        start = layout.place(content, 8 if layout.field == 8 else 4)
        for _part in range(_MOST_PAGES):
            tags, start = _page(content, start, layout, name)
            _require_strips(content, tags, name)
            if not start or not next(iter(tags.get(_SUBFILE, ())), 0) & 1:
                return
    except struct.error:
        raise cut_short(name, _("the file ends before the list of what is in it does")) from None


def _page(content: bytes, start: int, layout: _Layout, name: str) -> tuple[dict[int, tuple[int, ...]], int]:
    """Return the numbers that a decoder needs of a page, and where the next page is listed."""
    (count,) = struct.unpack_from(layout.many, content, start)
    at = start + struct.calcsize(layout.many)
    step = struct.calcsize(layout.entry) + layout.field
    if at + count * step > len(content):
        raise _beyond(name, count * step, len(content) - at)
    tags = {}
    for entry in range(at, at + count * step, step):
        number, kind, many = struct.unpack_from(layout.entry, content, entry)
        if number not in _NEEDED | {_SUBFILE, _SAMPLES, _TILE_WIDTH, _TILE_HEIGHT}:
            continue
        long = many * _SIZES.get(kind, 1)
        field = entry + step - layout.field
        value = field if long <= layout.field else layout.place(content, field)
        if value + long > len(content):
            raise _beyond(name, long, len(content) - value)
        if number in (*_OFFSETS, *_LENGTHS) and many > _MOST_STRIPS:
            raise _too_many(name)
        if kind in _WHOLE and number not in {320, 347, 34675}:
            tags[number] = struct.unpack_from(f"{layout.order}{many}{_WHOLE[kind]}", content, value)
    return tags, layout.place(content, at + count * step)


def _require_strips(content: bytes, tags: dict[int, tuple[int, ...]], name: str) -> None:
    """Refuse strips or tiles that begin behind the file or are longer than it, and tiles of gigabytes."""
    for number in (*_OFFSETS, *_LENGTHS):
        most = max(tags.get(number, ()), default=0)
        if most > len(content):
            raise _beyond(name, most, len(content))
    width, height = (max(tags.get(number, (1,)), default=1) for number in (_TILE_WIDTH, _TILE_HEIGHT))
    values = max(tags.get(_SAMPLES, (1,)), default=1) * max(1, max(tags.get(_BITS, (8,)), default=8) // 8)
    require_room(width, height, values, name)


# -- HEIC --------------------------------------------------------------------------------------------------------------

_TOP = {b"ftyp", b"meta", b"mdat", b"moov"}
_FULL = {b"meta": 4, b"iprp": 0, b"ipco": 0}  # boxes of boxes, and how many bytes come before the first of these


def require_heif_boxes(content: bytes, name: str) -> None:
    """Refuse a HEIC with a box longer than the file, or than the box that it is in: `UnreadableInput`."""
    for kind, at, end in _boxes(content, 0, len(content), name, _TOP):
        if kind == b"meta":
            _require_inner(content, kind, at, end, name)


def _require_inner(content: bytes, kind: bytes, at: int, end: int, name: str) -> None:
    for inner, inner_at, inner_end in _boxes(content, at + _FULL[kind], end, name):
        if inner in _FULL and inner != b"meta":
            _require_inner(content, inner, inner_at, inner_end, name)


def _boxes(
    content: bytes, at: int, end: int, name: str, known: set[bytes] | None = None
) -> Iterator[tuple[bytes, int, int]]:
    """Yield kind, beginning and end of what is in each box; what is none of the `known` may be no box at all."""
    for _part in range(_MOST_PARTS):
        if at + 8 > end:
            return
        size, kind = struct.unpack_from(">I4s", content, at)
        head = 8
        if size == 1 and at + 16 <= end:
            head, (size,) = 16, struct.unpack_from(">Q", content, at + 8)
        size = end - at if size == 0 else size
        if known is not None and kind not in known and (size < head or at + size > end):
            return  # something hung on behind the picture
        if size < head or at + size > end:
            raise _beyond(name, size, end - at)
        yield kind, at + head, at + size
        at += size
    raise _too_many(name)
