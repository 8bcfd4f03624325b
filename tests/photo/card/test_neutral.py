"""A grey card and white paper, drawn into pictures whose truth is known."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.arrays import ByteArray, FloatArray
from tenter.colorimetry.spaces import SRGB_TO_XYZ, encode_srgb, xyz_to_lab
from tenter.errors import TenterError
from tenter.measured.basis import CalibrationBasis
from tenter.photo.card.neutral import find_neutrals, look_for_neutral, read_neutral
from tenter.photo.cards import CardChoice, ChartKind, look_for_card
from tenter.photo.files.loading import Photo
from tenter.photo.patches.correction import D65_WHITE
from tenter.photo.reasons import Code
from tenter.photo.regions.uncertainty import ColourEvidence, colour_half_width_90

WARM = np.array([1.25, 1.0, 0.6])  # linear sRGB of the light
CARD = (420, 150, 120, 170)  # left, top, width, height


def scene(
    light: FloatArray = WARM, card: float | FloatArray = 0.18, box: tuple[int, int, int, int] = CARD
) -> FloatArray:
    """Return linear light (480, 640, 3): a wall that darkens downwards, a coloured block and a neutral card."""
    linear = np.full((480, 640, 3), 0.35) * np.linspace(1.1, 0.8, 480)[:, None, None]
    linear[200:400, 100:300] = (0.3, 0.08, 0.1)
    x, y, width, height = box
    linear[y : y + height, x : x + width] = card
    return linear * light


def photo(linear: FloatArray) -> Photo:
    rng = np.random.default_rng(1)
    coded: ByteArray = np.clip(
        encode_srgb(np.clip(linear, 0, 1)) * 255 + rng.normal(0, 1, linear.shape), 0, 255
    ).astype(np.uint8)
    return Photo(coded)


def codes(found: list) -> set[Code]:
    return {reason.code for reason in found}


@pytest.mark.parametrize("reduction", [1.0, 3.0])
def test_a_grey_card_is_found_where_it_lies(reduction):
    picture = photo(scene())
    search = look_for_card(Photo(picture.rgb, reduction), CardChoice(ChartKind.GREY))
    assert not search.reasons
    left, top, width, height = CARD
    corners = np.array([[left, top], [left + width, top], [left + width, top + height], [left, top + height]])
    assert_allclose(search.finding.corners_px, corners * reduction, atol=7 * reduction)
    assert search.finding.to_json()["method"] == "grey by its outline"


@pytest.mark.parametrize(("kind", "reflectance"), [(ChartKind.GREY, 0.18), (ChartKind.PAPER, 0.85)])
@pytest.mark.parametrize("light", [WARM, 0.6 * WARM[::-1]], ids=["warm", "cold"])
def test_the_light_is_taken_out(kind, reflectance, light):
    linear = scene(light * min(1.0, 0.9 / (reflectance * light.max())), reflectance)
    search = look_for_card(photo(linear), CardChoice(kind))
    assert search.correction is not None
    assert search.correction.basis is CalibrationBasis.GREY
    code = encode_srgb(linear[300, 200])[None]
    # the block's own colour, were it lit by D65: its linear sRGB without the light
    true = xyz_to_lab(np.array([0.3, 0.08, 0.1]) @ SRGB_TO_XYZ.T, D65_WHITE)
    assert_allclose(search.correction.lab(code, skin=True), true, atol=0.6)


def test_a_grey_of_another_reflectance_scales_the_light():
    linear = scene(card=0.6)
    usual, other = (look_for_card(photo(linear), CardChoice(ChartKind.GREY, grey=grey)) for grey in (0.18, 0.6))
    code = encode_srgb(linear[300, 200])[None]
    assert usual.correction is not None
    assert other.correction is not None
    Y = [((c.correction.lab(code, skin=False)[0] + 16) / 116) ** 3 for c in (usual, other)]
    assert Y[1] / Y[0] == pytest.approx(0.6 / 0.18, rel=1e-6)


def test_nothing_flat_with_an_edge_is_refused():
    linear = scene()
    x, y, width, height = CARD
    linear[y : y + height, x : x + width] = linear[:, -1:][y : y + height]  # the wall again
    reading, reasons = look_for_neutral(photo(linear), "grey card")
    assert reading is None
    assert codes(reasons) == {Code.NEUTRAL_NOT_FOUND}


def test_two_that_could_be_it_are_refused_and_a_place_settles_it():
    linear = scene()
    linear[350:450, 420:520] = 0.6 * WARM
    search = look_for_card(photo(linear), CardChoice(ChartKind.PAPER))
    assert codes(search.reasons) == {Code.NEUTRAL_SEVERAL}
    assert "470, 400" in search.reasons[0].text  # the middle of the one below
    assert search.correction is None
    settled = look_for_card(photo(linear), CardChoice(ChartKind.PAPER, at_px=(425, 355, 80, 80)))
    assert not settled.reasons
    assert settled.correction is not None


def test_what_touches_the_border_is_background():
    assert find_neutrals(photo(scene(box=(520, 150, 120, 170)))) == []


def test_a_coloured_rectangle_is_no_neutral():
    assert find_neutrals(photo(scene(card=np.array([0.02, 0.3, 0.03])))) == []


@pytest.mark.parametrize("part", [0.3, 0.5, 0.7])
def test_a_shadow_across_the_neutral_is_found_out(part):
    linear = scene()
    linear[150:235, 420:540] *= part
    _, reasons = look_for_neutral(photo(linear), "grey card", corners(CARD))
    assert codes(reasons) == {Code.NEUTRAL_UNEVEN}


def test_a_lamp_too_near_is_found_out():
    linear = scene()
    linear[150:320, 420:540] *= np.linspace(1.5, 0.5, 170)[:, None, None]
    _, reasons = look_for_neutral(photo(linear), "grey card", corners(CARD))
    assert codes(reasons) == {Code.NEUTRAL_UNEVEN}


def test_an_overexposed_sheet_is_refused():
    _, reasons = look_for_neutral(photo(scene(2 * WARM, 0.85)), "sheet of white paper")
    assert codes(reasons) == {Code.NEUTRAL_CLIPPED}


def test_a_dark_picture_is_refused():
    _, reasons = look_for_neutral(photo(0.05 * scene()), "grey card", corners(CARD))
    assert codes(reasons) == {Code.TOO_DARK}


def test_a_place_that_is_coloured_or_outside_is_refused():
    _, coloured = look_for_neutral(photo(scene(card=np.array([0.02, 0.3, 0.03]))), "grey card", corners(CARD))
    assert codes(coloured) == {Code.NEUTRAL_NOT_FOUND}
    nothing, reasons = look_for_neutral(photo(scene()), "grey card", corners((900, 100, 50, 50)))
    assert nothing is None
    assert codes(reasons) == {Code.NEUTRAL_NOT_FOUND}


def test_a_surface_is_read_as_it_is_lit():
    linear = scene()
    linear[150:320, 420:540] *= np.linspace(1.2, 0.8, 170)[:, None, None]
    reading = read_neutral(photo(linear), corners(CARD))
    assert reading is not None
    assert_allclose(reading.linear, 0.18 * WARM, rtol=0.02)
    assert 1.2 < reading.slope < 1.55
    assert reading.roughness < 0.03
    assert reading.clipped == 0


def test_a_neutral_says_less_than_a_card_and_least_of_strong_colours():
    lab, strong = np.array([65.0, 12, 16]), np.array([65.0, 40, 30])
    of_card = colour_half_width_90(lab, ColourEvidence(1.5, np.ones(3), 0.02, True))
    of_grey = colour_half_width_90(lab, ColourEvidence(3.3, np.zeros(3), 0.02, True, CalibrationBasis.GREY))
    of_strong = colour_half_width_90(strong, ColourEvidence(3.3, np.zeros(3), 0.02, True, CalibrationBasis.GREY))
    assert (of_grey > of_card).all()
    assert (of_strong[1:] > of_grey[1:]).all()


@pytest.mark.parametrize(
    "wrong", [{"grey": 18.0}, {"grey": 0.0}, {"at_px": (1, 2, 0, 4)}, {"kind": ChartKind.NONE, "at_px": (1, 2, 3, 4)}]
)
def test_a_choice_that_cannot_be_is_refused(wrong):
    with pytest.raises(TenterError):
        CardChoice(**{"kind": ChartKind.GREY} | wrong)


def corners(box: tuple[int, int, int, int]) -> FloatArray:
    x, y, width, height = box
    return np.array([[x, y], [x + width, y], [x + width, y + height], [x, y + height]], dtype=float) - 0.5
