"""A JPEG with nothing in it but the picture: its very bytes, without place, time, camera or a second picture.

Source: ITU-T T.81 (1992), annex B: markers and segments. Exif 2.32: the one tag that is kept, which way is up.
"""

import struct
from collections.abc import Iterator

_EOI, _SOS = 0xD9, 0xDA  # markers, ITU-T T.81 table B.1
_RESTARTS = range(0xD0, 0xD8)  # markers, ITU-T T.81 table B.1
_APP0, _APP2, _APP14, _APP15, _COM = 0xE0, 0xE2, 0xEE, 0xEF, 0xFE  # markers, ITU-T T.81 table B.1
_JFIF, _ICC, _ADOBE = b"JFIF\0", b"ICC_PROFILE\0", b"Adobe"
_KEPT_APPS = {_APP0: _JFIF, _APP2: _ICC, _APP14: _ADOBE}  # what of them decides how the picture is decoded
_UPRIGHT = 1  # of EXIF 2.32, Orientation


def plain_jpeg(content: bytes, orientation: int = _UPRIGHT) -> bytes | None:
    """Return a JPEG's picture and colour profile alone, or None where the file is not laid out as a JPEG."""
    try:
        parts = [segment for marker, segment in _segments(content) if _kept(marker, segment)]
    except (IndexError, struct.error, ValueError):
        return None
    upright = b"" if orientation == _UPRIGHT else _orientation(orientation)
    return b"\xff\xd8" + upright + b"".join(parts) + b"\xff\xd9"


def _segments(content: bytes) -> Iterator[tuple[int, bytes]]:
    """Yield marker and bytes of each segment between the first start and the end that belongs to it."""
    if content[:2] != b"\xff\xd8":
        raise ValueError("no start")
    at = 2
    while True:
        start = at
        if content[at] != 0xFF:
            raise ValueError("no marker")
        while content[at] == 0xFF:  # fill bytes may stand before a marker
            at += 1
        marker = content[at]
        at += 1
        if marker == _EOI:
            return
        (length,) = struct.unpack_from(">H", content, at)
        at += length
        if marker == _SOS:
            at = _end_of_scan(content, at)
        if at > len(content):
            raise ValueError("cut short")
        yield marker, content[start:at]


def _end_of_scan(content: bytes, at: int) -> int:
    """Return where the coded picture ends, that is, the next marker that is none of its own."""
    while True:
        at = content.index(b"\xff", at)
        if content[at + 1] not in (0x00, *_RESTARTS):
            return at
        at += 2


def _kept(marker: int, segment: bytes) -> bool:
    if _APP0 <= marker <= _APP15:
        wanted = _KEPT_APPS.get(marker)
        return wanted is not None and segment[4:].startswith(wanted)
    return marker != _COM


def _orientation(value: int) -> bytes:
    """Return an Exif segment that says which way is up, and nothing else."""
    tiff = b"II*\0" + struct.pack("<IHHHIHHI", 8, 1, 0x0112, 3, 1, value, 0, 0)
    body = b"Exif\0\0" + tiff
    return b"\xff\xe1" + struct.pack(">H", len(body) + 2) + body
