"""Picture files made to harm whoever opens them: the tests take some, `python -m studies.photo.mutations --hostile`
all."""

import struct
import zlib
from collections.abc import Iterator

import numpy as np
from PIL import Image

from tenter.colorimetry.spaces import decode_srgb
from tests.support.pictures.mutations import Spoilt
from tests.support.pictures.picture_files import (
    boasting_png,
    display_p3,
    dng,
    encoded,
    fine_png,
    fine_tiff,
    gamma_grey,
    heic,
    owned,
    png_chunk,
    press,
    saved,
    scanner,
    tiff,
    webp,
    webp_canvas,
    webp_chunk,
)


def box(kind, *parts):
    """A box of a HEIC file (ISO/IEC 14496-12, 4.2)."""
    body = b"".join(parts)
    return struct.pack(">I", 8 + len(body)) + kind + body


def full_box(kind, *parts, version=0, flags=0):
    return box(kind, struct.pack(">I", version << 24 | flags), *parts)


def find_box(content, kind):
    start = content.index(kind) - 4
    return content[start : start + struct.unpack_from(">I", content, start)[0]]


def grid_heic(rgb, rows, columns, size=None):
    """A HEIC whose picture is one tile repeated in rows and columns (ISO/IEC 23008-12, 6.6.2.3).

    size: what the grid says of its own (width, height), its tiles' if none.
    """
    tile = heic(rgb)
    height, width = rgb.shape[:2]
    hvcc, data = find_box(tile, b"hvcC"), find_box(tile, b"mdat")[8:]
    wide, high = size or (columns * width, rows * height)
    grid = struct.pack(">BBBBII", 0, 1, (rows - 1) & 255, (columns - 1) & 255, wide, high)
    tiles = struct.pack(">HH", 2, min(rows * columns, 65535)) + struct.pack(">H", 1) * min(rows * columns, 65535)
    sizes = [full_box(b"ispe", struct.pack(">II", *s)) for s in ((width, height), (wide, high))]
    shared = struct.pack(">I", 2) + struct.pack(">HBBB", 1, 2, 0x81, 2) + struct.pack(">HBB", 2, 1, 3)
    head = box(b"ftyp", b"heic", bytes(4), b"mif1heic")

    def meta(start):
        places = ((1, start, len(data)), (2, start + len(data), len(grid)))
        extents = b"".join(struct.pack(">HHHII", number, 0, 1, at, long) for number, at, long in places)
        return full_box(
            b"meta",
            full_box(b"hdlr", bytes(4), b"pict", bytes(13)),
            full_box(b"pitm", struct.pack(">H", 2)),
            full_box(
                b"iinf",
                struct.pack(">H", 2),
                full_box(b"infe", struct.pack(">HH", 1, 0), b"hvc1\0", version=2, flags=1),
                full_box(b"infe", struct.pack(">HH", 2, 0), b"grid\0", version=2),
            ),
            full_box(b"iref", box(b"dimg", tiles)),
            box(b"iprp", box(b"ipco", hvcc, *sizes), full_box(b"ipma", shared)),
            full_box(b"iloc", b"\x44\0", struct.pack(">H", 2), extents),
        )

    start = len(head) + len(meta(0)) + 8
    return head + meta(start) + box(b"mdat", data, grid)


def polyglots(rgb) -> Iterator[Spoilt]:
    jpeg, png, page = encoded(rgb, "JPEG"), encoded(rgb), encoded(rgb, "TIFF")
    tails = {"zip": b"PK\3\4" * 500, "jpeg": jpeg, "png": png, "pdf": b"%PDF-1.7\n" * 99, "zeros": bytes(10**6)}
    for whole, ending in (
        (jpeg, "jpg"),
        (png, "png"),
        (encoded(rgb, "WEBP"), "webp"),
        (page, "tif"),
        (heic(rgb), "heic"),
    ):
        for tail in tails.values():
            yield Spoilt("polyglot", f"a.{ending}", whole + tail)
    for head in (b"%PDF-1.7\n", b"GIF89a", b"<html>", b"PK\3\4", b"#!/bin/sh\n"):
        yield Spoilt("polyglot", "a.jpg", head + jpeg)
    script = b"<script>alert(1)</script>"
    yield Spoilt("polyglot", "a.jpg", jpeg[:2] + b"\xff\xfe" + struct.pack(">H", len(script) + 2) + script + jpeg[2:])


