"""WebP, through OpenCV, which unpacks it into a third of the memory that Pillow takes.

Source: RFC 9649: 2.5 (lossy), 2.6 (lossless) and 2.7 (extended), with the sizes in each.
"""

from functools import partial

import cv2
import numpy as np

from tenter.arrays import AnyArray
from tenter.language import _
from tenter.photo.decoders.decoded import Decoded, Space, require_sane_size, without_alpha
from tenter.photo.decoders.exif import exif_of, focal_35mm, orientation_of
from tenter.photo.decoders.lengths import Chunk, webp_parts
from tenter.photo.decoders.webp_step import luminance_step

# Start codes: of a VP8 frame, RFC 6386 9.1; of a lossless stream, RFC 9649 3.4 (from memory).
_LOSSY_START, _LOSSLESS_START = b"\x9d\x01\x2a", 0x2F


def decode_webp(content: bytes, name: str) -> Decoded:
    """Return a WebP, of an animated one the first frame.

    Raises `UnreadableInput` for parts longer than the file and for a size that is never unpacked, and `ValueError`
    where the picture is not of the size that its header says; `refusing` makes a refusal of it.
    """
    parts = webp_parts(content, name)
    size = _size(content, parts)
    require_sane_size(*size, 4, name)
    values: AnyArray | None = cv2.imdecode(np.frombuffer(content, np.uint8), cv2.IMREAD_UNCHANGED)
    if values is None or values.dtype != np.uint8 or values.shape[1::-1] != size:
        raise ValueError("the picture is not of the size that its header says")
    frames = sum(part.kind == b"ANMF" for part in parts)
    notes: tuple[str, ...] = ()
    if frames > 1:
        notes = (_("The file is animated, with {count} frames; the first was read.", count=frames),)
    values = values[..., [2, 1, 0, 3][: values.shape[2]]]
    if values.shape[2] == 4:
        values, more = without_alpha(values)
        notes += more
    exif = partial(exif_of, _data(content, parts, b"EXIF"))
    frame = _data(content, parts, b"VP8 ")
    step = luminance_step(frame) if frame else 0.0
    profile = _data(content, parts, b"ICCP")
    return Decoded(values, Space.RGB, size, profile, orientation_of(exif), notes, step, focal_35mm(exif))


def _size(content: bytes, parts: list[Chunk]) -> tuple[int, int]:
    """Return width and height by the header: of the canvas where there is one, else of the one picture."""
    first = parts[0]
    head = content[first.data : first.data_end]
    if first.kind == b"VP8X":
        return 1 + int.from_bytes(head[4:7], "little"), 1 + int.from_bytes(head[7:10], "little")
    if first.kind == b"VP8L" and head[0] == _LOSSLESS_START:
        bits = int.from_bytes(head[1:5], "little")
        return 1 + (bits & 0x3FFF), 1 + (bits >> 14 & 0x3FFF)
    if first.kind == b"VP8 " and head[3:6] == _LOSSY_START:
        return int.from_bytes(head[6:8], "little") & 0x3FFF, int.from_bytes(head[8:10], "little") & 0x3FFF
    raise ValueError("no picture in it")


def _data(content: bytes, parts: list[Chunk], kind: bytes) -> bytes | None:
    return next((content[part.data : part.data_end] for part in parts if part.kind == kind), None)
