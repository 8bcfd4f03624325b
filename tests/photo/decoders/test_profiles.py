"""Embedded colour profiles: in 8 and 16 bits, of inks, of greys, named by number, and broken."""

import zlib

import numpy as np
import pytest
from PIL import Image, ImageCms

from tenter.errors import UnreadableInput
from tenter.photo.files.loading import photo_from_bytes
from tests.support.pictures.picture_files import (
    display_p3,
    encoded,
    fine_gradient,
    fine_png,
    fine_tiff,
    gamma_grey,
    gradient,
    heic,
    png_chunk,
    press,
    saved,
    scanner,
)

# CSS Color 4, section 10.2: color(display-p3 0.9176 0.2003 0.1386) is the red of sRGB.
P3_OF_SRGB_RED = np.array([0.9176, 0.2003, 0.1386])


def plain(code, dtype=np.uint8):
    return np.full((80, 80, 3), np.round(code * np.iinfo(dtype).max), dtype=dtype)


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP", "TIFF", "HEIC"])
def test_a_wide_gamut_picture_is_converted_to_srgb(form):
    red = plain(P3_OF_SRGB_RED)
    content = heic(red, icc_profile=display_p3()) if form == "HEIC" else encoded(red, form, icc_profile=display_p3())
    photo = photo_from_bytes(content, "p3")
    np.testing.assert_allclose(photo.rgb[40, 40].astype(int), (255, 0, 0), atol=5)
    assert photo.notes == ()


@pytest.mark.parametrize("write", [fine_png, lambda words, icc: fine_tiff(words, ">", icc)])
def test_sixteen_bits_go_through_the_profile_as_sixteen_bits(write):
    photo = photo_from_bytes(write(plain(P3_OF_SRGB_RED, np.uint16), display_p3()), "p3")
    np.testing.assert_allclose(photo.fine[40, 40] / 65535, (1, 0, 0), atol=0.006)
    ramp = photo_from_bytes(write(fine_gradient(), display_p3()), "p3")
    assert len(np.unique(ramp.fine)) > 1000


def test_the_arithmetic_in_sixteen_bits_agrees_with_littlecms_in_eight():
    rng = np.random.default_rng(1)
    coarse = rng.integers(60, 200, (80, 80, 3)).astype(np.uint8)
    for icc in (display_p3(), ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()):
        eight = photo_from_bytes(encoded(coarse, icc_profile=icc), "a").rgb
        sixteen = photo_from_bytes(fine_png(coarse.astype(np.uint16) * 257, icc), "a").fine / 257
        np.testing.assert_allclose(sixteen, eight, atol=1.2)


def test_greys_follow_their_own_curve():
    # An exponent of 1.8 makes (0.5)**1.8 = 0.2872 of linear light, which sRGB codes as 0.5731 (IEC 61966-2-1).
    for content in (
        encoded(np.full((80, 80), 128, np.uint8), icc_profile=gamma_grey(1.8)),
        fine_png(np.full((80, 80), 32768, np.uint16), gamma_grey(1.8)),
    ):
        photo = photo_from_bytes(content, "grey")
        np.testing.assert_allclose(photo.rgb[40, 40] / 255, 0.5731, atol=0.006)


def test_inks_are_read_by_their_profile():
    inks = np.zeros((80, 80, 4), np.uint8)
    inks[:, 40:] = (0, 255, 255, 0)  # magenta and yellow: red
    photo = photo_from_bytes(saved(Image.frombytes("CMYK", (80, 80), inks.tobytes()), "TIFF", icc_profile=press()), "a")
    assert photo.rgb[40, 10].min() > 245
    red, green, blue = photo.rgb[40, 70].astype(int)
    assert red > 140
    assert max(green, blue) < red - 80


@pytest.mark.parametrize(
    "icc",
    [b"not a profile", display_p3()[:150], press(), display_p3().replace(b"rTRC", b"xTRC")],
    ids=["no profile", "cut", "of inks", "lacks a curve"],
)
def test_a_profile_that_cannot_be_used_is_said_and_the_picture_read_as_srgb(icc):
    for content, rgb in (
        (encoded(gradient(), icc_profile=icc), gradient()),
        (fine_tiff(fine_gradient(), icc=icc), fine_gradient()),
    ):
        photo = photo_from_bytes(content, "a")
        np.testing.assert_array_equal(photo.rgb if photo.fine is None else photo.fine, rgb)
        assert "read as sRGB" in photo.notes[0]


def test_a_profile_of_tables_is_used_in_eight_bits_and_that_is_said():
    photo = photo_from_bytes(fine_png(plain(np.array([0.5, 0.5, 0.5]), np.uint16), scanner()), "a")
    assert photo.fine is None
    assert "applied in 8 bits" in photo.notes[0]
    # Grey halfway along the made-up table is L* 50, which sRGB codes as 119 (IEC 61966-2-1).
    np.testing.assert_allclose(photo.rgb[40, 40].astype(int), 119, atol=3)


@pytest.mark.parametrize(("primaries", "expected"), [(12, (255, 0, 0)), (1, (234, 51, 35))])
def test_heic_colours_named_by_number_are_followed(primaries, expected):
    content = heic(plain(P3_OF_SRGB_RED), color_primaries=primaries, transfer_characteristics=13, matrix_coefficients=6)
    np.testing.assert_allclose(photo_from_bytes(content, "a").rgb[40, 40].astype(int), expected, atol=5)


def test_an_hdr_picture_is_refused_with_a_remedy():
    content = heic(gradient(), color_primaries=9, transfer_characteristics=16, matrix_coefficients=9)
    with pytest.raises(UnreadableInput, match=r"HDR screens \(PQ\).*Turn HDR off"):
        photo_from_bytes(content, "a.heic")


def test_a_profile_that_unpacks_to_gigabytes_is_stopped():
    content = encoded(gradient())
    bomb = png_chunk(b"iCCP", b"icc\0\0" + zlib.compress(bytes(200_000_000), 9))
    try:
        photo = photo_from_bytes(content[:33] + bomb + content[33:], "a.png")
    except UnreadableInput:
        pass
    else:
        np.testing.assert_array_equal(photo.rgb, np.asarray(Image.fromarray(gradient())))