def png_bombs(rgb, megabytes) -> Iterator[Spoilt]:
    png = encoded(rgb)
    squeezer = zlib.compressobj(9)
    zeros = bytes(10**6)
    bomb = b"".join(squeezer.compress(zeros) for _ in range(megabytes)) + squeezer.flush()
    chunks = [
        (b"zTXt", b"a\0\0" + bomb),
        (b"iTXt", b"a\0\1\0\0\0" + bomb),
        (b"iCCP", b"a\0\0" + bomb),
        (b"tEXt", b"a\0" + bytes(min(megabytes, 150) * 10**6)),
        (b"eXIf", bytes(min(megabytes, 50) * 10**6)),
        (b"gAMA", bytes(4)),
        (b"cHRM", bytes(32)),
        (b"tRNS", bytes(6)),
        (b"PLTE", bytes(3 * 300)),
        (b"IHDR", struct.pack(">IIBBBBB", 60000, 60000, 8, 2, 0, 0, 0)),
        (b"acTL", struct.pack(">II", 2**31 - 1, 0)),
        (b"fcTL", struct.pack(">IIIIIHHBB", 0, 60000, 60000, 9, 9, 1, 1, 0, 0)),
    ]
    for kind, data in chunks:
        yield Spoilt("png chunk", "a.png", png[:33] + png_chunk(kind, data) + png[33:])
        if len(data) < 10**6:
            yield Spoilt("png chunk", "a.png", png[:-12] + png_chunk(kind, data) + png[-12:])
    yield Spoilt("png chunk", "a.png", png[:33] + png_chunk(b"tEXt", b"a\0b") * 20_000 + png[33:])
    whole = struct.pack(">IIBBBBB", 9000, 9000, 8, 2, 0, 0, 0)
    for data in (bomb, zlib.compress(b"")):
        rest = png_chunk(b"IDAT", data) + png_chunk(b"IEND", b"")
        yield Spoilt("png bomb", "a.png", png[:8] + png_chunk(b"IHDR", whole) + rest)
    for kind in (b"IDAT", b"iCCP", b"iTXt", b"zTXt", b"tEXt", b"eXIf", b"PLTE", b"IEND", b"fdAT"):
        for length in (2**32 - 1, 2**31 - 1, 10**9):
            yield Spoilt("png boast", "a.png", boasting_png(kind, length))


def odd_webps(rgb) -> Iterator[Spoilt]:
    """WebP files (RFC 9649) whose sizes, of the file, of a chunk or of a picture, are not true."""
    lossy, lossless = encoded(rgb, "WEBP"), encoded(rgb, "WEBP", lossless=True)
    height, width = rgb.shape[:2]
    for whole in (lossy, lossless):
        picture = whole[12:]
        for length in (0, 4, 12, len(whole), 2**31, 2**32 - 1, 2**32 - 9):
            yield Spoilt("webp", "a.webp", webp(picture, length=length))
            yield Spoilt("webp", "a.webp", webp(picture[:4] + struct.pack("<I", length) + picture[8:]))
            yield Spoilt(
                "webp", "a.webp", webp(webp_canvas(width, height, 32), webp_chunk(b"ICCP", b"x", length), picture)
            )
        for size in ((2**24, 2**24), (2**24, 64), (16384, 16384), (width + 1, height)):
            yield Spoilt("webp", "a.webp", webp(webp_canvas(*size), picture))
        yield Spoilt("webp", "a.webp", webp(webp_canvas(width, height), picture * 500))
        yield Spoilt("webp", "a.webp", webp(webp_canvas(width, height), picture, webp_chunk(b"EXIF", b"") * 200_000))
        yield Spoilt("webp", "a.webp", webp(webp_canvas(width, height, 2), webp_chunk(b"ANMF", bytes(16) + picture)))
    profile = display_p3() + bytes(20_000_000)
    yield Spoilt("webp", "a.webp", encoded(rgb, "WEBP", icc_profile=profile))
    yield Spoilt("webp", "a.webp", lossless[:21] + b"\xff" * 4 + lossless[25:])
    yield Spoilt("webp", "a.webp", lossy[:26] + b"\xff" * 4 + lossy[30:])
    yield Spoilt("webp", "a.webp", webp(webp_canvas(width, height)))
    yield Spoilt("webp", "a.webp", webp())


