"""The head of a lossy WebP's frame, written bit by bit and by the usual writer, and read back."""

import io
import itertools

import pytest
from PIL import Image

from tenter.photo.decoders.webp_step import luminance_step
from tenter.photo.files.loading import photo_from_bytes
from tests.support.pictures.picture_files import display_p3, encoded, owned


class Writer:
    """Bits coded by arithmetic, each as likely 0 as 1 (RFC 6386, 7.3), in one long number."""

    def __init__(self):
        self.low, self.range, self.shifted = 0, 255, 0

    def flag(self, is_set):
        split = 1 + ((self.range - 1) * 128 >> 8)
        self.low += split if is_set else 0
        self.range = self.range - split if is_set else split
        while self.range < 128:
            self.low, self.range, self.shifted = self.low << 1, self.range << 1, self.shifted + 1

    def number(self, value, bits):
        for place in reversed(range(bits)):
            self.flag(value >> place & 1)

    def optional(self, value, bits):
        self.flag(value != 0)
        if value:
            self.number(abs(value), bits)
            self.flag(value < 0)

    def frame(self):
        bits = format(self.low, f"0{self.shifted + 8}b")
        bits += "0" * (-len(bits) % 8 + 16)
        return bytes(10) + int(bits, 2).to_bytes(len(bits) // 8, "big")


def head(common, segments=None, absolute=False, has_map=False, deltas=False):
    """The head of a frame (RFC 6386, 19.2) up to the index of its step."""
    said = Writer()
    said.number(0b01, 2)
    said.flag(segments is not None)
    if segments is not None:
        said.flag(has_map)
        said.flag(1)
        said.flag(absolute)
        for index in segments:
            said.optional(index, 7)
        for level in (0, -13, 63, 7):
            said.optional(level, 6)
        if has_map:
            for likely in (0, 255, 90):
                said.flag(likely > 0)
                if likely:
                    said.number(likely, 8)
    said.number(0b1_101101_010, 10)
    said.flag(deltas)
    if deltas:
        said.flag(1)
        for level in (2, 0, -2, -2, 4, -2, 2, 4):
            said.optional(level, 6)
    said.number(0b10, 2)
    said.number(common, 7)
    said.number(0b1011, 4)
    return said.frame()


@pytest.mark.parametrize(("has_map", "deltas"), list(itertools.product((False, True), repeat=2)))
def test_every_part_of_a_head_before_the_step_is_read_over(has_map, deltas):
    for common in (0, 1, 26, 54, 127):
        assert luminance_step(head(common, deltas=deltas)) == 4 + common
        around = {"has_map": has_map, "deltas": deltas}
        assert luminance_step(head(common, (10, 0, -2, 20), **around)) == 4 + common + 7
        assert luminance_step(head(common, (10, 30, 50, 70), absolute=True, **around)) == 4 + 40


def test_a_head_that_breaks_off_tells_nothing():
    assert [luminance_step(bytes(long)) for long in (0, 10, 11)] == [0, 0, 0]


def test_how_coarsely_the_usual_writer_keeps_light_and_dark(portrait):
    """Its index is 127 (1 - c^(1/3)), where c rises from 0 at quality 0 to 1 at 100; from memory.

    It gives darker and lighter parts of a picture indices of their own about it.
    """
    for quality, common in ((100, 0), (90, 9), (75, 26), (50, 39), (0, 127)):
        for options in ({}, {"exif": owned(1)}, {"icc_profile": display_p3()}):
            step = photo_from_bytes(encoded(portrait.rgb, "WEBP", quality=quality, **options), "a").jpeg_step
            assert step - 4 == pytest.approx(common, rel=0.25)


def test_a_lossless_file_has_no_step_and_a_jpeg_of_like_quality_a_like_one(portrait):
    steps = {}
    for form in ("JPEG", "WEBP"):
        out = io.BytesIO()
        Image.fromarray(portrait.rgb).save(out, form, quality=75)
        steps[form] = photo_from_bytes(out.getvalue(), "a").jpeg_step
    assert steps["WEBP"] == pytest.approx(steps["JPEG"], rel=0.3)
    assert photo_from_bytes(encoded(portrait.rgb, "WEBP", lossless=True), "a").jpeg_step == 0
