"""What a file says of its own lengths: believed where it is there, refused before a decoder makes room for it."""

import struct
import zlib

import numpy as np
import pytest

from tenter.errors import UnreadableInput
from tenter.photo.decoders.lengths import (
    png_parts,
    require_heif_boxes,
    require_jpeg_head,
    require_tiff_pages,
    unpacks_small,
    webp_parts,
)
from tenter.photo.files.loading import photo_from_bytes
from tests.support.pictures.picture_files import (
    boasting_png,
    encoded,
    fine_gradient,
    fine_png,
    fine_tiff,
    gradient,
    heic,
    png_chunk,
    tiff,
    webp,
    webp_canvas,
    webp_chunk,
)

TOO_LONG = r"a part of the file says that it is [\d,]+ bytes long, and [\d,]+ are left.*cut short"
PNG, WEBP, JPEG, PAGE = (encoded(gradient(), form) for form in ("PNG", "WEBP", "JPEG", "TIFF"))
HEIC = heic(gradient())
CHECKED = [
    (png_parts, PNG),
    (png_parts, fine_png(fine_gradient())),
    (webp_parts, WEBP),
    (webp_parts, encoded(gradient(), "WEBP", lossless=True)),
    (require_jpeg_head, JPEG),
    (require_jpeg_head, encoded(gradient(), "JPEG", progressive=True)),
    (require_tiff_pages, PAGE),
    (require_tiff_pages, encoded(gradient(), "TIFF", compression="tiff_lzw")),
    (require_tiff_pages, encoded(gradient(), "TIFF", big_tiff=True)),
    (require_tiff_pages, fine_tiff(fine_gradient(), ">")),
    (require_heif_boxes, HEIC),
]


@pytest.mark.parametrize(("check", "content"), CHECKED)
def test_sound_files_pass_also_with_something_hung_on(check, content):
    for tail in (b"", bytes(1000), b"PK\3\4" * 100, JPEG, b"\xff" * 40):
        check(content + tail, "a")


@pytest.mark.parametrize(
    ("check", "content", "rest"),
    [
        (png_parts, PNG, 0.9),
        (webp_parts, WEBP, 0.9),
        (require_jpeg_head, JPEG, 0.1),
        (require_tiff_pages, fine_tiff(fine_gradient()), 0.001),
        (require_heif_boxes, HEIC, 0.9),
        (require_heif_boxes, HEIC, 0.2),
    ],
)
def test_files_cut_short_are_refused_by_what_is_left(check, content, rest):
    with pytest.raises(UnreadableInput, match=TOO_LONG):
        check(content[: int(rest * len(content))], "a")


# -- PNG ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", [b"IDAT", b"PLTE", b"iCCP", b"iTXt", b"zTXt", b"tEXt", b"eXIf", b"IEND"])
def test_no_chunk_of_a_png_is_longer_than_the_file(kind):
    with pytest.raises(UnreadableInput, match="4,294,967,295 bytes long, and 16 are left"):
        photo_from_bytes(boasting_png(kind), "a.png")
    with pytest.raises(UnreadableInput, match="17 bytes long, and 16 are left"):
        png_parts(boasting_png(kind, 17), "a")
    assert png_parts(boasting_png(kind, 12), "a")[1].kind == kind


def test_a_png_of_hundreds_of_thousands_of_chunks_is_refused():
    many = PNG[:33] + png_chunk(b"tEXt", b"a\0b") * 100_001 + PNG[33:]
    with pytest.raises(UnreadableInput, match="thousands of small pieces"):
        png_parts(many, "a")


BOMB = zlib.compress(bytes(50_000_000))
PACKED = {
    b"iCCP": b"icc\0\0",
    b"zTXt": b"a\0\0",
    b"iTXt": b"a\0\1\0en\0a\0",
}


@pytest.mark.parametrize("kind", PACKED)
def test_what_a_chunk_unpacks_to_is_found_without_unpacking_it_all(kind):
    [small, large] = [
        PNG[:33] + png_chunk(kind, PACKED[kind] + data) + PNG[33:] for data in (zlib.compress(b"words"), BOMB)
    ]
    assert unpacks_small(small, png_parts(small, "a")[1])
    assert not unpacks_small(large, png_parts(large, "a")[1])


@pytest.mark.parametrize("fine", [False, True])
@pytest.mark.parametrize(
    ("kind", "data"), [(b"zTXt", b"a\0\0" + BOMB), (b"iTXt", b"a\0\1\0\0\0" + BOMB), (b"tEXt", BOMB)]
)
def test_a_text_that_is_too_long_is_left_out_and_the_picture_read(kind, data, fine):
    content = fine_png(fine_gradient()) if fine else PNG
    photo = photo_from_bytes(content[:33] + png_chunk(kind, data) + content[33:], "a")
    np.testing.assert_array_equal(*((photo.fine, fine_gradient()) if fine else (photo.rgb, gradient())))


def test_a_profile_that_is_too_long_is_refused_as_colours_would_be_wrong_without_it():
    with pytest.raises(UnreadableInput, match="profile unpacks to more than a profile has"):
        photo_from_bytes(PNG[:33] + png_chunk(b"iCCP", PACKED[b"iCCP"] + BOMB) + PNG[33:], "a")


# -- WebP --------------------------------------------------------------------------------------------------------------