def looped_tiffs(rgb) -> Iterator[Spoilt]:
    for page in (encoded(rgb, "TIFF"), fine_tiff(rgb.astype(np.uint16) * 257)):
        (start,) = struct.unpack_from("<I", page, 4)
        (count,) = struct.unpack_from("<H", page, start)
        following = start + 2 + 12 * count
        for target in (start, 4, 8, 0xFFFFFFF0, len(page) - 1):
            yield Spoilt("tiff loop", "a.tif", page[:following] + struct.pack("<I", target) + page[following + 4 :])
        yield Spoilt("tiff loop", "a.tif", page[:start] + b"\xff\xff" + page[start + 2 :])
        for number, kind, value in ((254, 4, 1), (330, 4, start), (34665, 4, start), (34853, 4, start), (50706, 1, 1)):
            looped = bytearray(page)
            struct.pack_into("<HHII", looped, start + 2, number, kind, 1, value)
            yield Spoilt("tiff loop", "a.tif", bytes(looped))
            struct.pack_into("<HHII", looped, start + 2, number, kind, 2**31, value)
            yield Spoilt("tiff loop", "a.tif", bytes(looped))
    page = encoded(rgb, "TIFF")
    (start,) = struct.unpack_from("<I", page, 4)
    (count,) = struct.unpack_from("<H", page, start)
    for entry in range(start + 2, start + 2 + 12 * count, 12):  # what each tag says of its length, and of its place
        for at in (entry + 4, entry + 8):
            for number in (0, 10**6, 2**31, 2**32 - 1):
                yield Spoilt("tiff boast", "a.tif", page[:at] + struct.pack("<I", number) + page[at + 4 :])
    chain = bytearray(encoded(rgb, "TIFF"))
    for k in range(3000):  # pages that say they are thumbnails, one after another
        at = len(chain)
        chain += struct.pack("<HHHIII", 1, 254, 4, 1, 1, at + 18 if k < 2999 else 0)
    struct.pack_into("<I", chain, 4, len(encoded(rgb, "TIFF")))
    yield Spoilt("tiff loop", "a.tif", bytes(chain))


def odd_jpegs(rgb) -> Iterator[Spoilt]:
    for options in ({}, {"progressive": True}):
        jpeg = encoded(rgb, "JPEG", **options)
        place = max(jpeg.find(b"\xff\xc0"), jpeg.find(b"\xff\xc2"))
        sizes = ((60000, 60000), (65535, 65535), (0, 0), (65535, 64), (64, 65535), (0, 800))
        for high, wide in sizes:
            yield Spoilt("jpeg", "a.jpg", jpeg[: place + 5] + struct.pack(">HH", high, wide) + jpeg[place + 9 :])
        for at, value in ((4, 12), (4, 16), (9, 0), (9, 200), (11, 0xFF), (11, 0), (12, 9)):
            spoilt = bytearray(jpeg)
            spoilt[place + at] = value
            yield Spoilt("jpeg", "a.jpg", bytes(spoilt))
        for marker in (0xC9, 0xC3, 0xCD, 0xC1):  # arithmetic, lossless, and a kind that camera files never are
            yield Spoilt("jpeg", "a.jpg", jpeg[: place + 1] + bytes([marker]) + jpeg[place + 2 :])
        segment = jpeg[place : place + 2 + struct.unpack_from(">H", jpeg, place + 2)[0]]
        yield Spoilt("jpeg", "a.jpg", jpeg[:place] + segment * 500 + jpeg[place:])
        yield Spoilt("jpeg", "a.jpg", jpeg[:place] + b"\xff\xdd\0\4\0\1" + jpeg[place:])
        yield Spoilt("jpeg", "a.jpg", jpeg[:place] + b"\xff\xe1\xff\xff" * 900 + jpeg[place:])
        yield Spoilt("jpeg", "a.jpg", jpeg[:place] + b"\xff" * 10**6 + jpeg[place:])
        yield Spoilt("jpeg", "a.jpg", jpeg[:place] + b"\xff\xe1\0\2" * 10**6 + jpeg[place:])


