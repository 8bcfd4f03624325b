"""JPEG, PNG and TIFF, through Pillow; those with 16 bits a channel through OpenCV, as Pillow keeps only 8 of them.

Sources: TIFF 6.0, PNG third edition.
"""

import io
from dataclasses import replace
from typing import Any

import cv2
import numpy as np
from PIL import Image

from tenter.arrays import AnyArray
from tenter.errors import UnreadableInput
from tenter.language import _
from tenter.photo.decoders.decoded import (
    MAX_WORKING_SIDE,
    REMEDY,
    Decoded,
    Space,
    require_room,
    require_sane_size,
    without_alpha,
)
from tenter.photo.decoders.exif import focal_35mm, orientation_of
from tenter.photo.decoders.lengths import Chunk, png_parts, require_jpeg_head, require_tiff_pages, unpacks_small

_SUBFILE, _BITS, _PHOTOMETRIC, _SAMPLE_FORMAT = 254, 258, 262, 339  # tags of TIFF 6.0
_INVERTED = 0  # a photometric interpretation
_MAX_SCANS = 100  # a progressive JPEG comes in about ten; thousands are made to keep a reader busy
_MAX_THUMBNAILS = 8  # pages before the picture itself
_PIXELS = frozenset({b"IHDR", b"PLTE", b"tRNS", b"IDAT", b"IEND"})
_TEXTS = frozenset({b"tEXt", b"zTXt", b"iTXt"})  # some programs write EXIF into one, so a short one may stay
_SPACES = {"L": Space.GREY, "RGB": Space.RGB, "CMYK": Space.CMYK}
# What Pillow's other modes are turned into; the second of a pair still carries alpha.
_PLAIN = {"1": "L", "P": "RGBA", "PA": "RGBA", "RGBX": "RGB", "YCbCr": "RGB", "La": "LA", "RGBa": "RGBA"}


def decode_jpeg(content: bytes, name: str, longest: int = MAX_WORKING_SIDE) -> Decoded:
    """Return a JPEG. One of twice the `longest` side wanted, or more, is unpacked at a half, a quarter or an eighth.

    The mean of a region is then within ΔE00 0.2 of the whole picture's; a pixel at an edge may be several ΔE00 off.

    Raises `UnreadableInput` for hundreds of scans, a size that is never unpacked, and values that no camera writes.
    """
    if content.count(b"\xff\xda") > _MAX_SCANS:
        raise UnreadableInput(
            name, _("the JPEG comes in hundreds of scans"), _("Open it and export it as a plain JPEG")
        )
    require_jpeg_head(content, name)
    with Image.open(io.BytesIO(content), formats=("JPEG",)) as picture:
        require_sane_size(*picture.size, 1, name)
        full_size = picture.size
        shrink = min(1.0, longest / max(full_size))
        picture.draft(picture.mode, (int(full_size[0] * shrink), int(full_size[1] * shrink)))
        require_room(*picture.size, len(picture.getbands()), name)
        tables: dict[int, list[int]] = getattr(picture, "quantization", {})
        step = float(np.mean(tables[0])) if tables.get(0) else 0.0
        return replace(_from_pillow(picture, full_size, (), name), jpeg_step=step)


def decode_png(content: bytes, name: str) -> Decoded:
    """Return a PNG, of an animated one the first frame.

    Raises `UnreadableInput` for a profile or a size that is never unpacked and for values that no camera writes, and
    `ValueError` where 16-bit values end early; `refusing` makes a refusal of it.
    """
    parts = png_parts(content, name)
    if any(part.kind == b"iCCP" and not unpacks_small(content, part) for part in parts):
        raise UnreadableInput(
            name, _("its colour profile unpacks to more than a profile has"), _("Export it without one")
        )
    content = _without(content, [part for part in parts if part.kind in _TEXTS and not unpacks_small(content, part)])
    with Image.open(io.BytesIO(content), formats=("PNG",)) as picture:
        fine = content[24] == 16
        require_sane_size(*picture.size, len(picture.getbands()) * (2 if fine else 1), name)
        frames = getattr(picture, "n_frames", 1)
        notes = (
            (_("The file is animated, with {count} frames; the first was read.", count=frames),) if frames > 1 else ()
        )
        if fine:
            pixels = _without(content, [part for part in png_parts(content, name) if part.kind not in _PIXELS])
            fine_picture = _fine(pixels, picture, notes, orientation_of(picture.getexif))
            return replace(fine_picture, focal_35mm=focal_35mm(picture.getexif))
        return _from_pillow(picture, picture.size, notes, name)


