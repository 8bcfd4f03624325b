"""The lock screen: colours as they are, clock and buttons free, red and white named, no person's name."""

import io

import numpy as np
import pytest
from PIL import Image

from tenter.errors import MissingPart, TenterError
from tenter.report.phone_page import lock_screen
from tenter.report.phone_page.content import Band, Block, PhoneColours, shown_on_phone
from tenter.report.phone_page.files import lock_screen_file
from tenter.report.phone_page.lock_screen import SIZE, lock_screen_png

GROUND = (0x77, 0x77, 0x77)


def opened(png: bytes) -> Image.Image:
    return Image.open(io.BytesIO(png))


def test_it_is_srgb_of_the_size_asked_for_and_the_same_every_time(kept):
    palette = kept("K5").palette
    png = lock_screen_file(palette)
    picture = opened(png)
    assert (picture.size, picture.mode, picture.info["srgb"]) == (SIZE, "RGB", 0)
    assert png == lock_screen_file(palette)
    assert opened(lock_screen_file(palette, (720, 1600))).size == (720, 1600)


def test_clock_and_buttons_are_left_on_neutral_grey(kept):
    pixels = np.asarray(opened(lock_screen_file(kept("K5").palette)))
    height = len(pixels)
    assert (pixels[: int(0.33 * height)] == GROUND).all()
    assert (pixels[int(0.86 * height) :] == GROUND).all()


def test_the_colours_are_exact_and_reach_the_edges(kept):
    shown = shown_on_phone(kept("K5").palette)
    pixels = np.asarray(opened(lock_screen_png(shown)))
    every = {tuple(int(v) for v in colour) for colour in np.unique(pixels.reshape(-1, 3), axis=0)}
    for band in (*shown.bands("first")[:2], *shown.strip.bands):
        assert tuple(int(band.hex[i : i + 2], 16) for i in (1, 3, 5)) in every
    middle = pixels[int(0.4 * len(pixels))]
    assert all(tuple(end) != GROUND for end in (middle[0], middle[-1]))
    left, right = (tuple(int(b.hex[i : i + 2], 16) for i in (1, 3, 5)) for b in shown.bands("first")[:2])
    assert (tuple(middle[0]), tuple(middle[-1])) == (left, right)  # your red and your white first


def test_letters_of_any_script_are_drawn(kept):
    def drawn(name: str) -> bytes:
        band = Band("c1", name, "", "", "", "#404040", True, False)
        return lock_screen_png(PhoneColours(Block("strip", "", "", (band,)), (), ()), (400, 800))

    for name in ("Koralle", "مرجاني", "אלמוג", "कोरल"):
        assert len(set(drawn(name))) > 1
        assert drawn(name) != drawn("\uffff" * len(name))


def test_a_size_that_is_no_phones_and_a_missing_font_are_said(kept, monkeypatch):
    palette = kept("K5").palette
    for size in ((10, 20), (1170, 99999), (1170.5, 2532)):
        with pytest.raises(TenterError, match="lock screen"):
            lock_screen_file(palette, size)
    monkeypatch.setattr(lock_screen, "_installed", lambda name, size: None)
    lock_screen._font.cache_clear()
    with pytest.raises(MissingPart, match="fonts-noto-core"):
        lock_screen_file(palette)