def odd_profiles(rgb) -> Iterator[Spoilt]:
    sound = display_p3()
    singular, curves = bytearray(sound), bytearray(sound)
    start = sound.index(b"XYZ \0\0\0\0", 200)
    singular[start : start + 3 * 20] = (b"XYZ " + bytes(16)) * 3
    at = sound.index(b"para")
    curves[at + 12 : at + 16] = struct.pack(">i", 0)
    counted = sound.replace(b"para\0\0\0\0\0\3\0\0", b"curv\0\0\0\0\x7f\xff\xff\xff")
    tables = bytearray(scanner())
    tables[tables.index(b"mft1") + 10] = 255
    profiles = [
        bytes(singular),
        bytes(curves),
        counted,
        bytes(tables),
        sound[:200],
        sound[:12] + b"abst" + sound[16:],
        sound[:12] + b"link" + sound[16:],
        sound[:16] + b"Lab " + sound[20:],
        struct.pack(">I", 2**32 - 1) + sound[4:],
        sound[:128] + struct.pack(">I", 2**32 - 1) + sound[132:],
        sound[:136] + struct.pack(">II", 2**31, 2**31) + sound[144:],
        sound + bytes(20_000_000),
        press(),
        gamma_grey(0.01),
        gamma_grey(0),
    ]
    for profile in profiles:
        yield Spoilt("profile", "a.png", encoded(rgb, icc_profile=profile))
        yield Spoilt("profile", "a.png", fine_png(rgb.astype(np.uint16) * 257, icc=profile))
        if len(profile) < 10**6:
            yield Spoilt("profile", "a.jpg", encoded(rgb, "JPEG", icc_profile=profile))


def odd_orientations(rgb) -> Iterator[Spoilt]:
    jpeg = encoded(rgb, "JPEG", exif=owned(6))
    entry = jpeg.find(struct.pack(">HHIH", 0x0112, 3, 1, 6))
    for value in (0, 9, 255, 65535):
        yield Spoilt("orientation", "a.jpg", jpeg[: entry + 8] + struct.pack(">H", value) + jpeg[entry + 10 :])
    for kind, count in ((2, 1), (5, 1), (3, 2**31), (12, 1), (99, 1)):
        yield Spoilt("orientation", "a.jpg", jpeg[: entry + 2] + struct.pack(">HI", kind, count) + jpeg[entry + 8 :])
    yield Spoilt("orientation", "a.jpg", jpeg.replace(b"MM\0*\0\0\0\x08", b"MM\0*\0\0\0\0"))
    yield Spoilt("orientation", "a.jpg", jpeg.replace(b"MM\0*\0\0\0\x08", b"MM\0*\xff\xff\xff\xff"))


def odd_raws(rgb) -> Iterator[Spoilt]:
    linear = decode_srgb(rgb / 255.0)
    sound = dng(linear)
    height, width = rgb.shape[:2]
    (start,) = struct.unpack_from("<I", sound, 4)
    (count,) = struct.unpack_from("<H", sound, start)
    crops = {
        "origin": (50719, 4, (2**31, 2**31)),
        "size": (50720, 4, (2**31, 2**31)),
        "nothing": (50720, 4, (0, 0)),
        "area": (50829, 4, (0, 0, 2**31 - 1, 2**31 - 1)),
        "turned area": (50829, 4, (height, width, 0, 0)),
        "masked": (50830, 4, (0, 0, 2**31 - 1, 2**31 - 1)),
    }
    for number, kind, values in crops.values():
        tags = dict(_tags(sound, start, count)) | {number: (kind, list(values))}
        yield Spoilt("raw", "a.dng", tiff(tags, sound[-2 * height * width :]))
    for number, kind, value in (
        (258, 3, 1), (258, 3, 32), (259, 3, 7), (259, 3, 34713), (262, 3, 34892), (277, 3, 4), (50714, 4, 2**31),
        (50717, 4, 0), (50717, 4, 1), (33421, 3, 0), (33422, 1, 77), (50728, 5, 0), (50778, 3, 65535), (278, 4, 0),
    ):  # fmt: skip
        given = bytes([value]) if kind == 1 else [(value, value)] if kind == 5 else [value]
        tags = dict(_tags(sound, start, count)) | {number: (kind, given)}
        yield Spoilt("raw", "a.dng", tiff(tags, sound[-2 * height * width :]))
    for head in (b"FUJIFILMCCD-RAW", b"IIU\0", b"MMOR", b"FOVb"):
        yield Spoilt("raw", "a.raw", head + sound[:20_000])


