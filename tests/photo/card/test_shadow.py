"""A shadow or a finger on part of the card, which the fit could swallow, is found out; a card that shines is not."""

import numpy as np
import pytest

from studies.photo.card_faults import fingered, shaded
from tenter.errors import TenterError
from tenter.photo.card.calibration import calibrate
from tenter.photo.card.shadow import Witness, edge_on_card, look_for_shadow
from tenter.photo.cards import CardChoice, ChartKind, look_for_card
from tenter.photo.files.loading import Photo
from tenter.photo.patches.reference import classic24
from tenter.photo.reasons import Code
from tests.support.pictures.drawn_cards import card_under


def looked_for(rgb, **choice):
    return look_for_card(Photo(np.ascontiguousarray(rgb)), CardChoice(ChartKind.CLASSIC24, **choice))


def refused(rgb, **choice) -> set[Code]:
    return {reason.code for reason in looked_for(rgb, **choice).reasons if reason.refuses}


def calibrated(log_light, **options):
    photo, reading = card_under(log_light, **options)
    calibration = calibrate(classic24(), (reading,), photo)
    assert calibration is not None
    return calibration


@pytest.fixture
def corners(portrait):
    left, top, right, bottom = portrait.card_box
    return np.array([[left, top], [right, top], [right, bottom], [left, bottom]], dtype=float)


def even(x, y):
    return 0 * x


def half_shaded(x, y):
    return np.log(0.7) * (x > 3)


def askew(x, y):
    return np.log(0.8) * (x + 0.6 * y > 4.3)


def within_six(x, y):
    return np.log(0.8) * ((x > 1.5) & (x < 4.5) & (y > 1) & (y < 3.5))


def streaks(x, y):
    """The sheen of a smooth black frame: it ends sharply, as the window does whose image it is."""
    return 0.04 * ((x + y) % 3 < 1.2) + 0.02 * (y > 2)


def test_an_even_light_has_no_edge():
    assert edge_on_card(calibrated(even)) is None


@pytest.mark.parametrize(
    ("light", "witness"),
    [(half_shaded, Witness.COLOURS), (askew, Witness.PATCHES), (within_six, Witness.PATCHES)],
)
@pytest.mark.parametrize("sheen", [None, streaks], ids=["matt frame", "frame that shines"])
def test_a_shadow_is_seen_by_patches_or_colours_whatever_the_frame_does(light, witness, sheen):
    edge = edge_on_card(calibrated(light, sheen=sheen))
    assert edge is not None
    assert edge.witness is witness


def test_a_frame_that_shines_is_no_shadow_and_widens_lightness():
    calibration = calibrated(even, sheen=streaks)
    found = look_for_shadow(calibration)
    assert found.edge is not None
    assert found.edge.witness is Witness.FRAME
    assert [reason.code for reason in found.reasons] == [Code.CARD_SHINES]
    assert not found.reasons[0].refuses
    assert 0 < found.doubt < 0.2


def steep(x, y):
    return -0.14 * x


@pytest.mark.parametrize("evenly_lit", [False, True])
def test_what_the_frame_alone_shows_is_not_where_a_steep_light_is_suspected(evenly_lit):
    calibration = calibrated(steep, sheen=streaks)
    edge = edge_on_card(calibration)
    assert edge is not None
    assert edge.witness is Witness.FRAME
    found = look_for_shadow(calibration, evenly_lit)
    assert [reason.code for reason in found.reasons] == [Code.CARD_CALLED_EVEN if evenly_lit else Code.CHART_COVERED]
    assert found.edge is None
    assert found.doubt == edge.doubt


def test_the_edge_lies_where_the_shadow_ends():
    calibration = calibrated(askew)
    edge = edge_on_card(calibration)
    assert edge is not None
    (x, y), stop = edge.outline
    assert x + 0.6 * y == pytest.approx(4.3, abs=0.5)
    assert stop[0] + 0.6 * stop[1] == pytest.approx(4.3, abs=0.5)
    drawn = edge.in_picture(calibration)
    assert np.ptp(drawn, axis=0) == pytest.approx(40 * np.ptp(edge.outline, axis=0), abs=0.5)  # 40 pixels a pitch


@pytest.mark.parametrize("box", [(-0.1, -0.1, 0.5, 1.2), (-0.1, 0.5, 1.1, 1.2)], ids=["lengthwise", "across"])
@pytest.mark.parametrize("part", [0.4, 0.7])
def test_a_shadow_over_half_the_card_is_found_out(portrait, corners, box, part):
    assert refused(portrait.rgb) == set()
    assert refused(shaded(portrait.rgb, corners, box, part)) == {Code.CHART_COVERED}


def test_a_finger_over_two_patches_is_found_out(portrait, corners):
    found = looked_for(fingered(portrait.rgb, corners, (0, 0.5, 0.25, 5 / 6)))
    assert [reason.code for reason in found.reasons if reason.refuses] == [Code.CHART_COVERED]
    assert found.finding.suspected_edge_px is not None


def test_a_person_who_looks_overrules_a_shadow_and_lightness_widens_by_it(portrait, corners):
    picture = shaded(portrait.rgb, corners, (-0.1, 0.5, 1.1, 1.2), 0.7)
    assert refused(picture) == {Code.CHART_COVERED}
    found = looked_for(picture, evenly_lit=True)
    assert [reason.code for reason in found.reasons if reason.refuses] == []
    assert Code.CARD_CALLED_EVEN in {reason.code for reason in found.reasons}
    assert found.correction is not None
    assert found.correction.light_doubt > 0.2


def test_only_a_card_of_patches_can_be_called_evenly_lit():
    with pytest.raises(TenterError, match="classic24 and own only"):
        CardChoice(ChartKind.GREY, evenly_lit=True)
