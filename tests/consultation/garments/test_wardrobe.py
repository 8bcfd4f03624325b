"""A wardrobe: its file, what it lacks, its outfits, what to buy, and thirty days without buying."""

import json
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from tenter.consultation.client.contrast import STEPS, ContrastLevel
from tenter.consultation.colours.colours import Part
from tenter.consultation.garments.buying import MOST_EXACT, buy_list
from tenter.consultation.garments.gaps import CLOSE, Section, wardrobe_coverage
from tenter.consultation.garments.garment import from_reading
from tenter.consultation.garments.outfits import outfits
from tenter.consultation.garments.resting import rest_plan
from tenter.consultation.garments.role import GarmentAnswer
from tenter.consultation.garments.wardrobe import Piece, PieceKind, piece_of, read_pieces
from tenter.errors import TenterError, UnreadableInput
from tests.support.clients.palette_clients import client


def known():
    return client("warm spring")[0]


def palette():
    return client("warm spring")[1]


HEAD = "name,kind,colour,role,price,wears,loved\n"


def piece(name, kind, role=GarmentAnswer.NEAR_FACE, lab=(60, 20, 30), **more):
    return Piece(name, kind, from_reading(lab), role, **more)


def read(tmp_path, text, name="w.csv"):
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return read_pieces(path, palette(), known())


# -- the file --------------------------------------------------------------------------------------------------------


def test_a_table_and_a_json_list_give_the_same_pieces(tmp_path):
    table = read(tmp_path, HEAD + 'blouse,top,"66,35,30",,40,20,\ncoat,layer,camel,away,,,yes\n')
    rows = [
        {"name": "blouse", "kind": "top", "colour": [66, 35, 30], "price": 40, "wears": 20},
        {"name": "coat", "kind": "layer", "colour": "camel", "role": "away", "loved": True},
    ]
    listed = read(tmp_path, json.dumps(rows), "w.json")
    for one, other in zip(table, listed, strict=True):
        assert (one.name, one.kind, one.role, one.price, one.wears, one.loved) == (
            other.name,
            other.kind,
            other.role,
            other.price,
            other.wears,
            other.loved,
        )
        assert one.garment.colours[0].lab == other.garment.colours[0].lab
    blouse, coat = table
    assert (blouse.role, blouse.cost_per_wear) == (GarmentAnswer.NEAR_FACE, 2.0)
    assert (coat.role, coat.check, coat.loved, coat.cost_per_wear) == (GarmentAnswer.AWAY, None, True, None)


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("x,hat,camel,,,,", "row 2, column kind: no kind of piece is called 'hat'; use top, bottom"),
        ("x,top,blurple,,,,", "row 2, column colour: no colour 'blurple'"),
        ('x,top,"1,2",,,,', "row 2, column colour: a reading is"),
        ("x,top,camel,great,,,", "row 2, column role: no role is called 'great'; use near_face"),
        ("x,top,camel,,-3,,", "row 2, column price: '-3' is not from 0"),
        ("x,top,camel,,cheap,,", "row 2, column price: 'cheap' is not a number"),
        ("x,top,camel,,,,dearly", "row 2, column loved: 'dearly' is neither yes nor no"),
        (",top,camel,,,,", "row 2, column name: the cell is empty"),
        ("x,top,camel,,,,\nx,top,coral,,,,", "'x' is the name of two pieces"),
    ],
)
def test_a_fault_of_a_row_is_named(tmp_path, row, said):
    with pytest.raises(UnreadableInput) as caught:
        read(tmp_path, f"{HEAD}{row}\n")
    assert said in str(caught.value)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("{}", "is not a wardrobe"),
        ("[", "not JSON"),
        ('[{"name": "x", "kind": "top"}]', "piece 1: 'colour' is missing"),
        ('[{"name": "x", "kind": "top", "colour": "camel", "size": 3}]', "piece 1: 'size' is unknown"),
        (json.dumps([{"name": str(k), "kind": "top", "colour": "camel"} for k in range(301)]), "301 pieces came"),
    ],
)
def test_a_list_that_is_no_wardrobe_is_refused(tmp_path, text, said):
    with pytest.raises(UnreadableInput) as caught:
        read(tmp_path, text, "w.json")
    assert said in str(caught.value)


def test_a_piece_whose_role_cannot_be_told_has_the_likeliest_and_says_so(tmp_path):
    [unsure] = read(tmp_path, HEAD + "scarf,scarf,red,,,,\n")
    assert unsure.is_unsure
    roles = unsure.check.roles
    assert roles[unsure.role] == max(roles.values())


# -- outfits -----------------------------------------------------------------------------------------------------------


def names(found):
    return {tuple(p.name for p in outfit.pieces) for outfit in found}


