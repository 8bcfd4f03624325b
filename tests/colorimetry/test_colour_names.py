"""Every colour has exactly one ISCC-NBS name, and it is the published one."""

from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_array_equal
from tinycss2.color4 import parse_color

from tenter.colorimetry.colour_names import block_numbers, colour_name, css_colours, every_name, name_reading
from tenter.colorimetry.munsell import hue_number
from tenter.colorimetry.spaces import srgb_to_lab
from tenter.errors import TenterError

DATA = Path(__file__).parents[1] / "data"
BLOCKS = Path(__file__).parents[2] / "src" / "tenter" / "colorimetry" / "data" / "iscc_nbs_blocks.csv"


def rows(path):
    return [line.split(",") for line in path.read_text(encoding="utf-8").splitlines() if line[0].isdigit()]


def notation(hue, value, chroma):
    return np.array([[hue_number(hue), value, chroma]], dtype=float)


# K. L. Kelly (1958), "Central notations for the revised ISCC-NBS color-name blocks", J. Res. Natl. Bur. Stand. 61(5).
def test_the_published_middle_of_each_block_lies_in_it():
    middles = rows(DATA / "iscc_nbs_centroids.csv")
    notations = np.concatenate([notation(*row[1:]) for row in middles])
    assert_array_equal(block_numbers(notations), [int(row[0]) for row in middles])
    assert len(middles) == 267


# K. L. Kelly, D. B. Judd (1976), NBS Special Publication 440, transcribed by hand elsewhere: the blocks tile the solid.
def test_every_notation_lies_in_one_block_and_gets_its_number():
    rng = np.random.default_rng(3)
    places = rng.uniform(0, [100, 10, 25], (4000, 3))
    places[:1000] = np.round(places[:1000] * 2) / 2  # on borders
    numbers, hits = block_numbers(places), np.zeros(len(places), dtype=int)
    for hue_begin, hue_end, *ranges, number in rows(BLOCKS):
        begin = hue_number(hue_begin)
        inside = (places[:, 0] - begin) % 100 < (hue_number(hue_end) - begin) % 100
        for axis, (low, high) in enumerate(np.reshape(np.array(ranges, dtype=float), (2, 2)), start=1):
            inside &= (places[:, axis] >= low) & (places[:, axis] < high)
        hits += inside
        assert (numbers[inside] == int(number)).all()
    assert_array_equal(hits, 1)


# Screen colours of block middles (color-name-lists 3.33.2, CC0 1.0): those that a face shows. Of all 267, 228 lie in
# their own block, as they do by colour-science 0.4.7: most of the vivid ones lie outside sRGB.
@pytest.mark.parametrize(
    ("code", "name"),
    [
        ("#a67b5b", "light brown"),
        ("#6f4e37", "moderate brown"),
        ("#422518", "dark brown"),
        ("#c19a6b", "light yellowish brown"),
        ("#555555", "dark gray"),
        ("#222222", "black"),
        ("#536878", "grayish blue"),
        ("#79443b", "moderate reddish brown"),
    ],
)
def test_published_screen_colours_have_their_names(code, name):
    assert colour_name(srgb_to_lab([int(code[i : i + 2], 16) / 255 for i in (1, 3, 5)])).name == name


# The ranges as printed for 9P to 9RP: a light purplish pink is lighter than 7.5, of chroma 5 to 9.
def test_a_border_belongs_to_the_block_above_it():
    for hue, value, chroma, name in (
        ("5RP", 7.5, 5, 249),
        ("5RP", 7.499, 5, 250),
        ("5RP", 7.5, 4.999, 252),
        ("5RP", 8, 8.999, 249),
        ("5RP", 8, 9, 246),
        ("9P", 8, 6, 249),
    ):
        assert block_numbers(notation(hue, value, chroma))[0] == name, (hue, value, chroma)


def test_the_names_within_an_interval_are_those_that_a_simulation_meets():
    lab, half = np.array([30.0, 3, 8]), np.array([4.0, 2, 3])
    read = name_reading(lab, half)
    rng = np.random.default_rng(11)
    drawn = lab + half / 1.6449 * rng.standard_normal((3000, 3))
    drawn = drawn[(np.abs(drawn - lab) <= half).all(axis=1)]
    met = np.array([colour_name(one).number for one in drawn[:1200]])
    shares = {read.name.number: read.share, **{name.number: share for name, share in read.others}}
    for number, share in shares.items():
        assert share == pytest.approx((met == number).mean(), abs=0.08)
    assert {number for number in met if (met == number).mean() > 0.02} <= set(shares)
    assert sum(shares.values()) == pytest.approx(1)


def test_a_sharp_colour_has_one_name_for_certain():
    lab = srgb_to_lab([0.65, 0.48, 0.36])
    read = name_reading(lab, np.full(3, 1e-3))
    assert (read.name.name, read.others) == ("light brown", ())
    assert read.share == pytest.approx(1)
    assert read.notation.startswith("5")
    assert "YR 5" in read.notation


def test_a_grey_is_written_without_a_hue():
    assert name_reading(np.array([50.0, 0, 0]), np.full(3, 1e-3)).notation == "N 4.9"


def test_a_notation_below_black_is_refused():
    with pytest.raises(TenterError, match="0 or more"):
        block_numbers([[5, -1, 3]])


# W3C's names as tinycss2 has them, which shares nothing with Pillow, from whose table ours is written.
def test_the_names_of_css_have_their_colours():
    assert len(css_colours()) == 141
    for name, lab in css_colours():
        red, green, blue, _ = parse_color(name.replace(" ", ""))
        assert lab == pytest.approx(srgb_to_lab([red, green, blue]), abs=1e-9)


def test_the_middle_of_a_block_bears_its_name():
    others = [name for name, lab in every_name() if colour_name(lab).name != name]
    assert len(every_name()) == 267
    assert others == ["dark olive"]  # a block that is bent about its neighbour