def _without(content: bytes, parts: list[Chunk]) -> bytes:
    """Return a PNG without some of its chunks."""
    if not parts:
        return content
    starts, ends = [0, *(part.end for part in parts)], [*(part.start for part in parts), len(content)]
    return b"".join(content[start:end] for start, end in zip(starts, ends, strict=True))


def decode_tiff(content: bytes, name: str) -> Decoded:
    """Return a TIFF, of several pages the first that is no thumbnail.

    Raises `UnreadableInput` for values whose white is unknown, for 16 bits behind a thumbnail and for a size that is
    never unpacked, and `ValueError` where 16-bit values end early; `refusing` makes a refusal of it.
    """
    require_tiff_pages(content, name)
    with Image.open(io.BytesIO(content), formats=("TIFF",)) as picture:
        page = _first_whole_page(picture)
        tags: Any = picture.tag_v2  # type: ignore[attr-defined]  # Pillow's types know only the general picture
        bits = max(tags.get(_BITS, (1,)))
        _require_known_samples(tags, bits, name)
        require_sane_size(*picture.size, len(picture.getbands()) * (2 if bits == 16 else 1), name)
        notes = _page_notes(picture, page)
        if bits < 16:
            return _from_pillow(picture, picture.size, notes, name)
        if page > 0:
            raise UnreadableInput(
                name,
                _("the file has a thumbnail before the picture, and the picture has 16 bits"),
                _("Export it as a TIFF of one page"),
            )
        fine = _fine(content, picture, notes, 1)  # OpenCV and Pillow turn a TIFF by themselves
        return replace(fine, values=65535 - fine.values) if tags.get(_PHOTOMETRIC) == _INVERTED else fine


def _first_whole_page(picture: Image.Image) -> int:
    for page in range(_MAX_THUMBNAILS):
        if not picture.tag_v2.get(_SUBFILE, 0) & 1:  # type: ignore[attr-defined]
            return page
        try:
            picture.seek(page + 1)
        except EOFError:
            break
    picture.seek(0)
    return 0


def _page_notes(picture: Image.Image, page: int) -> tuple[str, ...]:
    try:
        picture.seek(page + 1)
    except EOFError:
        return ()
    picture.seek(page)
    return () if page else (_("The file holds several pages; the first was read."),)


def _require_known_samples(tags: Any, bits: int, name: str) -> None:
    kinds = tags.get(_SAMPLE_FORMAT, (1,))
    if set(kinds if isinstance(kinds, tuple) else (kinds,)) != {1} or bits not in {1, 2, 4, 8, 16}:
        raise UnreadableInput(
            name,
            _("the TIFF has {bits}-bit or fractional values, whose white is unknown", bits=bits),
            _("Export it with 8 or 16 bits"),
        )
    if bits == 16 and tags.get(_PHOTOMETRIC) not in {0, 1, 2}:
        raise UnreadableInput(name, _("the TIFF has 16-bit inks or Lab values"), _("Export it as RGB"))


def _from_pillow(picture: Image.Image, full_size: tuple[int, int], notes: tuple[str, ...], name: str) -> Decoded:
    picture.load()
    if picture.mode == "P" and "transparency" not in picture.info:
        plain = picture.convert("RGB")
    else:
        plain = picture.convert(_PLAIN[picture.mode]) if picture.mode in _PLAIN else picture
    values: AnyArray = np.array(plain)
    mode = plain.mode
    if mode in {"LA", "RGBA"}:
        values, more = without_alpha(values)
        mode, notes = mode[:-1], notes + more
    if mode not in _SPACES:
        raise UnreadableInput(name, _("its values are of a kind ({mode}) that no camera writes", mode=mode), _(REMEDY))
    profile = picture.info.get("icc_profile")
    turned, focal = orientation_of(picture.getexif), focal_35mm(picture.getexif)
    return Decoded(values, _SPACES[mode], full_size, profile, turned, notes, focal_35mm=focal)


def _fine(content: bytes, picture: Image.Image, notes: tuple[str, ...], orientation: int) -> Decoded:
    """Return the 16-bit values of a picture whose header Pillow has read."""
    values: AnyArray | None = cv2.imdecode(np.frombuffer(content, np.uint8), cv2.IMREAD_UNCHANGED)
    if values is None or values.dtype != np.uint16 or values.shape[1::-1] != picture.size:
        raise ValueError("the 16-bit values end early")
    if values.ndim == 3:
        values = values[..., [2, 1, 0, 3][: values.shape[2]]]
        if values.shape[2] == 4:
            values, more = without_alpha(values)
            notes = notes + more
    space = Space.GREY if values.ndim == 2 else Space.RGB
    return Decoded(values, space, picture.size, picture.info.get("icc_profile"), orientation, notes)
