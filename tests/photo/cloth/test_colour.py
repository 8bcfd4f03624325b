"""The colour of a cloth: folds and shine left out, the interval, refusals, where it is, and a print's palette."""

import json
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from numpy.testing import assert_allclose
from PIL import Image

from studies.scenes.cloth_scene import CARD_PX, Drapery, Room, cloth_reflectances, cloth_scene, true_lab
from studies.scenes.exposure import Shot, expose
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_2, D65_10, Colours
from tenter.errors import TenterError
from tenter.measured.basis import CalibrationBasis
from tenter.photo.card.finding import ChartFinding
from tenter.photo.cards import CardSearch, ChartKind, look_for_card
from tenter.photo.cloth import measure
from tenter.photo.cloth.colour import ClothCode, ClothColour, ClothReason, cloth_half_width_90, cloth_pixels, read_cloth
from tenter.photo.cloth.measure import measure_cloth
from tenter.photo.cloth.print_palette import colour_groups, print_palette
from tenter.photo.cloth.region import outline_mask
from tenter.photo.files.loading import Photo, photo_from_bytes
from tenter.photo.patches.correction import TRUE_SRGB, ColourMap, Correction, Terms
from tenter.photo.places import box_corners
from tenter.photo.reasons import Code, Reason

BLUE, GREEN, SAND, RED = (cloth_reflectances()[k] for k in (3, 50, 60, 51))
BOXES = {"folded": (340, 40, 160, 290), "satin": (520, 40, 160, 290), "print": (700, 40, 170, 290)}
AREAS = (0.6, 0.25, 0.15)
BIG = (340, 360, 530, 320)  # the largest region of one colour beside the card


@pytest.fixture(scope="module")
def photo():
    """A folded cloth, a shining one, a print, and a large flat red one, in daylight from the left."""
    cloths = [
        Drapery(BOXES["folded"], BLUE, folds=5, slope=30),
        Drapery(BOXES["satin"], GREEN, folds=4, slope=20, gloss=0.08),
        Drapery(BOXES["print"], np.array([BLUE, GREEN, SAND]), areas=AREAS),
        Drapery(BIG, RED),
    ]
    taken = expose(cloth_scene(cloths, Room(wall=0.3), seed=3), "D65", "nikon", Shot(seed=1))
    return photo_from_bytes(taken.jpeg(), "cloths")


def box_outline(*box):
    return np.array(box_corners(box))


@pytest.fixture(scope="module")
def measured(photo):
    return {name: measure_cloth(photo, outline=box_outline(*box)) for name, box in BOXES.items()}


def evenly(lab_of_rows, noise=0.0, clipped=()):
    """A picture of 100 × 100 pixels whose rows have these sRGB colours, and its mask."""
    rgb = np.repeat(np.asarray(lab_of_rows, dtype=float)[:, None], 100, axis=1)
    rgb = rgb + np.random.default_rng(0).normal(0, noise, rgb.shape)
    return Photo(np.clip(rgb, 0, 255).round().astype(np.uint8)), np.ones(rgb.shape[:2], dtype=bool)


def read(photo, mask, **options):
    return read_cloth(cloth_pixels(photo, mask, TRUE_SRGB), TRUE_SRGB, **options)


@pytest.mark.parametrize(("name", "reflectance"), [("folded", BLUE), ("satin", GREEN)])
def test_a_folded_and_a_shining_cloth_are_read_as_flat_and_matt(measured, name, reflectance):
    found, true = measured[name].cloth, true_lab(reflectance)
    assert delta_e_2000(found.lab, true) < 3  # our own target for daylight: median 2.5
    assert np.all(np.abs(found.lab - true) <= found.half_width_90)
    assert 0.25 < found.part.kept < 0.95
    assert sum((found.part.kept, found.part.darker, found.part.lighter, found.part.other)) == pytest.approx(1)


def test_folds_are_left_out_and_make_the_interval_of_lightness_wider():
    flat, mask = evenly([[120, 90, 60]] * 100, noise=2)
    folded, _ = evenly(
        [[120, 90, 60]] * 60 + [[120 - k, 90 - 0.75 * k, 60 - 0.5 * k] for k in range(0, 80, 2)], noise=2
    )
    one, other = read(flat, mask), read(folded, mask)
    assert_allclose(other.lab, one.lab, atol=1.0)
    assert other.half_width_90[0] > 1.5 * one.half_width_90[0]
    assert other.part.darker > 0.15
    assert other.spread[0] > 5 * one.spread[0]


