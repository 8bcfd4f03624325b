"""Picture files made by hand: what the usual writers cannot write, and what a camera would have written."""

import io
import itertools
import struct
import zlib

import cv2
import numpy as np
import pillow_heif
from PIL import Image

from tenter.colorimetry.spaces import SRGB_TO_XYZ

ORIENTATION, ARTIST, MAKER, GPS = 0x0112, 0x013B, 0x010F, 0x8825  # EXIF 2.32
EXIF_BLOCK, FOCAL_35MM = 0x8769, 0xA405
OWNER, PLACE = "Erika Mustermann", "52 deg 30 min north"


def gradient(width=120, height=80):
    y, x = np.mgrid[:height, :width]
    return np.stack([x * 255 // width, y * 255 // height, np.full_like(x, 90)], axis=2).astype(np.uint8)


def fine_gradient(width=120, height=80):
    """The same with 16 bits, whose lower ones matter."""
    y, x = np.mgrid[:height, :width]
    return np.stack([x * 65535 // width, y * 65535 // height, 20000 + x], axis=2).astype(np.uint16)


def saved(image, form, **options):
    out = io.BytesIO()
    image.save(out, form, **options)
    return out.getvalue()


def encoded(rgb, form="PNG", **options):
    return saved(Image.fromarray(rgb), form, **options)


def heic(rgb, quality=-1, **options):
    out = io.BytesIO()
    pillow_heif.from_pillow(Image.fromarray(rgb)).save(out, quality=quality, **options)
    return out.getvalue()


def fine_heic(words, quality=-1):
    out = io.BytesIO()
    height, width = words.shape[:2]
    pillow_heif.from_bytes("RGB;16", (width, height), words.tobytes()).save(out, quality=quality)
    return out.getvalue()


def owned(orientation=None, focal_35mm=None):
    """EXIF with an owner's name, a maker and a place, as a phone writes it."""
    exif = Image.Exif()
    if focal_35mm is not None:
        exif.get_ifd(EXIF_BLOCK)[FOCAL_35MM] = focal_35mm
    exif[ARTIST], exif[MAKER] = OWNER, "a maker"
    exif.get_ifd(GPS)[1], exif.get_ifd(GPS)[27] = "N", PLACE.encode()
    if orientation:
        exif[ORIENTATION] = orientation
    return exif


def turned(upright, orientation):
    """What a camera stores of an upright scene when it writes this EXIF orientation (EXIF 2.32, table 6)."""
    return {
        1: upright,
        2: upright[:, ::-1],
        3: upright[::-1, ::-1],
        4: upright[::-1],
        5: upright.swapaxes(0, 1),
        6: np.rot90(upright, 1),
        7: np.rot90(upright.swapaxes(0, 1), 2),
        8: np.rot90(upright, 3),
    }[orientation].copy()


def fine_png(words, icc=None, exif=None):
    content = cv2.imencode(".png", words[..., ::-1] if words.ndim == 3 else words)[1].tobytes()
    more = png_chunk(b"iCCP", b"icc\0\0" + zlib.compress(icc)) if icc else b""
    if exif:
        more += png_chunk(b"eXIf", exif.tobytes().removeprefix(b"Exif\0\0"))
    return content[:33] + more + content[33:]


def png_chunk(kind, data):
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def giant_png(side, bits=8):
    """A PNG of a few bytes that claims to be `side` pixels square (PNG, 3rd edition, 11.2.1)."""
    header = struct.pack(">IIBBBBB", side, side, bits, 2, 0, 0, 0)
    idat = png_chunk(b"IDAT", zlib.compress(b"\0"))
    return b"\x89PNG\r\n\x1a\n" + png_chunk(b"IHDR", header) + idat + png_chunk(b"IEND", b"")


def boasting_png(kind=b"IDAT", length=2**32 - 1):
    """A PNG of 57 bytes and 16 bits, one of whose chunks claims to be much longer (PNG, 3rd edition, 5.3)."""
    header = struct.pack(">IIBBBBB", 64, 64, 16, 2, 0, 0, 0)
    boast = struct.pack(">I", length) + kind + bytes(4)
    return b"\x89PNG\r\n\x1a\n" + png_chunk(b"IHDR", header) + boast + png_chunk(b"IEND", b"")


def webp_chunk(kind, data, length=None):
    """A chunk of a WebP, which may claim another length than it has (RFC 9649, 2.3)."""
    return kind + struct.pack("<I", len(data) if length is None else length) + data + bytes(len(data) % 2)


def webp(*chunks, length=None):
    body = b"WEBP" + b"".join(chunks)
    return b"RIFF" + struct.pack("<I", len(body) if length is None else length) + body


def webp_canvas(width, height, flags=0):
    """The first chunk of an extended WebP (RFC 9649, 2.7)."""
    sizes = (width - 1).to_bytes(3, "little") + (height - 1).to_bytes(3, "little")
    return webp_chunk(b"VP8X", bytes([flags, 0, 0, 0]) + sizes)


_TIFF_SIZES = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 7: 1, 10: 8}  # TIFF 6.0, section 2
_TIFF_LETTERS = {3: "H", 4: "I", 5: "II", 10: "ii"}


def tiff(tags, pixels, order="<"):
    """A TIFF of one uncompressed strip (TIFF 6.0). tags: number -> (type, values or bytes), without the strip's own."""
    tags = dict(tags) | {273: (4, [0]), 279: (4, [len(pixels)])}
    values = {number: _tiff_value(kind, value, order) for number, (kind, value) in sorted(tags.items())}
    start = 8 + 2 + 12 * len(values) + 4
    long_values = {number: value for number, value in values.items() if len(value) > 4}
    places, end = {}, start
    for number, value in long_values.items():
        places[number] = end
        end += len(value) + len(value) % 2
    values[273] = struct.pack(order + "I", end)
    table = b""
    for number, value in values.items():
        kind = tags[number][0]
        count = len(value) // _TIFF_SIZES[kind]
        field = struct.pack(order + "I", places[number]) if number in places else value.ljust(4, b"\0")
        table += struct.pack(order + "HHI", number, kind, count) + field
    data = b"".join(value + bytes(len(value) % 2) for value in long_values.values())
    head = (b"II" if order == "<" else b"MM") + struct.pack(order + "HIH", 42, 8, len(values))
    return head + table + bytes(4) + data + pixels


def _tiff_value(kind, value, order):
    if isinstance(value, bytes):
        return value
    return b"".join(struct.pack(order + _TIFF_LETTERS[kind], *np.atleast_1d(item)) for item in value)


def fine_tiff(words, order="<", icc=None, orientation=1, **more):
    height, width = words.shape[:2]
    channels = 1 if words.ndim == 2 else words.shape[2]
    tags = {
        256: (4, [width]),
        257: (4, [height]),
        258: (3, [16] * channels),
        259: (3, [1]),
        262: (3, [1 if channels == 1 else 2]),
        274: (3, [orientation]),
        277: (3, [channels]),
        278: (4, [height]),
        315: (2, OWNER.encode() + b"\0"),
    }
    if icc:
        tags[34675] = (7, icc)
    return tiff(tags | more.get("tags", {}), words.astype(order + "u2").tobytes(), order)


# The camera of the DNG sees linear sRGB itself: its matrix is the one from XYZ (D65) to linear sRGB.
_DNG_MATRIX = [[round(value * 10000), 10000] for value in np.linalg.inv(SRGB_TO_XYZ).ravel()]


def dng(linear, orientation=1, neutral=(1.0, 1.0, 1.0), claim=None):
    """A raw file of a Bayer sensor (DNG 1.4) that saw `linear` (h, w, 3), 0-1, in linear sRGB times `neutral`.

    claim: another (width, height) to write into the header.
    """
    height, width = linear.shape[:2]
    sensor = linear * np.array(neutral)
    mosaic = sensor[..., 1].copy()
    mosaic[::2, ::2], mosaic[1::2, 1::2] = sensor[::2, ::2, 0], sensor[1::2, 1::2, 2]
    words = np.clip(np.round(mosaic * 60000 + 1024), 0, 65535).astype("<u2")
    claimed = claim or (width, height)
    tags = {
        254: (4, [0]),
        256: (4, [claimed[0]]),
        257: (4, [claimed[1]]),
        258: (3, [16]),
        259: (3, [1]),
        262: (3, [32803]),
        271: (2, b"a maker\0"),
        272: (2, b"a model\0"),
        274: (3, [orientation]),
        277: (3, [1]),
        278: (4, [claimed[1]]),
        315: (2, OWNER.encode() + b"\0"),
        33421: (3, [2, 2]),
        33422: (1, bytes([0, 1, 1, 2])),
        50706: (1, bytes([1, 4, 0, 0])),
        50707: (1, bytes([1, 1, 0, 0])),
        50708: (2, b"a maker a model\0"),
        50714: (4, [1024]),
        50717: (4, [61024]),
        50721: (10, _DNG_MATRIX),
        50728: (5, [[round(value * 10000), 10000] for value in neutral]),
        50778: (3, [21]),
    }
    return tiff(tags, words.tobytes())


def _fixed(*values):
    return b"".join(struct.pack(">i", round(value * 65536)) for value in values)


def _profile(space, tags, kind=b"mntr", between=b"XYZ "):
    """An ICC profile, version 2.4 (ICC.1:2001-04): header, tag table, tags."""
    tags = tags | {b"wtpt": b"XYZ " + bytes(4) + _fixed(0.9642, 1.0, 0.8249)}
    tags |= {b"desc": b"desc" + bytes(4) + struct.pack(">I", 3) + b"P3\0" + bytes(79)}
    table, data, start = b"", b"", 128 + 4 + 12 * len(tags)
    for name, value in tags.items():
        table += name + struct.pack(">II", start + len(data), len(value))
        data += value + bytes(-len(value) % 4)
    body = struct.pack(">I", len(tags)) + table + data
    header = struct.pack(">I", 128 + len(body)) + bytes(4) + struct.pack(">I", 0x02400000) + kind + space + between
    header += bytes(12) + b"acsp" + bytes(28) + _fixed(0.9642, 1.0, 0.8249)
    return header.ljust(128, b"\0") + body


def display_p3():
    """A Display P3 profile: matrix and sRGB curve (ICC.1:2022, 8.3 and 10.18), columns adapted to D50."""
    curve = b"para" + bytes(4) + struct.pack(">HH", 3, 0) + _fixed(2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)
    columns = {b"rXYZ": (0.5151, 0.2412, -0.0011), b"gXYZ": (0.2919, 0.6922, 0.0419), b"bXYZ": (0.1572, 0.0666, 0.7841)}
    tags = {name: b"XYZ " + bytes(4) + _fixed(*xyz) for name, xyz in columns.items()}
    return _profile(b"RGB ", tags | dict.fromkeys((b"rTRC", b"gTRC", b"bTRC"), curve))


def gamma_grey(gamma):
    """A profile of greys with a plain exponent (ICC.1:2022, 10.6)."""
    return _profile(b"GRAY", {b"kTRC": b"curv" + bytes(4) + struct.pack(">IH", 1, round(gamma * 256))})


def press():
    """A made-up CMYK profile: L* falls with the sum of the inks, cyan, magenta and yellow pull a* and b* (lut8Type)."""

    def seen(c, m, y, k):
        lightness = max(0.0, 1 - 0.3 * (c + m + y) - 0.8 * k)
        return lightness * 255, 128 + (1 - k) * (-40 * c + 60 * m), 128 + (1 - k) * (-40 * c + 80 * y)

    return _profile(b"CMYK", {b"A2B0": _table(4, seen)}, kind=b"prtr", between=b"Lab ")


def scanner():
    """A made-up RGB profile of tables: grey lies on the diagonal, a* follows red and b* leaves blue."""

    def seen(r, g, b):
        return (r + g + b) / 3 * 255, 128 + 60 * (r - g), 128 + 60 * (r + g - 2 * b) / 2

    return _profile(b"RGB ", {b"A2B0": _table(3, seen)}, kind=b"scnr", between=b"Lab ")


def _table(channels, seen):
    ramp = bytes(range(256))
    corners = itertools.product((0, 1), repeat=channels)
    grid = bytes(round(value) for corner in corners for value in seen(*corner))
    head = b"mft1" + bytes(4) + bytes([channels, 3, 2, 0]) + _fixed(1, 0, 0, 0, 1, 0, 0, 0, 1)
    return head + ramp * channels + grid + ramp * 3
