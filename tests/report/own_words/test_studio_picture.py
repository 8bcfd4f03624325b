"""A logo is read as carefully as a photograph, stands on white, and keeps nothing else of its file."""

import io

import numpy as np
import pytest
from PIL import Image, PngImagePlugin

from tenter.errors import UnreadableInput
from tenter.report.own_words.studio_picture import LONGEST_SIDE, MOST_BYTES, read_studio_picture, studio_picture


def file_of(picture: Image.Image, kind: str = "PNG", **options: object) -> bytes:
    written = io.BytesIO()
    picture.save(written, kind, **options)
    return written.getvalue()


def pixels(content: bytes) -> np.ndarray:
    with Image.open(io.BytesIO(content)) as picture:
        return np.asarray(picture.convert("RGB")).astype(int)


def test_what_is_transparent_shows_the_paper_and_not_what_is_stored_beneath() -> None:
    drawn = Image.new("RGBA", (120, 80), (0, 0, 0, 0))
    drawn.paste((200, 30, 40, 255), (0, 0, 60, 80))
    drawn.paste((0, 0, 0, 128), (100, 0, 120, 80))
    found = studio_picture(file_of(drawn))
    seen = pixels(found.content)
    assert (found.size, found.media_type) == ((120, 80), "image/png")
    assert seen[40, 30].tolist() == [200, 30, 40]
    assert seen[40, 80].tolist() == [255, 255, 255]
    assert np.abs(seen[40, 110] - 127).max() <= 1


@pytest.mark.parametrize("mode", ["LA", "P"])
def test_greys_and_palettes_with_a_transparent_colour_stand_on_white_too(mode: str) -> None:
    drawn = Image.new(mode, (80, 80), 0)
    if mode == "P":
        drawn.putpalette([0, 0, 0, 10, 20, 30])
        content = file_of(drawn, transparency=0)
    else:
        content = file_of(drawn)
    assert pixels(studio_picture(content).content).min() == 255


def test_a_large_picture_is_made_small_and_a_small_one_is_left() -> None:
    assert studio_picture(file_of(Image.new("RGB", (3000, 1500), "teal"), "JPEG")).size == (LONGEST_SIDE, 500)
    assert studio_picture(file_of(Image.new("RGBA", (3000, 1500), (9, 9, 9, 9)))).size == (LONGEST_SIDE, 500)
    assert studio_picture(file_of(Image.new("RGB", (64, 64), "teal"))).size == (64, 64)


def test_a_photograph_is_kept_as_a_jpeg_since_a_png_of_it_would_be_large() -> None:
    noise = np.random.default_rng(3).integers(0, 256, (900, 900, 3), dtype=np.uint8)
    found = studio_picture(file_of(Image.fromarray(noise)))
    assert (found.media_type, found.size) == ("image/jpeg", (900, 900))
    assert len(found.content) < 1_500_000


def test_nothing_else_of_the_file_is_kept_and_the_same_file_gives_the_same_bytes() -> None:
    said = PngImagePlugin.PngInfo()
    said.add_text("Comment", "taken at home")
    content = file_of(Image.new("RGB", (90, 90), "navy"), pnginfo=said)
    assert b"taken at home" in content
    kept = studio_picture(content).content
    assert b"taken at home" not in kept
    assert studio_picture(content).content == kept


@pytest.mark.parametrize("head", [b"<svg xmlns='x'>", b"\xef\xbb\xbf<?xml version='1.0'?><svg>", b"\n <!DOCTYPE svg>"])
def test_a_drawing_is_refused_with_the_reason(head: bytes) -> None:
    with pytest.raises(UnreadableInput, match="may carry scripts and fetch other files") as caught:
        studio_picture(head, "logo.svg")
    assert "PNG" in caught.value.remedy
    assert caught.value.source == "logo.svg"


@pytest.mark.parametrize(
    ("content", "problem"),
    [
        (b"", "the file is empty"),
        (b"GIF89a....", "a GIF"),
        (b"%PDF-1.7", "a PDF"),
        (b"\x89PNG\r\n\x1a\nbroken", "can be read to its end|bytes long"),
        (file_of(Image.new("RGB", (100, 100)))[:60], "can be read to its end|bytes long"),
        (file_of(Image.new("RGB", (20, 20))), "only 20 × 20 pixels"),
        (file_of(Image.new("RGB", (2000, 70))), "a strip of 2000 × 70 pixels"),
        (file_of(Image.new("RGB", (100, 100)), "WEBP"), "a WebP file"),
        (b"\x89PNG" + bytes(MOST_BYTES), "more than 5 MB"),
    ],
    ids=["empty", "gif", "pdf", "broken", "cut", "tiny", "strip", "webp", "large"],
)
def test_what_cannot_be_printed_is_refused_with_what_would_do(content: bytes, problem: str) -> None:
    with pytest.raises(UnreadableInput, match=problem) as caught:
        studio_picture(content)
    assert "PNG or a JPEG of 64 pixels" in caught.value.remedy


def test_a_file_that_is_not_there_and_a_folder_are_named(tmp_path) -> None:
    for place, problem in ((tmp_path / "none.png", "cannot be opened"), (tmp_path, "a folder")):
        with pytest.raises(UnreadableInput, match=problem):
            read_studio_picture(place)
