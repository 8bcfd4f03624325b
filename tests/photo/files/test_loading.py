"""Reading picture files: turned, fine, animated, owned, broken and dangerous ones."""

import io
import os
import pickle
import struct
from pathlib import Path

import cv2
import numpy as np
import pytest
from PIL import Image

from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import srgb_to_lab
from tenter.errors import UnreadableInput
from tenter.photo.files.loading import MAX_WORKING_SIDE, Photo, load_photo, photo_from_bytes
from tests.support.pictures.picture_files import (
    OWNER,
    PLACE,
    dng,
    encoded,
    fine_gradient,
    fine_png,
    fine_tiff,
    giant_png,
    gradient,
    heic,
    owned,
    saved,
    turned,
)

# Each writes an array as a camera held this way would, with an owner's name in it.
WRITERS = {
    "JPEG": lambda rgb, orientation: encoded(rgb, "JPEG", exif=owned(orientation)),
    "PNG": lambda rgb, orientation: encoded(rgb, exif=owned(orientation)),
    "WebP": lambda rgb, orientation: encoded(rgb, "WEBP", exif=owned(orientation), lossless=True),
    "TIFF": lambda rgb, orientation: encoded(rgb, "TIFF", exif=owned(orientation)),
    "16-bit PNG": lambda words, orientation: fine_png(words, exif=owned(orientation)),
    "16-bit TIFF": lambda words, orientation: fine_tiff(words, orientation=orientation),
    "HEIC": lambda rgb, orientation: heic(rgb, exif=owned(orientation).tobytes()),
    "DNG": lambda rgb, orientation: dng(rgb / 255.0, orientation),
}


@pytest.mark.parametrize("form", ["PNG", "WebP", "TIFF"])
def test_lossless_files_keep_their_pixels(form):
    rgb = gradient()
    np.testing.assert_array_equal(photo_from_bytes(WRITERS[form](rgb, 1), "a").rgb, rgb)


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("form", ["PNG", "WebP", "TIFF", "16-bit PNG", "16-bit TIFF", "HEIC"])
def test_exif_orientation_is_undone_once(form, orientation):
    upright = fine_gradient() if form.startswith("16") else gradient()
    stored = turned(upright, orientation)
    photo = photo_from_bytes(WRITERS[form](stored, orientation), "a")
    read = photo.rgb if photo.fine is None else photo.fine
    np.testing.assert_allclose(read.astype(int), upright, atol=4 if form == "HEIC" else 0)


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WebP", "HEIC"])
@pytest.mark.parametrize(("told", "kept"), [(28, 28.0), (0, None), (60000, None), (None, None)])
def test_the_focal_length_is_all_that_is_kept_of_a_lens(form, told, kept):
    exif = owned(1, told)
    content = heic(gradient(), exif=exif.tobytes()) if form == "HEIC" else encoded(gradient(), form, exif=exif)
    photo = photo_from_bytes(content, "a")
    assert photo.focal_35mm == kept
    assert OWNER not in repr(photo)


def test_a_turned_jpeg_that_is_reduced_lies_as_it_should():
    upright = gradient(2 * MAX_WORKING_SIDE, 800)
    photo = photo_from_bytes(encoded(turned(upright, 6), "JPEG", exif=owned(6), quality=95), "a")
    assert photo.reduction == 2
    np.testing.assert_allclose(
        photo.rgb.astype(int), upright.reshape(400, 2, MAX_WORKING_SIDE, 2, 3).mean((1, 3)), atol=6
    )


@pytest.mark.parametrize("order", ["<", ">"])
@pytest.mark.parametrize("channels", [1, 3])
def test_sixteen_bits_are_kept(order, channels):
    words = fine_gradient() if channels == 3 else fine_gradient()[..., 0]
    for content in (fine_png(words), fine_tiff(words, order)):
        photo = photo_from_bytes(content, "a")
        expected = words if channels == 3 else np.repeat(words[..., None], 3, axis=2)
        np.testing.assert_array_equal(photo.fine, expected)
        np.testing.assert_allclose(photo.rgb, expected / 257, atol=0.5)


