import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from tenter.colorimetry.illuminants import Observer, white_point
from tenter.colorimetry.spaces import (
    SRGB_TO_XYZ,
    SRGB_WHITE,
    XYZ_TO_SRGB,
    chroma,
    decode_srgb,
    encode_srgb,
    hue_angle,
    in_srgb_gamut,
    lab_to_lch,
    lab_to_srgb,
    lab_to_xyz,
    lch_to_lab,
    srgb_hex,
    srgb_to_lab,
    srgb_to_xyz,
    xyz_to_lab,
    xyz_to_srgb,
)

LABS = st.tuples(st.floats(0, 100), st.floats(-128, 128), st.floats(-128, 128))
CODES = st.tuples(*[st.floats(0, 1)] * 3)
D65_10 = white_point("D65", Observer.CIE_1964_10)


# Published values


# IEC 61966-2-1:1999, the matrix from linear sRGB to XYZ; from memory. The standard prints its inverse too, but as the
# inverse of these rounded figures (3.2406 where the primaries give 3.2410), so the inverse is not compared.
def test_srgb_matrix_matches_iec_61966():
    printed = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    assert_allclose(SRGB_TO_XYZ, printed, rtol=0, atol=0.5e-4)


# IEC 61966-2-1:1999, the two pieces of the transfer function meet at 0.0031308 and 0.04045; from memory.
def test_srgb_transfer_pieces_meet():
    for function, at in [(encode_srgb, 0.0031308), (decode_srgb, 0.04045)]:
        below, above = function([at * (1 - 1e-9), at * (1 + 1e-9)])
        assert above == pytest.approx(below, abs=1e-6)


# CIE 15: L* = 100 Y^(1/3) 1.16 - 16 puts middle grey, Y = 0.18418651851, at L* 50 exactly: ((50 + 16) / 116)^3.
def test_lightness_fifty():
    assert_allclose(xyz_to_lab(D65_10 * (66 / 116) ** 3, D65_10), [50, 0, 0], rtol=0, atol=1e-12)


# Independent programs


def test_lab_agrees_with_colour_science(rng, colour_science):
    xyz = rng.uniform(0, 1, (500, 3))
    white_xy = colour_science.XYZ_to_xy(D65_10)
    lab = colour_science.XYZ_to_Lab(xyz, white_xy)
    assert_allclose(xyz_to_lab(xyz, D65_10), lab, rtol=0, atol=1e-10)
    assert_allclose(lab_to_xyz(lab, D65_10), xyz, rtol=0, atol=1e-12)


def test_lab_agrees_with_coloraide(rng, coloraide):
    xyz = rng.uniform(0, 1, (100, 3))
    lab = [coloraide("xyz-d65", list(row)).convert("lab-d65")[:3] for row in xyz]
    assert_allclose(xyz_to_lab(xyz, SRGB_WHITE), lab, rtol=0, atol=1e-10)


def test_lch_agrees_with_colour_science_and_coloraide(rng, colour_science, coloraide):
    lab = rng.uniform([0, -100, -100], [100, 100, 100], (100, 3))
    assert_allclose(lab_to_lch(lab), colour_science.Lab_to_LCHab(lab), rtol=0, atol=1e-10)
    assert_allclose(lch_to_lab(lab_to_lch(lab)), colour_science.LCHab_to_Lab(lab_to_lch(lab)), rtol=0, atol=1e-10)
    theirs = [coloraide("lab-d65", list(row)).convert("lch-d65")[:3] for row in lab]
    assert_allclose(lab_to_lch(lab), theirs, rtol=0, atol=1e-10)


def test_srgb_agrees_with_colour_science(rng, colour_science):
    space = colour_science.RGB_COLOURSPACES["sRGB"].copy()
    space.use_derived_transformation_matrices(True)  # as printed they are rounded to four digits
    white_xy = colour_science.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    lab = srgb_to_lab(rng.uniform(0, 1, (500, 3)))
    xyz = colour_science.Lab_to_XYZ(lab, white_xy)
    theirs = colour_science.XYZ_to_RGB(
        xyz, space, illuminant=white_xy, chromatic_adaptation_transform=None, apply_cctf_encoding=True
    )
    assert_allclose(lab_to_srgb(lab), theirs, rtol=0, atol=1e-10)