def test_what_makes_an_outfit():
    near, away = GarmentAnswer.NEAR_FACE, GarmentAnswer.AWAY
    owned = [
        piece("blouse", PieceKind.TOP, near),
        piece("tee", PieceKind.TOP, away),
        piece("jeans", PieceKind.BOTTOM, away),
        piece("skirt", PieceKind.BOTTOM, GarmentAnswer.LEAVE),
        piece("jacket", PieceKind.LAYER, away),
        piece("dress", PieceKind.DRESS, near),
        piece("shawl", PieceKind.SCARF, near),
        piece("bag", PieceKind.BAG, near),
    ]
    strict = {("blouse", "jeans"), ("blouse", "jeans", "jacket"), ("shawl", "tee", "jeans"), ("dress", "jacket")}
    assert names(outfits((), wished=owned)) == strict
    assert names(outfits(owned)) == strict | {
        ("blouse", "skirt"),
        ("blouse", "skirt", "jacket"),
        ("shawl", "tee", "skirt"),
    }
    loved = [replace(p, loved=True) if p.name == "skirt" else p for p in owned]
    assert names(outfits((), wished=loved)) == names(outfits(owned))


@pytest.mark.parametrize("contrast", ContrastLevel)
def test_contrast_comes_first(contrast):
    rng = np.random.default_rng(4)
    owned = [piece(f"top {k}", PieceKind.TOP, lab=(float(rng.uniform(15, 95)), 0, 0)) for k in range(12)]
    owned += [piece(f"bottom {k}", PieceKind.BOTTOM, lab=(float(rng.uniform(15, 95)), 0, 0)) for k in range(12)]
    low, high = STEPS[contrast]
    kept = names(outfits(owned, contrast))
    expected = {
        (top.name, bottom.name)
        for top in owned[:12]
        for bottom in owned[12:]
        if low <= abs(top.lightness - bottom.lightness) <= high
    }
    assert kept == expected
    assert 0 < len(kept) < 144


# -- gaps ------------------------------------------------------------------------------------------------------------


def test_a_part_without_a_piece_is_a_gap_and_names_colours_of_it():
    none = wardrobe_coverage(palette(), [])
    assert [part.section for part in none] == list(Section)
    assert all(part.is_gap and part.wanted for part in none)
    assert all(c in palette().colours for part in none for c in part.wanted)


def test_a_piece_of_a_colour_of_the_palette_covers_its_part_and_no_other_that_is_far():
    for colour in palette().of_part(Part.WHITE, Part.NEAR_FACE)[:6]:
        owned = [piece("it", PieceKind.TOP, lab=colour.lab)]
        covered = {part.section for part in wardrobe_coverage(palette(), owned) if not part.is_gap}
        assert (Section.WHITES if colour.part is Part.WHITE else Section.NEAR_FACE) in covered
        for part in wardrobe_coverage(palette(), owned):
            assert colour not in part.wanted


def test_trousers_are_no_colour_for_near_the_face():
    colour = palette().of_part(Part.NEAR_FACE)[0]
    for kind, gap in ((PieceKind.BOTTOM, True), (PieceKind.SCARF, False)):
        found = wardrobe_coverage(palette(), [piece("it", kind, lab=colour.lab)])
        assert next(part for part in found if part.section is Section.NEAR_FACE).is_gap is gap
    assert CLOSE > 0


def test_what_is_worn_away_from_the_face_is_no_colour_for_near_it():
    colour = palette().of_part(Part.NEAR_FACE)[0]
    for role, gap in ((GarmentAnswer.AWAY, True), (GarmentAnswer.NEAR_FACE, False)):
        found = wardrobe_coverage(palette(), [piece("it", PieceKind.SCARF, role, colour.lab)])
        assert next(part for part in found if part.section is Section.NEAR_FACE).is_gap is gap


def test_one_piece_is_read_as_a_files_are_and_says_every_fault():
    coat = piece_of({"name": "coat", "kind": "layer", "colour": "camel", "role": "", "loved": True}, palette(), known())
    assert (coat.kind, coat.loved, coat.check is not None) == (PieceKind.LAYER, True, True)
    with pytest.raises(TenterError, match=r"no kind of piece is called 'hat'.*; no colour 'bleen'"):
        piece_of({"name": "hat", "kind": "hat", "colour": "bleen"}, palette(), known())


# -- buying ------------------------------------------------------------------------------------------------------------


def wishes(rng, count):
    kinds = [PieceKind.TOP, PieceKind.BOTTOM, PieceKind.LAYER, PieceKind.DRESS, PieceKind.SCARF]
    roles = [GarmentAnswer.NEAR_FACE, GarmentAnswer.AWAY]
    return [
        piece(f"wish {k}", kinds[int(rng.integers(5))], roles[int(rng.integers(2))], price=float(rng.integers(10, 90)))
        for k in range(count)
    ]


OWNED = [
    piece("blouse", PieceKind.TOP),
    piece("jeans", PieceKind.BOTTOM, GarmentAnswer.AWAY),
    piece("coat", PieceKind.LAYER, GarmentAnswer.AWAY),
]