def test_sixteen_bits_are_reduced_by_the_mean_of_each_area_too():
    words = np.zeros((300, 2 * MAX_WORKING_SIDE, 3), dtype=np.uint16)
    words[:, ::2] = 1001
    photo = photo_from_bytes(fine_png(words), "a")
    assert photo.reduction == 2
    assert photo.rgb.shape == photo.fine.shape == (150, MAX_WORKING_SIDE, 3)
    np.testing.assert_allclose(photo.fine.astype(int), 500.5, atol=0.5)


def test_a_tiff_of_greys_whose_white_is_zero_is_turned_round():
    photo = photo_from_bytes(fine_tiff(np.full((80, 80), 65535 - 1234, np.uint16), tags={262: (3, [0])}), "a")
    assert (photo.fine == 1234).all()


def test_a_jpeg_unpacked_at_half_its_size_has_the_colours_of_the_whole_one():
    """Means over 40 pixels, less than a region's, within ΔE00 0.2 of the whole picture's; single pixels within 3."""
    y, x = np.mgrid[: 2 * 600, : 2 * MAX_WORKING_SIDE]
    rgb = np.stack([128 + 90 * np.sin(x / 300), 120 + 80 * np.cos(y / 200), 100 + 60 * np.sin((x + y) / 400)], axis=2)
    rgb += np.random.default_rng(5).normal(0, 3, rgb.shape)
    content = encoded(np.clip(rgb.round(), 0, 255).astype(np.uint8), "JPEG", quality=92)
    read = photo_from_bytes(content, "a").rgb.astype(float)
    whole = np.asarray(Image.open(io.BytesIO(content)), float).reshape(600, 2, MAX_WORKING_SIDE, 2, 3).mean((1, 3))
    labs = [srgb_to_lab(picture.reshape(15, 40, 60, 40, 3).mean((1, 3)) / 255) for picture in (read, whole)]
    assert delta_e_2000(*labs).max() < 0.2
    assert delta_e_2000(srgb_to_lab(read[::5, ::5] / 255), srgb_to_lab(whole[::5, ::5] / 255)).max() < 3
    np.testing.assert_allclose(read.mean((0, 1)), whole.mean((0, 1)), atol=0.1)


def test_a_lossy_webp_has_the_colours_of_the_picture_it_was_made_of():
    rgb = gradient(480, 320)
    photo = photo_from_bytes(encoded(rgb, "WEBP", quality=90), "a.jpg")  # whatever its name says
    labs = [srgb_to_lab(picture.reshape(8, 40, 12, 40, 3).mean((1, 3)) / 255) for picture in (photo.rgb, rgb)]
    assert delta_e_2000(*labs).max() < 0.5


def test_a_jpeg_that_no_half_fits_is_reduced_by_what_is_said():
    wide = 4 * MAX_WORKING_SIDE + 1
    photo = photo_from_bytes(encoded(gradient(wide, 500), "JPEG"), "a")
    assert photo.rgb.shape == (125, MAX_WORKING_SIDE, 3)
    assert photo.reduction == wide / MAX_WORKING_SIDE


@pytest.mark.parametrize("form", ["PNG", "JPEG", "WEBP", "TIFF", "HEIC"])
def test_a_strip_in_which_the_card_finder_would_search_without_end_is_refused(form):
    for size in ((64 * 30, 64), (64, 64 * 30)):
        content = heic(gradient(*size)) if form == "HEIC" else encoded(gradient(*size), form)
        with pytest.raises(UnreadableInput, match="a strip of"):
            photo_from_bytes(content, "a")
    assert photo_from_bytes(encoded(gradient(64 * 20, 64)), "a").rgb.shape == (64, 1280, 3)