def test_shine_is_left_out_though_it_is_as_light_as_the_cloth():
    shining, mask = evenly([[120, 90, 60]] * 80 + [[110, 95, 85]] * 20)
    found = read(shining, mask)
    assert_allclose(found.lab, read(*evenly([[120, 90, 60]] * 100)).lab, atol=0.3)
    assert found.part.other > 0.15


STRIPES = [[45, 46, 50]] * 60 + [[225, 225, 220]] * 40  # charcoal with white stripes
NAMED_STRIPES = [(STRIPES, 0.4), ([[225, 225, 220]] * 60 + [[20, 25, 60]] * 40, 0.4), ([[40, 40, 40]] * 100, 0.0)]


@pytest.mark.parametrize(("rows", "unlike"), NAMED_STRIPES, ids=["charcoal", "white", "plain"])
def test_stripes_of_another_tone_are_unlike_what_was_read(rows, unlike):
    assert_allclose(read(*evenly(rows, noise=3)).unlike, unlike, atol=0.03)


def test_folds_and_shine_are_not_unlike_and_what_is_overexposed_is(measured):
    assert max(measured[name].cloth.unlike for name in ("folded", "satin")) < 0.02
    glaring = read(*evenly([[120, 90, 60]] * 80 + [[255, 255, 255]] * 20))
    assert_allclose(glaring.unlike, 0.2, atol=0.02)


def test_a_colour_for_a_kit_is_converted_and_says_so(measured):
    cloth = measured["folded"].cloth
    assert_allclose(cloth.for_kit, Colours(cloth.lab, D65_2).under(D65_10).lab)
    written = json.loads(json.dumps(measured["folded"].to_json()))["cloth"]["converted"]
    assert (written["illuminant"], written["observer"]) == ("D65", "10")
    assert "not measured" in written["how"]
    assert np.abs(np.array(written["lab"]) - cloth.lab).max() > 0.3


def test_the_largest_region_beside_the_card_is_read_and_that_is_said(photo):
    found = measure_cloth(photo)
    (left, top), (right, bottom) = found.outline_px.min(axis=0), found.outline_px.max(axis=0)
    assert_allclose([left, top, right, bottom], [340, 360, 870, 680], atol=12)
    assert delta_e_2000(found.cloth.lab, true_lab(RED)) < 3
    assert [reason.code for reason in found.reasons] == [ClothCode.CHOSEN]
    assert "--at" in found.texts[0]


def test_the_interval_grows_with_the_cards_error_with_strength_and_without_a_card():
    def widths(lab, error, basis=CalibrationBasis.CHART, light=0.0):
        plain = ColourMap(Terms.LINEAR, np.eye(3))
        return cloth_half_width_90(np.array(lab), Correction(basis, TRUE_SRGB.tone, plain, plain, error), light)

    pale, strong = [60.0, 5.0, 0.0], [60.0, 60.0, 0.0]
    assert np.all(widths(pale, 3.0) > widths(pale, 1.0))
    assert widths(strong, 2.0)[1] > 2 * widths(pale, 2.0)[1]
    assert widths(strong, 2.0)[1] > widths(strong, 2.0)[2]  # chroma is known less well than hue
    assert np.all(widths(pale, 1.0, CalibrationBasis.GREY) > widths(pale, 1.0))
    assert widths(pale, 1.0, light=0.3)[0] > widths(pale, 1.0)[0] + 3


@pytest.mark.parametrize(
    ("rows", "code", "word"),
    [
        ([[255, 254, 250]] * 60 + [[200, 200, 200]] * 40, ClothCode.CLIPPED, "exposure"),
        ([[1, 1, 1]] * 100, ClothCode.DARK, "light"),
        ([[220, 170, 1]] * 60 + [[220, 170, 30]] * 40, ClothCode.VIVID, "white balance"),
        ([[120, 90, 60]] * 55 + [[60, 90, 140]] * 45, ClothCode.SEVERAL_COLOURS, "--print"),
    ],
)
def test_what_cannot_be_read_is_refused_in_plain_words(rows, code, word):
    found = read(*evenly(rows))
    assert isinstance(found, ClothReason)
    assert found.code is code
    assert word in found.text


def test_a_channel_that_is_partly_at_black_makes_the_interval_of_chroma_wider():
    by_card = replace(TRUE_SRGB, basis=CalibrationBasis.CHART, error=1.0)
    held, mask = evenly([[220, 170, 8]] * 100)
    lost, _ = evenly([[220, 170, 8]] * 60 + [[220, 170, 2]] * 40)
    one, other = (read_cloth(cloth_pixels(photo, mask, by_card), by_card) for photo in (held, lost))
    assert cloth_pixels(lost, mask, by_card).lost == pytest.approx(0.4)
    assert other.half_width_90[2] > 1.4 * one.half_width_90[2]
    assert other.half_width_90[0] == pytest.approx(one.half_width_90[0], rel=0.05)
    [printed], [printed_lost] = (print_palette(photo, mask, by_card) for photo in (held, lost))
    assert printed_lost.half_width_90[2] > 1.4 * printed.half_width_90[2]


