import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from tenter.colorimetry.adaptation import Transform, adapt, adaptation_matrix
from tenter.colorimetry.illuminants import Observer, illuminant_names, white_point

D65 = white_point("D65", Observer.CIE_1964_10)
A = white_point("A", Observer.CIE_1964_10)
THEIR_NAME = {Transform.BRADFORD: "Bradford", Transform.CAT02: "CAT02", Transform.CAT16: "CAT16"}
every_transform = pytest.mark.parametrize("transform", Transform, ids=lambda transform: transform.name)

XYZS = st.tuples(*[st.floats(0, 1)] * 3)
LIGHTS = st.sampled_from(illuminant_names()).map(lambda name: white_point(name, Observer.CIE_1964_10))


# B. Lindbloom, "Chromatic adaptation", Bradford from D65 (0.95047, 1, 1.08883) to D50 (0.96422, 1, 0.82521), to seven
# digits; written from memory, which meeting all nine of them confirms.
def test_bradford_matrix_matches_lindbloom():
    printed = [
        [1.0478112, 0.0228866, -0.0501270],
        [0.0295424, 0.9904844, -0.0170491],
        [-0.0092345, 0.0150436, 0.7521316],
    ]
    found = adaptation_matrix((0.95047, 1, 1.08883), (0.96422, 1, 0.82521), Transform.BRADFORD)
    assert_allclose(found, printed, rtol=0, atol=0.5e-7)


@every_transform
def test_agrees_with_colour_science(transform, rng, colour_science):
    xyz = rng.uniform(0, 1, (200, 3))
    theirs = colour_science.adaptation.chromatic_adaptation_VonKries(xyz, D65, A, transform=THEIR_NAME[transform])
    assert_allclose(adapt(xyz, D65, A, transform), theirs, rtol=0, atol=1e-12)


# Two-step adaptation with the second white as its baseline has one step only, of the degree of the first.
@pytest.mark.parametrize("degree", [0.1, 0.5, 0.9, 1.0])
def test_partial_cat16_agrees_with_colour_science(degree, rng, colour_science):
    xyz = rng.uniform(0, 1, (200, 3))
    theirs = colour_science.adaptation.chromatic_adaptation_Zhai2018(
        100 * xyz, 100 * D65, 100 * A, degree, degree, 100 * A, transform="CAT16"
    )
    assert_allclose(100 * adapt(xyz, D65, A, Transform.CAT16, degree), theirs, rtol=0, atol=1e-10)


@every_transform
def test_agrees_with_coloraide(transform, rng, coloraide):
    xyz = rng.uniform(0, 1, (50, 3))
    from_xy, to_xy = (tuple(white[:2] / white.sum()) for white in (D65, A))
    name = THEIR_NAME[transform].lower()
    theirs = [coloraide.chromatic_adaptation(from_xy, to_xy, list(row), method=name) for row in xyz]
    assert_allclose(adapt(xyz, D65, A, transform), theirs, rtol=0, atol=1e-12)


@every_transform
@given(white_from=LIGHTS, white_to=LIGHTS)
def test_white_becomes_white(transform, white_from, white_to):
    assert_allclose(adapt(white_from, white_from, white_to, transform), white_to, rtol=0, atol=1e-12)


@every_transform
@given(xyz=XYZS, white=LIGHTS, degree=st.floats(0, 1))
def test_the_same_white_changes_nothing(transform, xyz, white, degree):
    assert_allclose(adapt(xyz, white, white, transform, degree), xyz, rtol=0, atol=1e-12)


@every_transform
@given(xyz=XYZS, white_from=LIGHTS, white_to=LIGHTS)
def test_there_and_back_changes_nothing(transform, xyz, white_from, white_to):
    there = adapt(xyz, white_from, white_to, transform)
    assert_allclose(adapt(there, white_to, white_from, transform), xyz, rtol=0, atol=1e-10)


@every_transform
@given(xyz=XYZS, white_from=LIGHTS, white_to=LIGHTS, degree=st.floats(0, 1))
def test_degree_mixes_none_with_full(transform, xyz, white_from, white_to, degree):
    full = adapt(xyz, white_from, white_to, transform)
    partial = adapt(xyz, white_from, white_to, transform, degree)
    assert_allclose(partial, degree * full + (1 - degree) * np.array(xyz), rtol=0, atol=1e-12)


@every_transform
@given(white_from=LIGHTS, white_to=LIGHTS, factor=st.floats(0.1, 100))
def test_the_units_of_the_whites_do_not_matter(transform, white_from, white_to, factor):
    scaled = adaptation_matrix(factor * white_from, factor * white_to, transform)
    assert_allclose(scaled, adaptation_matrix(white_from, white_to, transform), rtol=0, atol=1e-10)


@every_transform
@pytest.mark.parametrize("shape", [(3,), (7, 3), (2, 5, 3), (0, 3)])
def test_shapes(transform, shape, rng):
    xyz = rng.uniform(0, 1, shape)
    found = adapt(xyz, D65, A, transform)
    assert found.shape == shape
    for row, expected in zip(found.reshape(-1, 3), xyz.reshape(-1, 3), strict=True):
        assert_allclose(row, adapt(expected, D65, A, transform), rtol=0, atol=1e-14)


def test_cat16_is_what_adapt_does_unless_told():
    assert_allclose(adapt((0.2, 0.3, 0.4), D65, A), adapt((0.2, 0.3, 0.4), D65, A, Transform.CAT16), rtol=0, atol=0)