@pytest.mark.parametrize(("form", "options"), [("PNG", {}), ("WEBP", {"lossless": True})])
def test_an_animated_picture_gives_its_first_frame_and_says_so(form, options):
    first, second = Image.fromarray(gradient()), Image.fromarray(gradient()[::-1].copy())
    content = saved(first, form, save_all=True, append_images=[second], **options)
    photo = photo_from_bytes(content, "a")
    np.testing.assert_array_equal(photo.rgb, gradient())
    assert "animated, with 2 frames" in photo.notes[0]


def test_of_a_tiff_with_pages_the_first_is_read():
    first, second = Image.fromarray(gradient()), Image.fromarray(gradient()[::-1].copy())
    photo = photo_from_bytes(saved(first, "TIFF", save_all=True, append_images=[second]), "a")
    np.testing.assert_array_equal(photo.rgb, gradient())
    assert "several pages" in photo.notes[0]


def test_a_thumbnail_before_the_picture_in_a_tiff_is_passed_over():
    picture = Image.fromarray(gradient())
    pages = picture.resize((70, 66))
    content = bytearray(saved(pages, "TIFF", save_all=True, append_images=[picture], tiffinfo={254: 1}))
    content[content.rindex(struct.pack("<H", 254)) + 8] = 0  # TIFF 6.0, NewSubfileType: the second is no thumbnail
    photo = photo_from_bytes(bytes(content), "a")
    np.testing.assert_array_equal(photo.rgb, gradient())


def test_a_phones_second_picture_in_a_jpeg_is_no_animation():
    image = Image.fromarray(gradient())
    photo = photo_from_bytes(saved(image, "MPO", save_all=True, append_images=[image]), "a.jpg")
    assert photo.notes == ()


def test_transparent_parts_are_pointed_out_and_opaque_alpha_is_not():
    clear = np.dstack([gradient(), np.full((80, 120), 255, np.uint8)])
    assert photo_from_bytes(encoded(clear), "a").notes == ()
    clear[0, 0, 3] = 0
    for form, options in (("PNG", {}), ("TIFF", {}), ("WEBP", {"lossless": True, "exact": True})):
        photo = photo_from_bytes(encoded(clear, form, **options), "a")
        assert "transparent" in photo.notes[0]
        np.testing.assert_array_equal(photo.rgb, gradient())
    fine = np.dstack([fine_gradient(), np.full((80, 120), 65535, np.uint16)])
    content = cv2.imencode(".png", fine[..., [2, 1, 0, 3]])[1].tobytes()
    np.testing.assert_array_equal(photo_from_bytes(content, "a").fine, fine_gradient())


def test_sixteen_bit_greys_are_not_cut_off():
    out = io.BytesIO()
    Image.fromarray(np.full((80, 80), 32768, dtype=np.uint16)).save(out, "PNG")
    np.testing.assert_allclose(photo_from_bytes(out.getvalue(), "a").rgb, 128, atol=1)


def test_transparency_greys_and_palettes_become_rgb():
    for mode in ("RGBA", "L", "LA", "P", "1", "YCbCr"):
        out = io.BytesIO()
        Image.fromarray(gradient()).convert(mode).save(out, "TIFF" if mode == "YCbCr" else "PNG")
        assert photo_from_bytes(out.getvalue(), mode).rgb.shape == (80, 120, 3)