@pytest.mark.parametrize("seed", range(6))
def test_no_set_within_the_budget_makes_more_outfits(seed):
    wanted = wishes(np.random.default_rng(seed), 7)
    found = buy_list(OWNED, wanted, 150)
    had = len(outfits(OWNED))
    best = 0
    for size in range(len(wanted) + 1):
        for some in combinations(wanted, size):
            if sum(w.price for w in some) <= 150:
                best = max(best, len(outfits(OWNED, wished=some)) - had)
    assert found.had == had
    assert found.gained == best == found.bound
    assert found.is_exact
    assert found.spent == sum(p.piece.price for p in found.chosen) <= 150
    assert len(outfits(OWNED, wished=[p.piece for p in found.chosen])) - had == best


@pytest.mark.parametrize("count", [7, MOST_EXACT + 5])
def test_at_most_so_many_new_pieces_are_bought(count):
    wanted = wishes(np.random.default_rng(3), count)
    many, few = buy_list(OWNED, wanted, 150), buy_list(OWNED, wanted, 150, pieces=2)
    assert len(many.chosen) > 2 == len(few.chosen)
    assert 0 < few.gained <= many.gained
    if count <= MOST_EXACT:
        pairs = [pair for pair in combinations(wanted, 2) if sum(w.price for w in pair) <= 150]
        assert few.gained == max(len(outfits(OWNED, wished=pair)) for pair in pairs) - few.had
    with pytest.raises(TenterError, match="the largest number of new pieces is a whole number from 1"):
        buy_list(OWNED, wanted, 150, pieces=0)


@pytest.mark.parametrize("seed", range(4))
def test_with_many_wishes_the_bound_holds_and_the_budget_too(seed):
    wanted = wishes(np.random.default_rng(seed), MOST_EXACT + 5)
    many = buy_list(OWNED, wanted, 200)
    some = buy_list(OWNED, wanted[:MOST_EXACT], 200)
    assert many.spent <= 200
    assert len(outfits(OWNED, wished=[p.piece for p in many.chosen])) - many.had == many.gained
    assert many.bound >= many.gained > 0
    assert many.bound >= some.gained


def test_what_a_purchase_gains_by_itself_is_counted():
    wanted = wishes(np.random.default_rng(1), 6)
    found = buy_list(OWNED, wanted, 100)
    for purchase in found.every:
        assert purchase.gained == len(outfits(OWNED, wished=[purchase.piece])) - found.had
    assert [p.gained for p in found.every] == sorted((p.gained for p in found.every), reverse=True)


def test_nothing_is_bought_that_makes_no_outfit_or_costs_too_much():
    left = piece("left", PieceKind.TOP, GarmentAnswer.LEAVE, price=5.0)
    dear = piece("dear", PieceKind.TOP, GarmentAnswer.NEAR_FACE, price=500.0)
    found = buy_list(OWNED, [left, dear], 100)
    assert (found.chosen, found.gained, found.spent) == ((), 0, 0)


def test_a_larger_budget_never_makes_fewer_outfits():
    wanted = wishes(np.random.default_rng(9), 8)
    gained = [buy_list(OWNED, wanted, budget).gained for budget in range(0, 500, 50)]
    assert gained == sorted(gained)
    assert gained[0] == 0 < gained[-1]


def test_a_wish_without_a_price_and_a_budget_that_is_none_are_errors():
    with pytest.raises(TenterError, match="none was given for hat"):
        buy_list(OWNED, [piece("hat", PieceKind.TOP)], 100)
    with pytest.raises(TenterError, match="a budget is a finite number from 0"):
        buy_list(OWNED, [], -1)


# -- thirty days -------------------------------------------------------------------------------------------------------


def test_every_day_has_an_outfit_and_none_comes_again_before_all_came():
    owned = [*OWNED, piece("shirt", PieceKind.TOP), piece("skirt", PieceKind.BOTTOM, GarmentAnswer.LEAVE)]
    plan = rest_plan(owned)
    every = outfits(owned)
    assert len(plan.days) == 30
    assert plan.different == len(every)
    first = plan.days[: len(every)]
    assert len({id(outfit) for outfit in first}) == len(every)
    assert plan.unworn == ()


def test_pieces_take_turns():
    owned = [piece(f"top {k}", PieceKind.TOP) for k in range(4)] + [
        piece(f"skirt {k}", PieceKind.BOTTOM) for k in range(4)
    ]
    plan = rest_plan(owned, 8)
    worn = [sum(p in outfit.pieces for outfit in plan.days) for p in owned]
    assert set(worn) == {2}


def test_what_goes_with_nothing_is_named():
    lonely = piece("tee", PieceKind.TOP, GarmentAnswer.LEAVE)
    plan = rest_plan([*OWNED, lonely], 3)
    assert plan.unworn == (lonely,)
    empty = rest_plan([lonely], 3)
    assert (empty.days, empty.different, empty.unworn) == ((), 0, (lonely,))
    with pytest.raises(TenterError, match="the number of days is a whole number from 1 to 366"):
        rest_plan(OWNED, 0)