def test_srgb_agrees_with_coloraide_beyond_the_gamut(rng, coloraide):
    lab = rng.uniform([0, -100, -100], [100, 100, 100], (100, 3))
    theirs = [coloraide("lab-d65", list(row)).convert("srgb")[:3] for row in lab]
    assert_allclose(lab_to_srgb(lab), theirs, rtol=0, atol=1e-10)


# Laws: there and back


@given(lab=LABS)
def test_lab_returns_from_xyz(lab):
    assert_allclose(xyz_to_lab(lab_to_xyz(lab, D65_10), D65_10), lab, rtol=0, atol=1e-9)


@given(xyz=CODES)
def test_xyz_returns_from_lab(xyz):
    assert_allclose(lab_to_xyz(xyz_to_lab(xyz, D65_10), D65_10), xyz, rtol=0, atol=1e-12)


@given(lab=LABS)
def test_lab_returns_from_lch(lab):
    assert_allclose(lch_to_lab(lab_to_lch(lab)), lab, rtol=0, atol=1e-10)


@given(lab=LABS)
def test_lab_returns_from_srgb(lab):
    # 1e-4: a dark component sits where the two pieces of the transfer function meet but for 1e-7 of their code.
    assert_allclose(srgb_to_lab(lab_to_srgb(lab)), lab, rtol=0, atol=1e-4)


@given(codes=CODES)
def test_srgb_returns_from_xyz_and_lab(codes):
    assert_allclose(xyz_to_srgb(srgb_to_xyz(codes)), codes, rtol=0, atol=1e-6)
    assert_allclose(lab_to_srgb(srgb_to_lab(codes)), codes, rtol=0, atol=1e-6)


def test_every_8_bit_level_returns():
    levels = np.arange(256)
    assert srgb_hex(srgb_to_lab(np.stack([levels] * 3, axis=-1) / 255)) == [f"#{v:02x}{v:02x}{v:02x}" for v in levels]


@given(linear=st.floats(-2, 2))
def test_transfer_function_is_odd(linear):
    assert encode_srgb(-linear) == -encode_srgb(linear)
    assert decode_srgb(-linear) == -decode_srgb(linear)


@given(values=st.tuples(st.floats(0, 1), st.floats(0, 1)))
def test_transfer_function_rises(values):
    low, high = sorted(values)
    assume(high - low > 1e-6)
    assert encode_srgb(low) < encode_srgb(high)
    assert decode_srgb(low) < decode_srgb(high)


# Laws: hue


@given(lab=LABS)
def test_hue_is_never_a_full_turn(lab):
    assert 0 <= hue_angle(lab) < 360


@pytest.mark.parametrize("tiny", [5e-324, 1e-300, 1e-20, 1e-17, 1e-16])
def test_an_angle_just_below_zero_is_not_a_full_turn(tiny):
    assert hue_angle((50, 1, -tiny)) == 0
    assert lab_to_lch((50, 1, -tiny))[2] == 0


@pytest.mark.parametrize(("a", "b", "h"), [(1, 0, 0), (0, 1, 90), (-1, 0, 180), (-1, -0.0, 180), (0, -1, 270)])
def test_hue_on_the_axes(a, b, h):
    assert hue_angle((50, a, b)) == h


@pytest.mark.parametrize("a", [0.0, -0.0])
@pytest.mark.parametrize("b", [0.0, -0.0])
def test_a_grey_has_hue_zero(a, b):
    assert hue_angle((50, a, b)) == 0
    assert_allclose(lab_to_lch((50, a, b)), [50, 0, 0], rtol=0, atol=0)


@given(lightness=st.floats(0, 100), chroma=st.floats(0, 100), turns=st.integers(-3, 3))
def test_full_turns_are_no_turn(lightness, chroma, turns):
    assert np.array_equal(lch_to_lab((lightness, chroma, 360 * turns)), lch_to_lab((lightness, chroma, 0)))


