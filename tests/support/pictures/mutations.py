"""Spoilt picture files: the tests take a few of them, `./run bench photo --parts mutations` a thousand.

Every file begins as one that a camera, a phone or a picture program would write of `rgb`.
"""

import random
import struct
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from PIL import Image

from tenter.colorimetry.spaces import decode_srgb
from tests.support.pictures.picture_files import (
    display_p3,
    dng,
    encoded,
    fine_heic,
    fine_png,
    fine_tiff,
    giant_png,
    heic,
    owned,
    press,
    saved,
    webp_canvas,
)

ENDINGS = {"JPEG": ".jpg", "PNG": ".png", "WEBP": ".webp", "TIFF": ".tif", "HEIC": ".heic", "DNG": ".dng"}


@dataclass(frozen=True)
class Spoilt:
    """A file and what was done to it."""

    what: str
    name: str
    content: bytes


def whole_files(rgb) -> dict[str, list[bytes]]:
    """Return sound files of every format, by format."""
    image, words = Image.fromarray(rgb), rgb.astype(np.uint16) * 257
    exif, linear = owned(1).tobytes(), decode_srgb(rgb / 255.0)
    return {
        "JPEG": [
            encoded(rgb, "JPEG", exif=exif, icc_profile=display_p3()),
            encoded(rgb, "JPEG", progressive=True, quality=60),
        ],
        "PNG": [encoded(rgb, icc_profile=display_p3()), fine_png(words), saved(image.convert("P"), "PNG")],
        "WEBP": [
            encoded(rgb, "WEBP", exif=exif, icc_profile=display_p3()),
            encoded(np.dstack([rgb, 255 - rgb[..., 1]]), "WEBP", lossless=True),
            encoded(rgb, "WEBP", quality=50),
        ],
        "TIFF": [
            encoded(rgb, "TIFF"),
            encoded(rgb, "TIFF", compression="tiff_lzw"),
            encoded(rgb, "TIFF", compression="jpeg"),
            fine_tiff(words),
            fine_tiff(words, ">"),
        ],
        "HEIC": [heic(rgb, 60, exif=exif, icc_profile=display_p3()), fine_heic(words, 60)],
        "DNG": [dng(linear), dng(linear * 0.8, orientation=6)],
    }


def truncated(content: bytes, chance: random.Random) -> bytes:
    return content[: int(len(content) * chance.choice([0.001, 0.02, 0.3, 0.7, 0.95, 0.999]))]


def bits_flipped(content: bytes, chance: random.Random) -> bytes:
    return _flipped(content, chance, len(content))


def header_flipped(content: bytes, chance: random.Random) -> bytes:
    return _flipped(content, chance, min(len(content), 600))


def _flipped(content: bytes, chance: random.Random, end: int) -> bytes:
    spoilt = bytearray(content)
    for _ in range(chance.choice([1, 2, 8, 40])):
        spoilt[chance.randrange(end)] ^= 1 << chance.randrange(8)
    return bytes(spoilt)


_EXTREMES = (b"\0\0\0\0", b"\xff\xff\xff\xff", b"\x7f\xff\xff\xff", b"\x01\0\0\0")


def words_overwritten(content: bytes, chance: random.Random) -> bytes:
    spoilt = bytearray(content)
    for _ in range(3):
        start = chance.randrange(min(len(content), 4000) - 8)
        spoilt[start : start + 4] = chance.choice(
            [b"\0\0\0\0", b"\xff\xff\xff\xff", b"\x7f\xff\xff\xff", b"\x01\0\0\0"]
        )
    return bytes(spoilt)


def piece_repeated(content: bytes, chance: random.Random) -> bytes:
    start = chance.randrange(len(content))
    return content[:start] + content[max(0, start - 500) : start] * 3 + content[start:]


_ANY: tuple[Callable[[bytes, random.Random], bytes], ...] = (
    truncated,
    bits_flipped,
    header_flipped,
    words_overwritten,
    piece_repeated,
)


