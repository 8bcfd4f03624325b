"""Which published figures a classic card has: the chosen ones are used, and better ones are pointed out."""

import numpy as np

from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import XYZ_TO_SRGB, decode_srgb, encode_srgb
from tenter.photo.cards import CardChoice, ChartKind, look_for_card
from tenter.photo.files.loading import Photo, load_photo
from tenter.photo.patches.chart import find_chart
from tenter.photo.patches.reference import CardValues, classic24
from tenter.photo.reasons import Code


def repainted(photo: Photo, values: CardValues) -> Photo:
    """Return a photograph whose card has other figures: each patch scaled, channel by channel, in linear sRGB."""
    found = find_chart(photo)
    assert found is not None
    old, new = (np.clip(classic24(v).xyz @ XYZ_TO_SRGB.T, 0.004, 1) for v in (CardValues.MEAN_OF_30, values))
    linear = decode_srgb(photo.rgb / 255)
    best = min((found, found.turned_half()), key=lambda r: np.abs(np.log(r.code[18] / r.code[18].mean())).sum())
    half = int(0.4 * found.patch_side_px)
    for (x, y), factor in zip(best.centres_px.round().astype(int), new / old, strict=True):
        linear[y - half : y + half, x - half : x + half] *= factor
    return Photo((np.clip(encode_srgb(np.clip(linear, 0, 1)), 0, 1) * 255 + 0.5).astype(np.uint8))


def codes(photo: Photo, values: CardValues) -> set[Code]:
    return {reason.code for reason in look_for_card(photo, CardChoice(ChartKind.CLASSIC24, values)).reasons}


def test_the_right_figures_get_no_note_and_clearly_wrong_ones_do(portrait):
    photo = load_photo(portrait.path)
    assert Code.OTHER_CARD_VALUES not in codes(photo, CardValues.MEAN_OF_30)
    repaint = repainted(photo, CardValues.OF_1976)
    assert Code.OTHER_CARD_VALUES in codes(repaint, CardValues.FROM_2014_11)
    assert Code.OTHER_CARD_VALUES not in codes(repaint, CardValues.OF_1976)


def test_the_note_names_the_better_set_and_refuses_nothing(portrait):
    repaint = repainted(load_photo(portrait.path), CardValues.OF_1976)
    search = look_for_card(repaint, CardChoice(ChartKind.CLASSIC24, CardValues.FROM_2014_11))
    (note,) = search.reasons
    assert "the figures 1976" in note.text
    assert not note.refuses


def test_the_chosen_figures_are_those_that_are_used(portrait):
    photo = load_photo(portrait.path)
    code = np.full((1, 3), [0.75, 0.6, 0.5])
    labs = []
    for values in (CardValues.MEAN_OF_30, CardValues.FROM_2014_11):
        correction = look_for_card(photo, CardChoice(ChartKind.CLASSIC24, values)).correction
        assert correction is not None
        labs.append(correction.lab(code, skin=False))
    assert 0.2 < delta_e_2000(*labs) < 3