def test_a_large_picture_is_reduced_and_says_by_how_much():
    photo = photo_from_bytes(encoded(gradient(2 * MAX_WORKING_SIDE, 300)), "a")
    assert photo.rgb.shape == (150, MAX_WORKING_SIDE, 3)
    assert photo.reduction == 2


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WebP", "TIFF", "16-bit TIFF", "HEIC", "DNG"])
def test_neither_owner_nor_place_is_kept_and_no_file_is_left(form, tmp_path, monkeypatch):
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    content = WRITERS[form](fine_gradient() if form.startswith("16") else gradient(), 1)
    assert OWNER.encode() in content
    photo = photo_from_bytes(content, "a")
    assert set(Photo.__slots__) == {"rgb", "reduction", "fine", "notes", "jpeg_step", "focal_35mm"}
    kept = pickle.dumps((photo.rgb, photo.fine, photo.reduction, photo.notes))
    assert OWNER.encode() not in kept
    assert PLACE.encode() not in kept
    assert type(photo.rgb) is np.ndarray
    assert photo.rgb.base is None or type(photo.rgb.base) is np.ndarray
    with pytest.raises(UnreadableInput) as caught:
        photo_from_bytes(content[: len(content) * 2 // 3], "a")
    assert OWNER not in str(caught.value)
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "not a picture"),
        (b"hello, this is text", "not a picture"),
        (encoded(gradient(), "JPEG")[:-400], "cut short"),
        (encoded(gradient(), "GIF"), "this is a GIF.*JPEG, PNG, WebP, TIFF, HEIC or DNG"),
        (encoded(gradient(), "WEBP").replace(b"WEBP", b"WAVE"), "a film or a sound"),
        (encoded(gradient(), "WEBP")[:-40], "says that it is 364 bytes long, and 324 are left.*cut short"),
        (b"\0\0\0\x18ftypmp42" + bytes(80), "a film"),
        (saved(Image.fromarray(gradient()).convert("CMYK"), "TIFF"), "CMYK.*Export it as RGB"),
        (saved(Image.fromarray(gradient()).convert("CMYK"), "JPEG"), "CMYK.*Export it as RGB"),
        (saved(Image.fromarray(gradient()).convert("F"), "TIFF"), "32-bit or fractional"),
        (encoded(gradient(), "JPEG") + b"\xff\xda" * 200, "scans"),
        (encoded(gradient(20, 20)), "20 × 20"),
    ],
    ids=["empty", "text", "cut", "gif", "sound", "cut webp", "film", "inks", "ink jpeg", "fractions", "scans", "tiny"],
)
def test_what_cannot_be_read_is_said_with_a_remedy(content, says):
    with pytest.raises(UnreadableInput, match=says) as caught:
        photo_from_bytes(content, "face.jpg")
    assert caught.value.source == "face.jpg"
    assert caught.value.remedy


@pytest.mark.parametrize("side", [12_000, 15_000, 60_000])
def test_a_decompression_bomb_is_refused_before_it_unpacks(side):
    with pytest.raises(UnreadableInput, match="at most 120 million"):
        photo_from_bytes(giant_png(side), "bomb.png")


def test_sixteen_bits_count_twice_towards_what_is_unpacked():
    with pytest.raises(UnreadableInput, match="200 million bytes"):
        photo_from_bytes(giant_png(10_000, bits=16), "bomb.png")


def test_a_missing_file_and_a_folder_are_named(tmp_path):
    for path in (tmp_path / "nothing.jpg", tmp_path):
        with pytest.raises(UnreadableInput, match="cannot be opened"):
            load_photo(path)


def test_a_pipe_a_device_and_a_loop_of_links_are_refused_at_once(tmp_path):
    pipe, loop = tmp_path / "pipe.jpg", tmp_path / "loop.jpg"
    os.mkfifo(pipe)
    loop.symlink_to(loop)
    for path, says in ((pipe, "pipe or a device"), (Path("/dev/zero"), "pipe or a device"), (loop, "cannot be opened")):
        with pytest.raises(UnreadableInput, match=says):
            load_photo(path)


def test_a_file_that_may_not_be_read_says_so(tmp_path, monkeypatch):
    path = tmp_path / "a.jpg"
    path.write_bytes(encoded(gradient(), "JPEG"))

    def forbidden(_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", forbidden)
    with pytest.raises(UnreadableInput, match="Permission denied"):
        load_photo(path)


def test_names_that_look_like_options_are_only_names(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    for name in ("-", "--help", "a b.jpg", "\u202egpj.exe"):
        Path(name).write_bytes(encoded(gradient()))
        assert load_photo(Path(name)).rgb.shape == (80, 120, 3)