def test_a_colour_stronger_than_the_picture_holds_is_estimated_where_that_is_asked_for():
    by_card = replace(TRUE_SRGB, basis=CalibrationBasis.CHART, error=1.0)
    photo, mask = evenly([[220, 170, 1]] * 100)
    pixels = cloth_pixels(photo, mask, by_card)
    assert pixels.channels.tolist() == [0, 0, 1]
    refused, estimated = (read_cloth(pixels, by_card, strong=strong) for strong in (False, True))
    assert refused.code is ClothCode.VIVID
    held = read_cloth(replace(pixels, lost=0.0, channels=np.zeros(3)), by_card)
    assert estimated.lab[2] > held.lab[2] + 2
    assert estimated.half_width_90[2] >= estimated.lab[2] - held.lab[2] - 1


def test_a_cloth_of_many_tints_is_uneven():
    angle = np.linspace(0, 2 * np.pi, 100)
    rows = np.stack([120 + 25 * np.cos(angle), 120 + 25 * np.sin(angle), 120 - 25 * np.cos(angle)], axis=1)
    found = read(*evenly(rows))
    assert isinstance(found, ClothReason)
    assert found.code in (ClothCode.UNEVEN, ClothCode.SEVERAL_COLOURS)


def test_too_small_a_cloth_is_refused_with_what_is_needed(photo):
    found = measure_cloth(photo, outline=box_outline(400, 400, 12, 12))
    assert not found.accepted
    assert found.reasons[0].code is ClothCode.SMALL
    assert "400" in found.texts[0]


def test_a_picture_without_its_card_gives_no_colour(photo):
    painted = photo.rgb.copy()
    painted[: CARD_PX[1] + 60, : CARD_PX[0] + 60] = 128
    found = measure_cloth(Photo(painted), outline=box_outline(*BIG))
    assert (found.accepted, found.cloth, found.basis) == (False, None, CalibrationBasis.RELATIVE)
    assert found.to_json()["reasons"][0]["code"] == "chart_not_found"


def test_a_card_without_known_values_gives_no_colour(photo, monkeypatch):
    """One of our own cards that was never calibrated tells differences only."""
    unknown = CardSearch(ChartFinding(), (Reason(Code.CARD_UNCALIBRATED, "no values"),), TRUE_SRGB)
    monkeypatch.setattr(measure, "look_for_card", lambda photo, choice: unknown)
    found = measure_cloth(photo, ChartKind.OWN, box_outline(*BIG))
    assert (found.accepted, found.texts) == (False, ("no values",))


def test_odd_light_on_the_card_is_said_and_makes_the_interval_wider(photo, measured, monkeypatch):
    search = look_for_card(photo, ChartKind.CLASSIC24)
    odd = replace(search, reasons=(Reason(Code.LIGHT_CHANGES, "odd light"), Reason(Code.MIRRORED, "mirrored")))
    monkeypatch.setattr(measure, "look_for_card", lambda photo, choice: odd)
    found = measure_cloth(photo, outline=box_outline(*BOXES["folded"]))
    assert found.texts == ("odd light",)
    assert found.cloth.half_width_90[0] > measured["folded"].cloth.half_width_90[0]


def test_no_card_and_outlines_outside_are_errors(photo):
    with pytest.raises(TenterError, match="chart 'none' came"):
        measure_cloth(photo, ChartKind.NONE)
    with pytest.raises(TenterError, match="900 × 700"):
        measure_cloth(photo, outline=box_outline(800, 10, 300, 50))
    with pytest.raises(TenterError, match="at least three"):
        outline_mask(photo, np.array([[1.0, 1.0], [5.0, 5.0]]))


def test_a_cloth_that_fills_the_picture_is_said_to_do_so(photo):
    corners = np.array([[0.0, 0.0], [899.0, 0.0], [899.0, 699.0], [0.0, 699.0]])
    filling, beside = (measure._chosen(where, photo, as_print=False).text for where in (corners, corners / 2))
    assert filling.startswith("Read from what fills the picture beside the card, 0,0 to 899,699.")
    assert beside.startswith("Read from the largest region of one colour beside the card, ")
    assert filling.endswith("If it is a print, ask for all its colours with --print.")


