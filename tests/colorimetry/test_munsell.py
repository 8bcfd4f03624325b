"""Munsell notations of colours, against the published renotations and an outside program."""

import colour
import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.colorimetry.adaptation import Transform, adapt
from tenter.colorimetry.illuminants import Observer, white_point
from tenter.colorimetry.munsell import hue_notation, hue_number, luminance, munsell
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.errors import TenterError

D65, C = (white_point(name, Observer.CIE_1931_2) for name in ("D65", "C"))


def hue_arc(hue, other):
    """Return the way up the circle from the other hue to the first, -50 to below 50."""
    return (np.asarray(hue, dtype=float) - np.asarray(other, dtype=float) + 50) % 100 - 50


def lab_of(x, y, value):
    xyz = np.array([x / y, 1, (1 - x - y) / y]) * luminance(value)
    return xyz_to_lab(adapt(xyz, C, D65, Transform.BRADFORD), D65)


# S. M. Newhall, D. Nickerson, D. B. Judd (1943), J. Opt. Soc. Am. 33(7), 385-418, by way of colour-science 0.4.7: rows
# of the table itself, on either side of the circle's beginning, light, dark, weak and strong.
@pytest.mark.parametrize(
    ("notation", "x", "y"),
    [
        (("5YR", 5, 4), 0.3968, 0.3614),
        (("2.5R", 7, 6), 0.3728, 0.317),
        (("10RP", 4, 8), 0.4282, 0.289),
        (("10YR", 3, 2), 0.3747, 0.363),
        (("7.5B", 6, 6), 0.2352, 0.2708),
        (("5PB", 2, 10), 0.15, 0.124),
        (("2.5GY", 8, 4), 0.3504, 0.3887),
    ],
    ids=str,
)
def test_a_published_renotation_reads_as_itself(notation, x, y):
    hue, value, chroma = notation
    found = munsell(lab_of(x, y, value))
    assert_allclose(hue_arc(found[0], hue_number(hue)), 0, atol=0.01)
    assert_allclose(found[1:], [value, chroma], atol=0.01)


# 10RP of the table is 0 on the circle; a millionth of a millionth past or before it is the same hue.
def test_the_circle_begins_at_one_place():
    lab = lab_of(0.4282, 0.289, 4)
    turn = 1e-12 * np.arange(-20, 21)[:, None] * [0, -lab[2], lab[1]]
    assert (munsell(lab + turn)[:, 0] < 0.01).all()


# The other way by colour-science 0.4.7, between the rows of the table. Ours is straight between them, so that the two
# part by a little: hue by its arc, in the same step as chroma.
def test_notations_between_the_published_ones_agree_with_an_outside_program():
    rng = np.random.default_rng(5)
    misses = []
    for _ in range(80):
        hue, value, chroma = rng.uniform(0, 100), rng.uniform(2.1, 8.8), rng.uniform(1, 6)
        x, y, _ = colour.munsell_colour_to_xyY(f"{hue_notation(hue)} {value:.1f}/{chroma:.1f}")
        found = munsell(lab_of(x, y, round(value, 1)))
        arc = hue_arc(found[0], hue_number(hue_notation(hue))) * round(chroma, 1) * 2 * np.pi / 100
        misses.append((arc, found[1] - round(value, 1), found[2] - round(chroma, 1)))
    assert_allclose(np.percentile(np.abs(misses), 95, axis=0), 0, atol=0.3)
    assert_allclose(misses, 0, atol=0.6)


# ASTM D1535, from memory: value 5 reflects 19.27 % of what a perfect white does (19.77 % of magnesium oxide / 1.0257).
def test_a_value_has_the_standards_luminance():
    assert_allclose(luminance([0, 5, 10]), [0, 0.1927, 1], atol=0.5e-4)


def test_a_grey_has_no_chroma_and_is_adapted():
    for value in (0.5, 2, 5.5, 9.5):
        notation = munsell(xyz_to_lab(luminance(value) * D65, D65))
        assert_allclose(notation[1:], [value, 0], atol=1e-3)


def test_every_colour_has_a_notation():
    lab = np.random.default_rng(6).uniform([0, -128, -128], [100, 128, 128], (4000, 3))
    found = munsell(lab.reshape(40, 100, 3))
    assert found.shape == (40, 100, 3)
    assert np.isfinite(found).all()
    assert ((found[..., 0] >= 0) & (found[..., 0] < 100) & (found[..., 2] >= 0)).all()


@pytest.mark.parametrize(("notation", "number"), [("5R", 5), ("2.5YR", 12.5), ("10B", 70), ("10RP", 0), ("0.1R", 0.1)])
def test_hues_are_written_and_read(notation, number):
    assert hue_number(notation) == pytest.approx(number)
    assert hue_notation(number) == notation


@pytest.mark.parametrize("wrong", ["", "5", "R", "11R", "5X", "-1R"])
def test_a_hue_that_is_none_says_how_to_write_one(wrong):
    with pytest.raises(TenterError, match=r"2\.5YR"):
        hue_number(wrong)


def test_a_colour_that_is_not_a_number_has_no_notation():
    with pytest.raises(TenterError, match="not a number"):
        munsell([50, np.nan, 3])
