"""Reading picture files: turned, profiled, broken and dangerous ones."""

import io
import struct
import zlib

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from tenter.errors import UnreadableInput
from tenter.photo.loading import MAX_WORKING_SIDE, Photo, load_photo, photo_from_bytes

ORIENTATION = 0x0112  # EXIF 2.32, tag 274


def gradient(width=120, height=80):
    y, x = np.mgrid[:height, :width]
    return np.stack([x * 255 // width, y * 255 // height, np.full_like(x, 90)], axis=2).astype(np.uint8)


def encoded(rgb, form="PNG", **options):
    out = io.BytesIO()
    Image.fromarray(rgb).save(out, form, **options)
    return out.getvalue()


@pytest.mark.parametrize("form", ["PNG", "TIFF"])
def test_lossless_files_keep_their_pixels(form):
    rgb = gradient()
    np.testing.assert_array_equal(photo_from_bytes(encoded(rgb, form), "a").rgb, rgb)


# EXIF 2.32 table 6: 3 is turned by half, 6 is to be turned clockwise by a quarter, 8 anticlockwise.
@pytest.mark.parametrize(("orientation", "quarter_turns"), [(1, 0), (3, 2), (6, 1), (8, 3)])
def test_exif_orientation_is_undone(orientation, quarter_turns):
    upright = gradient()
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    stored = np.rot90(upright, quarter_turns)
    np.testing.assert_array_equal(photo_from_bytes(encoded(stored, exif=exif), "a").rgb, upright)


def display_p3():
    """A Display P3 profile: matrix and sRGB curve (ICC.1:2022, 8.3 and 10.18), columns adapted to D50."""

    def fixed(*values):
        return b"".join(struct.pack(">i", round(value * 65536)) for value in values)

    curve = b"para" + bytes(4) + struct.pack(">HH", 3, 0) + fixed(2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)
    columns = {b"rXYZ": (0.5151, 0.2412, -0.0011), b"gXYZ": (0.2919, 0.6922, 0.0419), b"bXYZ": (0.1572, 0.0666, 0.7841)}
    tags = {name: b"XYZ " + bytes(4) + fixed(*xyz) for name, xyz in columns.items()}
    tags |= {b"wtpt": b"XYZ " + bytes(4) + fixed(0.9642, 1.0, 0.8249)}
    tags |= dict.fromkeys((b"rTRC", b"gTRC", b"bTRC"), curve)
    tags |= {b"desc": b"desc" + bytes(4) + struct.pack(">I", 3) + b"P3\0" + bytes(79)}
    table, data, start = b"", b"", 128 + 4 + 12 * len(tags)
    for name, value in tags.items():
        padded = value + bytes(-len(value) % 4)
        table += name + struct.pack(">II", start + len(data), len(value))
        data += padded
    body = struct.pack(">I", len(tags)) + table + data
    header = struct.pack(">I", 128 + len(body)) + bytes(4) + struct.pack(">I", 0x02400000) + b"mntrRGB XYZ "
    header += bytes(12) + b"acsp" + bytes(28) + fixed(0.9642, 1.0, 0.8249)
    return header.ljust(128, b"\0") + body


def test_a_wide_gamut_picture_is_converted_to_srgb():
    # CSS Color 4, section 10.2: color(display-p3 0.9176 0.2003 0.1386) is the red of sRGB.
    red = np.full((80, 80, 3), np.round(np.array([0.9176, 0.2003, 0.1386]) * 255), dtype=np.uint8)
    photo = photo_from_bytes(encoded(red, icc_profile=display_p3()), "p3.png")
    np.testing.assert_allclose(photo.rgb[0, 0].astype(int), (255, 0, 0), atol=3)


def test_a_profile_that_is_none_is_ignored():
    rgb = gradient()
    np.testing.assert_array_equal(photo_from_bytes(encoded(rgb, icc_profile=b"not a profile"), "a").rgb, rgb)


def test_sixteen_bit_greys_are_not_cut_off():
    out = io.BytesIO()
    Image.fromarray(np.full((80, 80), 32768, dtype=np.uint16)).save(out, "PNG")
    np.testing.assert_allclose(photo_from_bytes(out.getvalue(), "a").rgb, 128, atol=1)


def test_transparency_greys_and_palettes_become_rgb():
    for mode in ("RGBA", "L", "LA", "P", "CMYK"):
        out = io.BytesIO()
        Image.fromarray(gradient()).convert(mode).save(out, "TIFF" if mode == "CMYK" else "PNG")
        assert photo_from_bytes(out.getvalue(), mode).rgb.shape == (80, 120, 3)


def test_a_large_picture_is_reduced_and_says_by_how_much():
    photo = photo_from_bytes(encoded(gradient(2 * MAX_WORKING_SIDE, 100)), "a")
    assert photo.rgb.shape == (50, MAX_WORKING_SIDE, 3)
    assert photo.reduction == 2


def test_nothing_but_pixels_is_kept():
    exif = Image.Exif()
    exif[0x010F] = "a maker"
    photo = photo_from_bytes(encoded(gradient(), "JPEG", exif=exif), "a")
    assert set(Photo.__slots__) == {"rgb", "reduction", "fine"}
    assert type(photo.rgb) is np.ndarray


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "not a picture"),
        (b"hello, this is text", "not a picture"),
        (encoded(gradient(), "JPEG")[:-400], "cut short"),
        (encoded(gradient(), "GIF"), "JPEG, PNG or TIFF"),
        (encoded(gradient(20, 20)), "20 × 20"),
    ],
    ids=["empty", "text", "truncated", "another format", "tiny"],
)
def test_what_cannot_be_read_is_said_with_a_remedy(content, says):
    with pytest.raises(UnreadableInput, match=says) as caught:
        photo_from_bytes(content, "face.jpg")
    assert caught.value.source == "face.jpg"
    assert caught.value.remedy


def giant_png(side):
    """A PNG of a few bytes that claims to be `side` pixels square (PNG, 3rd edition, 11.2.1)."""

    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    header = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(b"\0")) + chunk(b"IEND", b"")


@pytest.mark.parametrize("side", [12_000, 15_000, 60_000])
def test_a_decompression_bomb_is_refused_before_it_unpacks(side):
    with pytest.raises(UnreadableInput, match="at most 120 million"):
        photo_from_bytes(giant_png(side), "bomb.png")


def test_a_missing_file_and_a_folder_are_named(tmp_path):
    for path in (tmp_path / "nothing.jpg", tmp_path):
        with pytest.raises(UnreadableInput, match="cannot be opened"):
            load_photo(path)


PNG, JPEG = encoded(gradient(70, 66)), encoded(gradient(70, 66), "JPEG")


@given(
    st.sampled_from([PNG, JPEG]),
    st.lists(st.tuples(st.integers(0, 10_000), st.integers(0, 255)), max_size=8),
    st.data(),
)
@settings(max_examples=60)
def test_mutated_files_are_read_or_refused_never_worse(content, changes, data):
    mutated = bytearray(content)
    for position, value in changes:
        mutated[position % len(mutated)] = value
    end = data.draw(st.integers(len(mutated) // 2, len(mutated)))
    try:
        photo = photo_from_bytes(bytes(mutated[:end]), "mutated")
    except UnreadableInput:
        pass  # any other exception fails
    else:
        assert photo.rgb.dtype == np.uint8
        assert photo.rgb.shape[2] == 3