def test_an_outline_is_in_pixels_of_the_original(photo):
    reduced = Photo(np.asarray(Image.fromarray(photo.rgb).resize((450, 350))), reduction=2.0)
    full = outline_mask(photo, box_outline(*BIG)).sum()
    assert outline_mask(reduced, box_outline(*BIG)).sum() == pytest.approx(full / 4, rel=0.02)


def test_a_print_is_a_few_colours_with_their_areas(photo, measured):
    assert not measured["print"].accepted
    assert measured["print"].reasons[0].code is ClothCode.SEVERAL_COLOURS
    found = measure_cloth(photo, outline=box_outline(*BOXES["print"]), as_print=True)
    assert found.accepted
    assert [colour.area for colour in found.palette] == pytest.approx(AREAS, abs=0.03)
    assert sum(colour.area for colour in found.palette) == pytest.approx(1)
    for colour, reflectance in zip(found.palette, (BLUE, GREEN, SAND), strict=True):
        assert delta_e_2000(colour.lab, true_lab(reflectance)) < 4
    assert len(found.to_json()["palette"]) == 3


def test_a_print_keeps_six_colours_at_most_and_drops_threads():
    tones = [[200, 60, 60], [60, 160, 60], [60, 60, 200], [230, 220, 80], [20, 20, 20], [240, 240, 240], [150, 60, 190]]
    thread = [0, 220, 220]
    counts = [20, 18, 16, 14, 12, 10, 8, 2]
    rows = np.repeat([*tones, thread], counts, axis=0)
    palette = print_palette(*evenly(rows, noise=1), TRUE_SRGB)
    assert len(palette) == 6
    assert sum(colour.area for colour in palette) == pytest.approx(1)
    assert all(earlier.area >= later.area for earlier, later in pairwise(palette))


def test_a_plain_cloth_with_folds_is_a_palette_of_one():
    rows = [[130 - k, 90 - 0.7 * k, 60 - 0.45 * k] for k in range(50)] * 2
    assert len(print_palette(*evenly(rows, noise=2), TRUE_SRGB)) == 1


def test_groups_are_the_same_each_time_and_the_largest_is_0():
    points = np.random.default_rng(1).normal(size=(500, 3)) + np.repeat([[0, 0, 0], [30, 0, 0]], [150, 350], axis=0)
    group = colour_groups(points)
    assert_allclose(group, colour_groups(points))
    assert np.bincount(group).tolist() == [350, 150]


def test_a_colour_comes_with_all_its_parts(measured):
    assert isinstance(measured["folded"].cloth, ClothColour)
    written = measured["folded"].to_json()
    assert set(written) == {
        *("accepted", "reasons", "basis", "illuminant", "observer", "cloth", "palette", "outline_px", "chart")
    }
    low, high = np.array(written["cloth"]["lab_interval_90"]).T
    assert np.all(low < written["cloth"]["lab"])
    assert np.all(high > written["cloth"]["lab"])


@pytest.mark.parametrize("file", ["p1a.jpg", "p1b.jpg", "p2b.jpg", "p4a.jpg"])
def test_a_worn_cloth_of_a_path_traced_portrait_lies_in_its_interval(portraits, file):
    portrait = portraits[file]
    mask = np.asarray(Image.open(portrait.path.parent / portrait.truth["mask"])) == 10  # the drape
    card = look_for_card(Photo(portrait.rgb), ChartKind.CLASSIC24)
    found = read_cloth(cloth_pixels(Photo(portrait.rgb), mask, card.correction), card.correction)
    true = np.array(portrait.truth["regions"]["drape"]["lab"]["D65"])
    assert np.all(np.abs(found.lab - true) <= found.half_width_90)
    matched = [true[0], *(found.lab[1:] * (true[0] + 16) / (found.lab[0] + 16))]
    assert delta_e_2000(np.array(matched), true) < 2


def test_a_cloth_that_reads_lighter_than_a_perfect_white_has_no_colour():
    picture, mask = evenly([[210, 210, 210]] * 100)
    brighter = Correction(
        CalibrationBasis.CHART,
        TRUE_SRGB.tone,
        *(ColourMap(Terms.LINEAR, m.weights * 2) for m in (TRUE_SRGB.for_dyes, TRUE_SRGB.for_skin)),
        1.0,
    )
    found = read_cloth(cloth_pixels(picture, mask, brighter), brighter)
    assert isinstance(found, ClothReason)
    assert found.code is ClothCode.LIGHTER_THAN_WHITE
    assert "100" in found.text
