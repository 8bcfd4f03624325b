"""Garments, wardrobes and the stock in another language: no word is left in English."""

from dataclasses import replace

import numpy as np
import pytest

from tenter.colorimetry.illuminants import WAVELENGTHS_NM
from tenter.consultation.axes import Axis
from tenter.consultation.colours.names import known_names
from tenter.consultation.garments.buying import buy_list
from tenter.consultation.garments.check import Unclear, check_garment, not_read
from tenter.consultation.garments.gaps import wardrobe_coverage
from tenter.consultation.garments.garment import from_photo, from_reading, from_spectrum
from tenter.consultation.garments.given import named_garment
from tenter.consultation.garments.outfits import outfits
from tenter.consultation.garments.resting import rest_plan
from tenter.consultation.garments.role import ROLES, GarmentAnswer, Hold
from tenter.consultation.garments.shop_lamp import LAMPS, UnderLamp
from tenter.consultation.garments.wardrobe import Piece, piece_of
from tenter.consultation.personal.suitability import Offset
from tenter.consultation.stock.pick_list import PickList, pick_list
from tenter.consultation.stock.snippets import Snippet, Stock
from tenter.language import _, written_in
from tenter.report.on_screen import pick_words, wardrobe_words
from tenter.report.on_screen.garment_off import garment_off_words
from tenter.report.on_screen.garment_words import garment_words, lamp_words, wished_away_words
from tests.support.pseudo import english

# Pieces that are called by numbers, so that no name of theirs is taken for a word of English.
_PIECES = (
    ("1", "top", "66,35,30", "", 40.5, 20, ""),
    ("2", "top", "25,17,-8", "", 60, 5, "yes"),
    ("3", "bottom", "denim", "away", 80, 100, ""),
    ("4", "top", "30,25,-30", "", None, None, ""),
    ("5", "bag", "15,40,-40", "leave", None, None, ""),
    ("6", "layer", "brown", "", 80, None, ""),
)
_WISHES = (
    ("7", "bottom", "moss", "away", 60, None, ""),
    ("8", "top", "red", "near_face", 45, None, ""),
    ("9", "bag", "red", "", 5, None, ""),
)


@pytest.fixture(scope="module")
def pieces(palette_made):
    def of(rows, *more):
        fields = ("name", "kind", "colour", "role", "price", "wears", "loved")
        return [piece_of(dict(zip(fields, row, strict=True)), *palette_made("K5")) for row in (*rows, *more)]

    return of


def made_unsure(piece: Piece) -> Piece:
    return replace(piece, check=replace(piece.check, answer=GarmentAnswer.CANNOT_TELL))


def said_of_a_wardrobe(palette, owned: list[Piece], wished: list[Piece]) -> list[str]:
    plan, found = rest_plan(owned), outfits(owned)
    bought = [buy_list(owned, wished, budget) for budget in (0, 45, 200)]
    bought.append(replace(bought[-1], bound=99))
    bought += [
        buy_list(owned, wished[:1], 5),
        buy_list([], wished, 1),
        buy_list(owned, [w for w in wished if w.name == "8"], 1e4),
    ]
    return [
        *map(wardrobe_words.piece_words, owned),
        *map(wardrobe_words.cost_words, owned),
        *map(wardrobe_words.gap_words, wardrobe_coverage(palette, owned)),
        *map(wardrobe_words.gap_words, wardrobe_coverage(palette, [])),
        wardrobe_words.count_words(len(found), owned),
        _(wardrobe_words.NOTHING_THROWN),
        _(wardrobe_words.BY_ITSELF),
        *(wardrobe_words.none_words(some) for some in ([], owned, [p for p in owned if p.name in "23"])),
        *wardrobe_words.rest_words(plan),
        *map(wardrobe_words.outfit_words, plan.days),
        *(line for one in bought for line in wardrobe_words.buy_words(one)),
        *(wardrobe_words.purchase_words(one) for one in bought[0].every),
    ]


def test_no_word_of_a_wardrobe_is_left_in_english(language, palette_made, pieces):
    owned, wished = ([*some, *map(made_unsure, some[:1])] for some in (pieces(_PIECES), pieces(_WISHES[::-1])))
    told = said_of_a_wardrobe(palette_made("K5")[0], owned, wished)
    assert len(english(told)) > 80
    with written_in(language):
        assert english(said_of_a_wardrobe(palette_made("K5")[0], owned, wished)) == []
        many = pieces((), *((str(n), "bag", "denim", "away", None, None, "") for n in range(10, 31)))
        assert english(wardrobe_words.rest_words(rest_plan([*owned, *many]))) == []