def test_no_chunk_of_a_webp_is_longer_than_the_file_nor_the_file_than_itself():
    picture = WEBP[12:]
    for content in (
        webp(picture, length=len(WEBP) - 7),
        webp(picture, length=2**32 - 1),
        webp(picture[:4] + struct.pack("<I", 2**32 - 1) + picture[8:]),
        webp(webp_canvas(120, 80, 32), webp_chunk(b"ICCP", b"x", 10**9), picture),
    ):
        with pytest.raises(UnreadableInput, match=TOO_LONG):
            photo_from_bytes(content, "a.webp")
    assert photo_from_bytes(webp(picture), "a.webp").rgb.shape == (80, 120, 3)


@pytest.mark.parametrize("size", [(2**24, 2**24), (2**24, 64), (16384, 16384)])
def test_a_webp_is_refused_by_the_size_of_its_canvas_before_there_is_one(size):
    with pytest.raises(UnreadableInput, match="at most 120 million"):
        photo_from_bytes(webp(webp_canvas(*size), WEBP[12:]), "a.webp")


def test_a_webp_whose_canvas_is_not_its_pictures_is_refused():
    with pytest.raises(UnreadableInput, match="not a picture that can be read"):
        photo_from_bytes(webp(webp_canvas(121, 80), WEBP[12:]), "a.webp")


# -- JPEG --------------------------------------------------------------------------------------------------------------


def test_a_jpeg_of_tens_of_thousands_of_segments_is_refused_and_one_with_a_long_profile_is_not():
    with pytest.raises(UnreadableInput, match="thousands of small pieces"):
        require_jpeg_head(JPEG[:2] + b"\xff\xe1\0\2" * 10_001 + JPEG[2:], "a")
    require_jpeg_head(JPEG[:2] + (b"\xff\xe2\xff\xff" + bytes(65533)) * 255 + JPEG[2:], "a")


def test_what_stands_between_the_segments_of_a_jpeg_is_passed_over():
    for between in (b"\xff" * 100_000, bytes(1000), b"\xff\0" * 40, b"\xff\xd0\xff\xd7"):
        require_jpeg_head(JPEG[:2] + between + JPEG[2:], "a")
        with pytest.raises(UnreadableInput, match=TOO_LONG):
            require_jpeg_head(JPEG[:2] + between + b"\xff\xe1\xff\xff" + bytes(100), "a")


# -- TIFF --------------------------------------------------------------------------------------------------------------


def page(**more):
    tags = {256: (4, [120]), 257: (4, [80]), 258: (3, [8]), 259: (3, [1]), 262: (3, [1]), 277: (3, [1]), 278: (4, [80])}
    return tiff(tags | {int(number[1:]): value for number, value in more.items()}, bytes(120 * 80))


def with_entry(content, number, at, value):
    """The same with a number written at a place of one tag's entry: 4 for its count, 8 for its value."""
    (start,) = struct.unpack_from("<I", content, 4)
    (count,) = struct.unpack_from("<H", content, start)
    entries = range(start + 2, start + 2 + 12 * count, 12)
    [entry] = [entry for entry in entries if struct.unpack_from("<H", content, entry)[0] == number]
    return content[: entry + at] + struct.pack("<I", value) + content[entry + at + 4 :]


@pytest.mark.parametrize("number", [258, 273, 279])
@pytest.mark.parametrize("count", [10**6, 2**31, 2**32 - 1])
def test_no_tag_of_a_tiff_has_more_values_than_the_file(number, count):
    with pytest.raises(UnreadableInput, match=TOO_LONG):
        require_tiff_pages(with_entry(page(), number, 4, count), "a")


@pytest.mark.parametrize("number", [273, 279])
def test_no_strip_of_a_tiff_begins_behind_the_file_or_is_longer_than_it(number):
    require_tiff_pages(page(), "a")
    with pytest.raises(UnreadableInput, match=TOO_LONG):
        require_tiff_pages(with_entry(page(), number, 8, 2**32 - 1), "a")


def test_a_tiff_of_hundreds_of_thousands_of_strips_or_with_tiles_of_gigabytes_is_refused():
    strips = [8] * 500_001
    with pytest.raises(UnreadableInput, match="thousands of small pieces"):
        require_tiff_pages(page(_324=(4, strips), _325=(4, strips)), "a")
    with pytest.raises(UnreadableInput, match="at most 200 million bytes are unpacked"):
        require_tiff_pages(page(_322=(4, [60_000]), _323=(4, [60_000])), "a")


def test_a_thumbnail_before_the_picture_does_not_hide_it():
    first = page(_254=(4, [1]))
    second = with_entry(page(), 273, 4, 2**31)
    (start,) = struct.unpack_from("<I", first, 4)
    (count,) = struct.unpack_from("<H", first, start)
    following = start + 2 + 12 * count
    (second_start,) = struct.unpack_from("<I", second, 4)
    joined = first[:following] + struct.pack("<I", len(first) + second_start) + first[following + 4 :] + second
    require_tiff_pages(first, "a")
    with pytest.raises(UnreadableInput, match=TOO_LONG):
        require_tiff_pages(joined, "a")


# -- HEIC --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", [b"ftyp", b"meta", b"iprp", b"ipco", b"ispe", b"mdat"])
@pytest.mark.parametrize("size", [3, 2**31, 2**32 - 1])
def test_no_box_of_a_heic_is_longer_than_what_it_is_in_or_shorter_than_its_head(kind, size):
    at = HEIC.index(kind) - 4
    content = HEIC[:at] + struct.pack(">I", size) + HEIC[at + 4 :]
    with pytest.raises(UnreadableInput, match=TOO_LONG):
        require_heif_boxes(content, "a")