@given(lab=LABS)
def test_chroma_and_hue_are_polar(lab):
    lch = lab_to_lch(lab)
    assert lch[1] == chroma(lab)
    assert lch[1] ** 2 == pytest.approx(lab[1] ** 2 + lab[2] ** 2, rel=1e-12)


# Laws: white, black, gamut


@pytest.mark.parametrize("white", [D65_10, SRGB_WHITE, white_point("A", Observer.CIE_1931_2)])
def test_white_and_black(white):
    assert_allclose(xyz_to_lab(white, white), [100, 0, 0], rtol=0, atol=1e-12)
    assert_allclose(xyz_to_lab(np.zeros(3), white), [0, 0, 0], rtol=0, atol=1e-12)
    assert_allclose(lab_to_xyz((100, 0, 0), white), white, rtol=0, atol=1e-12)


@given(lab=LABS, factor=st.floats(0.1, 100))
def test_lab_does_not_depend_on_the_units_of_xyz(lab, factor):
    xyz = lab_to_xyz(lab, D65_10)
    assert_allclose(xyz_to_lab(factor * xyz, factor * D65_10), lab, rtol=0, atol=1e-9)


@given(lightness=st.floats(0, 100))
def test_greys_are_equal_parts_of_red_green_and_blue(lightness):
    assert in_srgb_gamut((lightness, 0, 0))
    assert np.ptp(lab_to_srgb((lightness, 0, 0))) < 1e-9


@given(codes=CODES)
def test_what_srgb_codes_lies_in_its_gamut(codes):
    assert in_srgb_gamut(srgb_to_lab(codes))


@pytest.mark.parametrize(
    "lab", [(50, -100, 60), (50, 0, -100), (101, 0, 0), (-1, 0, 0), (np.nan, 0, 0)], ids=lambda lab: f"{lab}"
)
def test_colours_outside_the_gamut(lab):
    assert not in_srgb_gamut(lab)


def test_gamut_is_answered_for_each_colour():
    answers = in_srgb_gamut([[100, 0, 0], [0, 0, 0], [50, 0, 0], [50, -100, 60]])
    assert answers.tolist() == [True, True, True, False]


def test_hex_clips_to_the_gamut():
    assert srgb_hex([[100, 0, 0], [0, 0, 0], [120, 0, 0], [-5, 0, 0]]) == ["#ffffff", "#000000", "#ffffff", "#000000"]
    assert srgb_hex((100, 0, 0)) == ["#ffffff"]
    assert srgb_hex(srgb_to_lab(np.array([0xB5, 0x65, 0x1D]) / 255)) == ["#b5651d"]


# Laws: shapes

TRIPLE_TO_TRIPLE = [
    lambda x: xyz_to_lab(x, D65_10),
    lambda x: lab_to_xyz(x, D65_10),
    lab_to_lch,
    lch_to_lab,
    encode_srgb,
    decode_srgb,
    xyz_to_srgb,
    srgb_to_xyz,
    lab_to_srgb,
    srgb_to_lab,
]


@pytest.mark.parametrize("function", TRIPLE_TO_TRIPLE, ids=lambda f: f.__name__)
@pytest.mark.parametrize("shape", [(3,), (7, 3), (2, 5, 3), (0, 3)])
def test_triples_become_triples_one_by_one(function, shape, rng):
    values = rng.uniform(0, 1, shape)
    found = function(values)
    assert found.shape == shape
    one_by_one = [function(row) for row in values.reshape(-1, 3)]
    assert_allclose(found.reshape(-1, 3), np.reshape(one_by_one, (-1, 3)), rtol=0, atol=1e-12)


@pytest.mark.parametrize("function", [chroma, hue_angle, in_srgb_gamut])
@pytest.mark.parametrize("shape", [(3,), (7, 3), (2, 5, 3), (0, 3)])
def test_triples_become_numbers(function, shape, rng):
    assert np.shape(function(rng.uniform(0, 50, shape))) == shape[:-1]


@pytest.mark.parametrize("table", [SRGB_TO_XYZ, XYZ_TO_SRGB, SRGB_WHITE], ids=["to xyz", "to srgb", "white"])
def test_tables_cannot_be_written_to(table):
    with pytest.raises(ValueError, match="read-only"):
        table[...] = 0
