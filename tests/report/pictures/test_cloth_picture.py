"""A photograph of cloths drawn: what is said on a page, and lines whose numbers are text and nothing else."""

import numpy as np

from tenter.measured.basis import CalibrationBasis
from tenter.photo.card.finding import ChartFinding
from tenter.photo.cloth.colour import ClothCode, ClothColour, ClothReason
from tenter.photo.cloth.even_part import KeptPart
from tenter.photo.cloth.measure import ClothMeasurement
from tenter.photo.cloth.print_palette import PrintColour
from tenter.photo.cloth.rack import RackCell, RackMeasurement
from tenter.photo.files.loading import Photo
from tenter.photo.reasons import Code, Reason
from tenter.report.pictures.cloth_picture import cloth_overlay_svg, cloth_picture

PHOTO = Photo(np.zeros((100, 200, 3), dtype=np.uint8), 2.0)
SQUARE = np.array(
    [[100, 40], [140, 40], [140, 80], [100, 80]], dtype=float
)  # in pixels of the original, twice as large
HALF = np.array([3.0, 2.0, 2.5])
COLOUR = ClothColour(
    np.array([60.4, -20.0, 33.0]), np.zeros(3), HALF, np.array([2.0, 0.5, 0.4]), KeptPart(0.9, 0.1, 0, 0), 900
)
EMPTY = ClothReason(ClothCode.EMPTY, "Nothing is different from the wall here.")
GONE = ClothReason(ClothCode.NOT_FOUND, "2 rows of 2 cloths were not found. Say where the rack is with --corners.")
CHOSEN = ClothReason(ClothCode.CHOSEN, "Read from the largest region, 1,2 to 3,4. Say where it is with --at.")
PRINTED = ClothReason(ClothCode.SEVERAL_COLOURS, "40 % has another colour. Ask for its palette with --print.")


def rack(*found, reasons=(), card_reasons=()):
    cells = tuple(RackCell(f"r1c{k}", 1, k, SQUARE, one) for k, one in enumerate(found, 1))
    chart = ChartFinding(corners_px=SQUARE / 2)
    return RackMeasurement(
        card_reasons=card_reasons,
        reasons=reasons,
        basis=CalibrationBasis.CHART,
        chart=chart,
        cells=cells,
        light="Even light.",
    )


def one(cloth=None, palette=(), reasons=()):
    return ClothMeasurement(
        card_reasons=(), reasons=reasons, basis=CalibrationBasis.CHART, chart=ChartFinding(), cloth=cloth,
        palette=palette, outline_px=SQUARE,
    )  # fmt: skip


def said(measured):
    return [(reason.text, reason.refuses) for reason in cloth_picture(measured, PHOTO).reasons]


def test_a_rack_says_where_each_cloth_is_and_what_it_has():
    picture = cloth_picture(rack(COLOUR, EMPTY), PHOTO)
    assert (picture.width, picture.height, len(picture.card)) == (200, 100, 1)
    cloth, empty = picture.cloths
    assert (cloth.key, cloth.row, cloth.column, cloth.empty, empty.empty) == ("r1c1", 1, 1, False, True)
    assert cloth.outline[0] == (0.25, 0.2)
    assert empty.note == EMPTY.text
    assert picture.colours["r1c1"].values == ("60 ±\u00a03.0", "−20 ±\u00a02.0", "33 ±\u00a02.5")
    assert list(picture.colours) == ["r1c1"]
    assert picture.facts == ("Even light.",)
    assert picture.reasons == ()


def test_what_would_help_is_said_in_words_of_the_page():
    [(text, refuses)] = said(rack(reasons=(GONE,)))
    assert text.startswith("2 rows of 2 cloths were not found. Check how many rows")
    assert refuses
    for measured, words in (
        (one(COLOUR, reasons=(CHOSEN,)), "draw around it"),
        (one(palette=(PrintColour(COLOUR.lab, HALF, 1.0),), reasons=(CHOSEN,)), "several colours"),
        (one(reasons=(PRINTED,)), "40 % has another colour. If it shines"),
    ):
        [(text, refuses)] = said(measured)
        assert words in text
        assert "--" not in text
        assert refuses is not measured.accepted


def test_a_card_that_refuses_is_said_and_a_rack_without_colours_too():
    assert said(rack(card_reasons=(Reason(Code.CHART_CUT, "The card is cut."),))) == [("The card is cut.", True)]
    [(text, refuses)] = said(rack(EMPTY, EMPTY))
    assert (text[:21], refuses) == ("No cloth on the rack ", True)


def test_one_cloth_tells_its_spread_and_a_print_its_areas():
    facts = cloth_picture(one(COLOUR), PHOTO).facts
    assert facts[0].startswith("Read from the evenly lit 90 %")
    assert "spread by 2.0, 0.5, 0.4" in facts[1]
    palette = cloth_picture(one(palette=(PrintColour(COLOUR.lab, HALF, 0.66),)), PHOTO).palette
    assert [colour.area for colour in palette] == ["66 %"]


def test_lines_carry_numbers_as_text_and_are_broken_without_one():
    picture = cloth_picture(rack(COLOUR, EMPTY), PHOTO)
    svg = cloth_overlay_svg((200, 100), picture.card, picture.cloths, {"r1c1": "<b>&"})
    assert "&lt;b&gt;&amp;</text>" in svg
    assert svg.count('class="outline"') == 1
    assert svg.count('class="outline unread"') == 1
    assert 'points="50.0,20.0 70.0,20.0 70.0,40.0 50.0,40.0"' in svg
    assert svg.count('class="card"') == 1
