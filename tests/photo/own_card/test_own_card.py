"""Our own card from its PDF to pixels and back: found any way up, refused when it is damaged."""

from pathlib import Path

import cv2
import numpy as np
import pytest

from tenter.photo.files.loading import Photo, load_photo
from tenter.photo.own_card import layout
from tenter.photo.own_card.gate import own_card_reasons
from tenter.photo.own_card.sighting import find_own_card
from tenter.photo.reasons import Code
from tests.support.pictures.own_card_pictures import SERIAL, assert_read_as_asked, card_pixels, laid_into, with_mark

REAL = Path(__file__).parents[2] / "data" / "real_chart_photos"
TILTED = [(60, 100), (560, 140), (590, 480), (50, 520)]


def sighted(rgb):
    return find_own_card(Photo(np.ascontiguousarray(rgb)))


@pytest.fixture(scope="module")
def card(tmp_path_factory):
    return card_pixels(tmp_path_factory.mktemp("card"))


@pytest.fixture
def in_portrait(portrait, card):
    """The card in a portrait in the place of the classic one, lying along it; larger by half than the classic one."""
    left, top, right, bottom = portrait.card_box
    blank = portrait.rgb.copy()
    blank[top - 4 : bottom + 4, left - 8 : right + 8] = 140
    middle, half = np.array([(left + right) / 2, (top + bottom) / 2]), (bottom - top) / 2
    across = half * layout.HEIGHT_MM / layout.WIDTH_MM
    corners = middle + np.array([[across, -half], [across, half], [-across, half], [-across, -half]])
    return laid_into(blank, card, corners)


def corner_covered(card, number):
    (left, top), (right, bottom) = np.round(
        layout.CARD_MARKERS_MM[number][[0, 2]] / layout.WIDTH_MM * card.shape[1]
    ).astype(int)
    covered = card.copy()
    covered[top - 12 : bottom + 12, left - 12 : right + 12] = (190, 140, 120)
    return covered


@pytest.mark.parametrize("quarter_turns", range(4))
def test_the_card_in_a_portrait_reads_as_its_sheet_asks(in_portrait, quarter_turns):
    seen = sighted(np.rot90(in_portrait, quarter_turns))
    assert (seen.markers, seen.serial) == (4, SERIAL)
    assert_read_as_asked(seen.reading)
    assert not seen.reading.mirrored
    assert not seen.reading.outside.any()
    assert own_card_reasons(seen, SERIAL) == []


def test_a_card_seen_in_perspective_reads_the_same(portrait, card):
    seen = sighted(laid_into(portrait.rgb, card, TILTED))
    assert seen.serial == SERIAL
    assert_read_as_asked(seen.reading)


def test_a_mirrored_card_is_known_for_one(in_portrait):
    seen = sighted(in_portrait[:, ::-1])
    assert seen.reading.mirrored
    assert_read_as_asked(seen.reading)


def test_the_card_is_read_down_to_marks_of_25_pixels(portrait, card):
    width = 25 / layout.CARD_MARKER_MM * layout.WIDTH_MM
    height = width * layout.HEIGHT_MM / layout.WIDTH_MM
    corners = np.array([[0, 0], [width, 6], [width, 6 + height], [0, height]]) + np.array([200.3, 500.6])
    seen = sighted(laid_into(portrait.rgb, card, corners))
    assert seen.markers == 4
    assert_read_as_asked(seen.reading)


@pytest.mark.parametrize("number", range(4))
def test_one_hidden_mark_does_no_harm(portrait, card, number):
    seen = sighted(laid_into(portrait.rgb, corner_covered(card, number), TILTED))
    assert seen.markers == 3
    assert not seen.cut
    assert_read_as_asked(seen.reading)


def test_two_hidden_marks_are_refused_with_their_number(portrait, card):
    seen = sighted(laid_into(portrait.rgb, corner_covered(corner_covered(card, 0), 2), TILTED))
    assert seen.reading is None
    [reason] = own_card_reasons(seen)
    assert reason.code is Code.CHART_CUT
    assert "Only 2 of the card's 4 corner marks" in reason.text


def test_a_card_with_a_corner_out_of_the_picture_is_cut(portrait, card):
    seen = sighted(laid_into(portrait.rgb, card, [(60, 100), (540, 140), (690, 480), (50, 520)]))
    assert seen.markers == 3
    assert seen.cut
    [reason] = own_card_reasons(seen)
    assert reason.code is Code.CHART_CUT
    assert "one of its corner marks is cut off" in reason.text


def test_no_card_no_sighting(portrait):
    seen = sighted(portrait.rgb)
    assert (seen.markers, seen.reading, seen.serial) == (0, None, None)
    [reason] = own_card_reasons(seen)
    assert reason.code is Code.CHART_NOT_FOUND