_LABS = ([66, 35, 30], [15, 0, -1], [92, 0, 11], [93, 0, -6], [52, -10, -25], [44, 14, 22], [60, 60, 40], [50, 0, 0])
_PRINTED = ([[30, 20, -20], [85, 2, 10], [60, 45, 50]], [[1, 1, 1], [1, 1, 1], [40, 40, 40]], [0.5, 0.3, 0.2])


@pytest.fixture(scope="module")
def checks(palette_made):
    """Garments of every kind, some of them with the answer that a client with other colours would get."""
    palette, known = palette_made("K5")
    given = [
        *(named_garment(name, palette) for name in known_names()[::12]),
        *map(from_reading, _LABS),
        *(from_photo(lab, [1, 1, 1], unlike=0.2) for lab in _LABS[:2]),
        from_photo(_LABS[0], [30, 30, 30]),
        from_photo(*_PRINTED),
        from_spectrum(np.full(len(WAVELENGTHS_NM), 0.3)),
    ]
    made = [check_garment(palette, known, one, (1,)) for one in given]
    tied = dict.fromkeys(ROLES, 1 / len(ROLES))
    untold = replace(made[-2], parts=tuple(replace(part, answer=GarmentAnswer.CANNOT_TELL) for part in made[-2].parts))
    unsure = [replace(one, answer=GarmentAnswer.CANNOT_TELL, roles=tied) for one in made]
    return [
        *made,
        *(replace(made[-1], answer=answer, instead="navy", seen=palette.colours[0]) for answer in ROLES),
        *(replace(made[-1], held=hold, seen=replace(palette.colours[0], answer="")) for hold in Hold),
        *(
            replace(one, unclear=unclear)
            for one in unsure
            for unclear in (Unclear.NAME_IS_WIDE, Unclear.COLOUR_IS_UNSURE)
        ),
        untold,
        not_read([]),
    ]


def test_what_is_said_of_a_garment_is_in_the_language(language, checks):
    assert len(english(garment_words(check).text for check in checks)) > 200
    with written_in(language):
        assert english(garment_words(check).text for check in checks) == []
        assert english(wished_away_words(["1 2 3"])) == []


def test_what_is_off_is_in_the_language_by_every_amount(language):
    with written_in(language):
        for mean in (-2.0, -1.0, -0.5, 0.0, 0.5, 1.0, 2.0):
            for half in (0.1, 3.0):
                off = dict.fromkeys(Axis, Offset(mean, mean - half, mean + half))
                assert english([garment_off_words(off)]) == []


def test_what_is_said_under_a_lamp_is_in_the_language(language, checks):
    moves = [dict.fromkeys(Axis, step) for step in (-1.0, 0.0, 1.0)]
    lamps = [UnderLamp("1"), UnderLamp("1", "2")]
    lamps += [
        UnderLamp("1", "2", (50, 0, 0), apart, step, GarmentAnswer.LEAVE) for step in moves for apart in (0.5, 9.0)
    ]
    with written_in(language):
        told = [lamp_words(lamp, check) for lamp in lamps for check in checks[::20]]
    assert set(english(told)) <= {"E", "LED", *" ".join(LAMPS).split(), "CIE"}


def said_of_the_stock(found: PickList, stock: Stock) -> list[str]:
    return [
        pick_words.pick_summary(found),
        pick_words.by_hand_line(found),
        *(pick_words.off_by(one.of) for one in found.picks),
        *map(pick_words.printed_why, found.to_print),
        *map(pick_words.stock_words, stock),
    ]


def test_what_is_said_of_the_stock_is_in_the_language(language, palette_made):
    palette, _known = palette_made("K5")
    first, second, third, fourth = (colour.lab for colour in palette.colours[:4])
    near = (fourth[0] + 2, *fourth[1:])
    stock = Stock(
        (
            Snippet("1", "-", first, count=1, reorder_at=1),
            Snippet("2", "-", second),
            Snippet("3", "-", third, count=2),
            Snippet("4", "-", near, count=2),
        )
    )
    lists = [pick_list(palette, some) for some in (stock, Stock(()))]
    lists += [replace(lists[0], to_print=()), PickList((), (), ())]
    assert len(english(line for found in lists for line in said_of_the_stock(found, stock))) > 40
    with written_in(language):
        assert english(line for found in lists for line in said_of_the_stock(found, stock)) == []