def giant(content: bytes, form: str, rgb, side: int) -> bytes:
    """Return the file with `side` written into its header for both dimensions."""
    height, width = rgb.shape[:2]
    if form == "JPEG":
        place = max(content.find(b"\xff\xc0"), content.find(b"\xff\xc2"))
        return content[: place + 5] + struct.pack(">HH", min(side, 65535), min(side, 65535)) + content[place + 9 :]
    if form == "PNG":
        return giant_png(side, content[24])
    if form == "WEBP":
        return content.replace(webp_canvas(width, height)[12:], webp_canvas(side, side)[12:], 1)
    if form == "HEIC":
        said = b"ispe" + bytes(4)
        return content.replace(said + struct.pack(">II", width, height), said + struct.pack(">II", side, side))
    if form == "DNG":
        return dng(decode_srgb(rgb / 255.0), claim=(side, side))
    order = "<" if content.startswith(b"II") else ">"
    spoilt = bytearray(content)
    (start,) = struct.unpack_from(order + "I", content, 4)
    (count,) = struct.unpack_from(order + "H", content, start)
    for entry in range(start + 2, start + 2 + 12 * count, 12):
        if struct.unpack_from(order + "H", content, entry)[0] in {256, 257, 278}:
            struct.pack_into(order + "HII", spoilt, entry + 2, 4, 1, side)
    return bytes(spoilt)


def odd_files(rgb) -> list[Spoilt]:
    """Return sound files that are no ordinary photograph: animated, inks, 1-bit, other formats, and giants."""
    image = Image.fromarray(rgb)
    other = [Image.fromarray(rgb[:, ::-1].copy())]
    inks = image.convert("CMYK")
    return [
        Spoilt("animated", "a.png", saved(image, "PNG", save_all=True, append_images=other)),
        Spoilt("animated", "a.gif", saved(image, "GIF", save_all=True, append_images=other)),
        Spoilt("animated", "a.webp", saved(image, "WEBP", save_all=True, append_images=other)),
        Spoilt("pages", "a.tif", saved(image, "TIFF", save_all=True, append_images=other)),
        Spoilt("inks", "a.jpg", saved(inks, "JPEG")),
        Spoilt("inks", "a.tif", saved(inks, "TIFF")),
        Spoilt("inks", "b.tif", saved(inks, "TIFF", icc_profile=press())),
        Spoilt("inks", "b.jpg", saved(inks, "JPEG", icc_profile=display_p3())),
        Spoilt("1-bit", "a.png", saved(image.convert("1"), "PNG")),
        Spoilt("1-bit", "a.tif", saved(image.convert("1"), "TIFF", compression="group4")),
        Spoilt("fractions", "a.tif", saved(image.convert("F"), "TIFF")),
        Spoilt("text", "a.jpg", b"hello, this is text"),
        Spoilt("empty", "a.heic", b""),
    ]


def spoilt_files(rgb, count: int, seed: int) -> Iterator[Spoilt]:
    """Yield `count` files: first the odd ones and the giants, then every format in turn, spoilt at random."""
    chance = random.Random(seed)
    whole = whole_files(rgb)
    given = list(odd_files(rgb))
    for form, contents in whole.items():
        given += [
            Spoilt("giant", "a" + ENDINGS[form], giant(content, form, rgb, side))
            for content in contents[:2]
            for side in (9000, 60000)
        ]
        wrong = chance.choice([ending for ending in ENDINGS.values() if ending != ENDINGS[form]])
        given.append(Spoilt("wrong extension", "a" + wrong, contents[0]))
    yield from given[:count]
    forms = list(whole)
    for number in range(count - len(given)):
        form = forms[number % len(forms)]
        spoil = _ANY[number // len(forms) % len(_ANY)]
        ending = ENDINGS[form] if chance.random() < 0.9 else chance.choice(list(ENDINGS.values()))
        yield Spoilt(spoil.__name__, "a" + ending, spoil(chance.choice(whole[form]), chance))
