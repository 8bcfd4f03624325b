"""What a palette takes out of the drawers: nearest within the tolerance, each drawer once, the rest to be printed."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.illuminants import Observer
from tenter.colorimetry.measurement import D65_10, Colours, Conditions
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.colours.colours import Basis, PaletteColour, Part, PersonalPalette, Suited
from tenter.consultation.personal.choosing import APART, NEUTRALS_APART
from tenter.consultation.stock.pick_list import (
    WITHIN,
    WITHIN_NEUTRAL,
    PickList,
    WhyPrinted,
    pick_list,
)
from tenter.consultation.stock.snippets import Snippet, Stock
from tenter.consultation.words.difference_words import SAME, difference
from tenter.errors import TenterError

CORAL, NAVY, GREY = (65.0, 45.0, 30.0), (22.0, 4.0, -24.0), (55.0, 0.0, 1.0)


def colour(name: str, lab: tuple[float, float, float], part: Part = Part.ACCENT) -> PaletteColour:
    return PaletteColour(lab, name, HueFamily.RED, part, Suited.YES, Basis.PREDICTED, 0.8, (0.7, 0.9))


def palette(*colours: PaletteColour, metals: tuple[PaletteColour, ...] = ()) -> PersonalPalette:
    return PersonalPalette(colours, metals, (), (), (), ("soft autumn",), {"soft autumn": 1.0})


def lighter(lab: tuple[float, float, float], by: float) -> tuple[float, float, float]:
    """Return a colour that is `by` ΔE00 lighter."""
    low, high = 0.0, 60.0
    for _ in range(60):
        middle = (low + high) / 2
        if float(delta_e_2000(lab, (lab[0] + middle, lab[1], lab[2]))) < by:
            low = middle
        else:
            high = middle
    return (lab[0] + low, lab[1], lab[2])


def names(found: PickList) -> dict[str, str]:
    return {pick.drawer: pick.colour.name for pick in found.picks}


def test_the_tolerances_are_half_of_what_a_palettes_colours_are_apart() -> None:
    assert (2 * WITHIN, 2 * WITHIN_NEUTRAL) == (APART, NEUTRALS_APART) == (6, 4)


def test_each_colour_gets_its_nearest_snippet_in_the_order_of_the_drawers() -> None:
    stock = Stock(
        (
            Snippet("10", "rust", CORAL, count=2),
            Snippet("9", "ink", lighter(NAVY, 1.5), count=1),
            Snippet("11", "", lighter(CORAL, 2), count=9),
        )
    )
    found = pick_list(palette(colour("coral", CORAL), colour("navy", NAVY)), stock)
    assert found.drawers == ("9", "10")
    assert names(found) == {"9": "navy", "10": "coral"}
    assert [pick.left for pick in found.picks] == [0, 1]
    assert [pick.of.difference for pick in found.picks] == ["a touch lighter", str(SAME)]
    assert found.to_print == ()


@pytest.mark.parametrize(
    ("part", "limit"), [(Part.ACCENT, WITHIN), (Part.NEUTRAL, WITHIN_NEUTRAL), (Part.WHITE, WITHIN_NEUTRAL)]
)
def test_a_snippet_is_taken_up_to_the_tolerance_and_not_beyond(part: Part, limit: float) -> None:
    wanted = palette(colour("coral", CORAL, part))
    near, far = (Stock((Snippet("1", "", lighter(CORAL, limit + by), count=1),)) for by in (-0.01, 0.01))
    assert names(pick_list(wanted, near)) == {"1": "coral"}
    [printed] = pick_list(wanted, far).to_print
    assert printed.why is WhyPrinted.NOT_IN_STOCK
    assert printed.nearest is not None
    assert printed.nearest.delta_e == pytest.approx(limit + 0.01, abs=1e-6)
    assert printed.nearest.difference.endswith("lighter")
    assert names(pick_list(wanted, far, within=limit + 0.1)) == {"1": "coral"}


def test_a_drawer_gives_one_piece_to_the_colour_that_is_closest() -> None:
    stock = Stock((Snippet("1", "", CORAL, count=5),))
    found = pick_list(palette(colour("one", lighter(CORAL, 2)), colour("two", lighter(CORAL, 1))), stock)
    assert names(found) == {"1": "two"}
    assert [(one.colour.name, one.why) for one in found.to_print] == [("one", WhyPrinted.TAKEN)]


def test_a_colour_whose_nearest_is_taken_gets_the_next_one_that_is_near_enough() -> None:
    stock = Stock((Snippet("1", "", CORAL, count=5), Snippet("2", "", lighter(CORAL, 2.9), count=5)))
    found = pick_list(palette(colour("one", CORAL), colour("two", lighter(CORAL, 1))), stock)
    assert names(found) == {"1": "one", "2": "two"}


def test_an_empty_drawer_gives_nothing_and_is_said() -> None:
    stock = Stock((Snippet("1", "", CORAL), Snippet("2", "", lighter(CORAL, 2), count=1)))
    assert names(pick_list(palette(colour("coral", CORAL)), stock)) == {"2": "coral"}
    [printed] = pick_list(palette(colour("coral", CORAL)), Stock((Snippet("1", "", CORAL),))).to_print
    assert (printed.why, printed.nearest.snippet.drawer) == (WhyPrinted.DRAWER_EMPTY, "1")


def test_an_empty_stock_has_every_colour_printed_in_the_palettes_order() -> None:
    found = pick_list(palette(colour("coral", CORAL), colour("navy", NAVY)), Stock())
    assert found.picks == ()
    assert [(one.colour.name, one.why, one.nearest) for one in found.to_print] == [
        ("coral", WhyPrinted.NOT_IN_STOCK, None),
        ("navy", WhyPrinted.NOT_IN_STOCK, None),
    ]
    assert pick_list(palette(), Stock()).to_print == ()


def test_metals_are_looked_for_by_eye() -> None:
    gold = colour("gold", (70.0, 3.0, 15.0), Part.METAL)
    found = pick_list(palette(metals=(gold,)), Stock((Snippet("1", "gold", gold.lab, count=1),)))
    assert (found.picks, found.to_print, found.by_hand) == ((), (), (gold,))


def test_a_palette_under_other_conditions_is_carried_to_those_of_the_stock() -> None:
    warm = Conditions("A", Observer.CIE_1931_2)
    under = Colours(np.array(CORAL), warm).under(D65_10).lab
    stock = Stock((Snippet("1", "", tuple(float(v) for v in under), count=1),))
    moved = dataclasses.replace(palette(colour("coral", CORAL)), conditions=warm)
    assert names(pick_list(moved, stock, within=0.01)) == {"1": "coral"}
    assert pick_list(palette(colour("coral", CORAL)), stock, within=1).picks == ()


@pytest.mark.parametrize("within", [-1, 21, float("nan"), "3"])
def test_a_tolerance_is_a_small_number(within: object) -> None:
    with pytest.raises(TenterError, match="ΔE00, is a finite number from 0 to 20"):
        pick_list(palette(colour("coral", CORAL)), Stock(), within)  # type: ignore[arg-type]


labs = st.tuples(st.floats(20, 90), st.floats(-40, 40), st.floats(-40, 40))


@settings(max_examples=60, deadline=None)
@given(st.lists(labs, max_size=8), st.lists(st.tuples(labs, st.integers(0, 2)), max_size=8), st.floats(0, 20))
def test_laws_of_a_pick_list(wanted, held, within) -> None:
    stock = Stock(tuple(Snippet(str(n), "", lab, count=count) for n, (lab, count) in enumerate(held)))
    colours = [colour(str(n), lab) for n, lab in enumerate(wanted)]
    found = pick_list(palette(*colours), stock, within)
    assert sorted([*names(found).values(), *(one.colour.name for one in found.to_print)]) == sorted(
        c.name for c in colours
    )
    assert len(set(found.drawers)) == len(found.drawers)
    for pick in found.picks:
        assert pick.left >= 0
        assert pick.of.delta_e <= within + 1e-9
    # what is printed had no piece left that was near enough
    free = [one for one in stock if one.count and one.drawer not in found.drawers]
    for one in found.to_print:
        assert all(float(delta_e_2000(one.colour.lab, other.lab)) > within - 1e-8 for other in free)


# -- in words ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wanted", "found", "said"),
    [
        (GREY, GREY, SAME),
        (GREY, (55.8, 0.0, 1.0), SAME),
        (GREY, (57.0, 0.0, 1.0), "a touch lighter"),
        (GREY, (45.0, 0.0, 1.0), "clearly darker"),
        (GREY, (55.0, 0.0, 4.0), "a little yellower"),
        (GREY, (55.0, 0.0, -3.0), "a little bluer"),
        (GREY, (55.0, 3.0, 1.0), "clearly redder"),
        (GREY, (55.0, -1.5, 1.0), "a little greener"),
        ((60.0, 40.0, 0.0), (60.0, 47.0, 0.0), "a little stronger"),
        ((60.0, 40.0, 0.0), (60.0, 33.0, 0.0), "a little softer"),
        ((60.0, 30.0, 30.0), (60.0, 25.0, 34.3), "clearly yellower"),
        ((60.0, 30.0, 30.0), (60.0, 34.3, 25.0), "clearly redder"),
        ((60.0, -20.0, 30.0), (60.0, -26.0, 25.0), "clearly greener"),
        ((60.0, -30.0, -8.0), (60.0, -27.0, -15.0), "clearly bluer"),
        ((40.0, 20.0, -30.0), (40.0, 27.0, -24.0), "clearly redder"),
        ((60.0, 40.0, 0.0), (60.8, 48.0, 0.0), "a little stronger"),
        ((60.0, 40.0, 0.0), (64.0, 47.0, 0.0), "clearly lighter and stronger"),
    ],
)
def test_a_difference_in_words(wanted, found, said) -> None:
    assert str(difference(wanted, found)) == str(said)


OPPOSITE = {"lighter": "darker", "darker": "lighter"}


@settings(max_examples=60, deadline=None)
@given(labs, st.floats(-15, 15))
def test_lightness_is_told_the_right_way_round(lab, change) -> None:
    said = difference(lab, (lab[0] + change, lab[1], lab[2]))
    back = difference((lab[0] + change, lab[1], lab[2]), lab)
    word = "lighter" if change > 0 else "darker"
    assert said == SAME or str(said).endswith(word)
    assert back == SAME or str(back).endswith(OPPOSITE[word])