def _tags(content, start, count):
    """Yield the tags of the first page of a TIFF as `tiff` takes them, long values as bytes."""
    sizes = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 7: 1, 10: 8}
    for k in range(count):
        number, kind, many = struct.unpack_from("<HHI", content, start + 2 + 12 * k)
        at = start + 2 + 12 * k + 8
        long = sizes[kind] * many
        if long > 4:
            (at,) = struct.unpack_from("<I", content, at)
        yield number, (kind, content[at : at + long])


def grids(rgb) -> Iterator[Spoilt]:
    tile = np.ascontiguousarray(rgb[:64, :64])
    for rows, columns in ((2, 2), (20, 20), (90, 90), (100, 100), (256, 256), (1, 256)):
        yield Spoilt("tiles", "a.heic", grid_heic(tile, rows, columns))
    for size in ((60000, 60000), (0, 0), (128, 60000), (4000, 3000)):
        yield Spoilt("tiles", "a.heic", grid_heic(tile, 3, 3, size))
    whole = grid_heic(tile, 2, 2)
    itself = whole.replace(struct.pack(">HHH", 2, 4, 1), struct.pack(">HHH", 2, 4, 2))
    yield Spoilt("tiles", "a.heic", itself)  # a grid that is its own tile
    deep = b""
    for _ in range(5000):
        deep = box(b"moov", deep)
    yield Spoilt("boxes", "a.heic", whole[:24] + deep)
    for size in (0, 1, 7, 2**32 - 1):
        yield Spoilt("boxes", "a.heic", whole[:24] + struct.pack(">I", size) + whole[28:])


def frames(rgb) -> Iterator[Spoilt]:
    image = Image.fromarray(rgb)
    others = [Image.fromarray(np.roll(rgb, k, 1)) for k in range(40)]
    for form, ending in (("PNG", "png"), ("GIF", "gif"), ("WEBP", "webp"), ("TIFF", "tif")):
        yield Spoilt("frames", f"a.{ending}", saved(image, form, save_all=True, append_images=others))


def odd_kinds(rgb) -> Iterator[Spoilt]:
    grey = rgb[..., 1].astype(np.uint16) * 257
    height, width = grey.shape
    with_alpha = np.stack([grey, np.full_like(grey, 30000)], axis=2)
    lines = b"".join(b"\0" + row.astype(">u2").tobytes() for row in with_alpha)
    head = struct.pack(">IIBBBBB", width, height, 16, 4, 0, 0, 0)
    body = png_chunk(b"IHDR", head) + png_chunk(b"IDAT", zlib.compress(lines)) + png_chunk(b"IEND", b"")
    yield Spoilt("grey and alpha", "a.png", b"\x89PNG\r\n\x1a\n" + body)
    yield Spoilt("grey and alpha", "a.tif", fine_tiff(with_alpha))
    for head in (
        b"",
        b"\xff",
        b"\xff\xd8\xff",
        b"\x89PNG\r\n\x1a\n",
        b"II*\0",
        b"MM\0*",
        b"II+\0",
        b"II*\0\xff\xff\xff\xff",
    ):
        yield Spoilt("heads", "a.jpg", head)
        yield Spoilt("heads", "-", head + bytes(40))
    for brand in (b"heic", b"mif1", b"avif", b"crx ", b"qt  "):
        yield Spoilt("heads", "--help", b"\0\0\0\x18ftyp" + brand + bytes(12))


def hostile_files(rgb, megabytes=1000) -> list[Spoilt]:
    """Return every hostile file; megabytes: what the bombs among them unpack to."""
    made = (
        polyglots(rgb),
        png_bombs(rgb, megabytes),
        odd_webps(rgb),
        looped_tiffs(rgb),
        odd_jpegs(rgb),
        odd_profiles(rgb),
        odd_orientations(rgb),
        odd_raws(rgb),
        grids(rgb),
        frames(rgb),
        odd_kinds(rgb),
    )
    return [file for files in made for file in files]