def test_a_folded_card_is_refused(portrait, card):
    half = card.shape[1] // 2
    middle_top, middle_bottom = (310, 60), (310, 560)
    folded = laid_into(portrait.rgb, card[:, :half], [TILTED[0], middle_top, middle_bottom, TILTED[3]])
    folded = laid_into(folded, card[:, half:], [middle_top, TILTED[1], TILTED[2], middle_bottom])
    folded = laid_into(folded, card[:, half:], [middle_top, (560, 60), (590, 400), middle_bottom])
    seen = sighted(folded)
    assert not seen.flat
    assert own_card_reasons(seen)[0].code is Code.CARD_BENT


@pytest.fixture
def two_cards(portrait, card, tmp_path_factory):
    """Two cards, the second of the next serial, one above the other."""
    other = card_pixels(tmp_path_factory.mktemp("other"), SERIAL + 1)
    small = np.array([(60, 40), (560, 40), (560, 380), (60, 380)])
    return laid_into(laid_into(portrait.rgb, card, small), other, small + np.array([20, 390]))


def test_a_card_with_one_corner_bent_is_refused(portrait, card):
    (left, top), (right, bottom) = np.round(layout.CARD_MARKERS_MM[2][[0, 2]] / layout.WIDTH_MM * card.shape[1]).astype(
        int
    )
    bent, away = card.copy(), round(8 / layout.WIDTH_MM * card.shape[1])
    bent[top:bottom, left:right] = 255
    bent[top - away : bottom - away, left - away : right - away] = card[top:bottom, left:right]
    seen = sighted(laid_into(portrait.rgb, bent, TILTED))
    assert (seen.reading, seen.flat) == (None, False)


def test_two_cards_are_not_taken_for_one_and_their_numbers_are_said(two_cards):
    seen = sighted(two_cards)
    assert seen.reading is None
    assert (seen.several, seen.serials) == (2, (SERIAL, SERIAL + 1))
    [reason] = own_card_reasons(seen)
    assert reason.code is Code.CARD_SEVERAL
    assert reason.refuses
    assert f"2 of our cards are in the picture: No. {SERIAL}, No. {SERIAL + 1}." in reason.text


def test_of_two_cards_the_named_one_is_read(two_cards):
    for serial, above in ((SERIAL, True), (SERIAL + 1, False)):
        seen = find_own_card(Photo(two_cards), serial)
        assert seen.serial == serial
        assert bool(seen.reading.corners_px[:, 1].max() < 400) is above
        assert_read_as_asked(seen.reading)
    assert own_card_reasons(find_own_card(Photo(two_cards), SERIAL + 2))[0].code is Code.CARD_SEVERAL


def with_strange_marks(picture, numbers):
    """A picture with marks of the same numbers as ours, in a row under the card, as no card of ours has them."""
    for number in numbers:
        picture = with_mark(picture, number, 70 + 130 * number, 600, 90)
    return picture


def test_marks_of_another_sheet_do_not_hide_the_card(portrait, card):
    for numbers in ((2,), (0, 1, 2, 3)):
        seen = sighted(with_strange_marks(laid_into(portrait.rgb, card, TILTED), numbers))
        assert (seen.markers, seen.serial) == (4, SERIAL), numbers
        assert_read_as_asked(seen.reading)


def test_a_mark_of_another_sheet_does_not_stand_for_a_hidden_one(portrait, card):
    seen = sighted(with_strange_marks(laid_into(portrait.rgb, corner_covered(card, 1), TILTED), (1, 3)))
    assert (seen.markers, seen.serial) == (3, SERIAL)
    assert_read_as_asked(seen.reading)


def test_a_mirrored_card_is_found_beside_marks_that_are_not(portrait, card):
    seen = sighted(with_strange_marks(laid_into(portrait.rgb, card[:, ::-1], TILTED), (0, 1, 2)))
    assert seen.reading.mirrored
    assert seen.serial == SERIAL


def test_marks_without_our_card_are_no_card():
    """A real sheet with the marks 0 to 3 of the family around a chart (tests/data/real_chart_photos)."""
    seen = find_own_card(load_photo(REAL / "carpet-1.jpg"))
    assert (seen.markers, seen.reading, seen.flat) == (4, None, True)
    [reason] = own_card_reasons(seen)
    assert reason.code is Code.CHART_NOT_FOUND
    assert "on something else" in reason.text


def test_a_smudged_serial_is_not_guessed(portrait, card):
    smudged = card.copy()
    left, top = np.round(layout.strip_mm()[10, 0] / layout.WIDTH_MM * card.shape[1]).astype(int)
    smudged[top - 3 : top + 40, left : left + 60] = cv2.bitwise_not(smudged[top - 3 : top + 40, left : left + 60])
    seen = sighted(laid_into(portrait.rgb, smudged, TILTED))
    assert seen.reading is not None
    assert seen.serial is None


def test_another_card_than_the_one_named_is_refused(in_portrait):
    [reason] = own_card_reasons(sighted(in_portrait), SERIAL + 1)
    assert reason.code is Code.CARD_OTHER
    assert f"No. {SERIAL}, and No. {SERIAL + 1} was named" in reason.text
