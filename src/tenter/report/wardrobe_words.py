"""What is said of a wardrobe: where pieces are worn, what is missing, what a purchase adds, thirty days without one.

The consultant reads it, on the page and at the command line: the client is *they*.
"""

from collections.abc import Sequence

from tenter.consultation.garments.buying import BuyList, Purchase
from tenter.consultation.garments.gaps import Coverage
from tenter.consultation.garments.outfits import Outfit
from tenter.consultation.garments.resting import RestPlan
from tenter.consultation.garments.role import Answer
from tenter.consultation.garments.wardrobe import Kind, Piece
from tenter.numerals import how_many, listed
from tenter.report.wording import sentence

_WORN = {
    Answer.NEAR_FACE: "near the face",
    Answer.AWAY: "away from the face",
    Answer.SMALL: "in small areas",
    Answer.LEAVE: "well away from the face",
}
_MOST_NAMED, _FIRST_NAMED = 12, 8
NOTHING_THROWN = "Nothing needs to be thrown away. What they have comes first."


def outfit_words(outfit: Outfit) -> str:
    """Return an outfit as its pieces' names."""
    return listed([piece.name for piece in outfit.pieces])


def piece_words(piece: Piece) -> str:
    """Return where a piece is worn, and with what, in a sentence or two."""
    said = f"{sentence(piece.name)}: {_WORN[piece.role]}{', or so it seems' if piece.is_unsure else ''}."
    if not piece.kind.is_at_face:
        said += " It is far from the face: they wear it as they like." if piece.role is Answer.LEAVE else ""
    elif piece.role is not Answer.NEAR_FACE and piece.check and piece.check.between:
        between = listed([colour.name for colour in piece.check.between], "or")
        loved = "They love it: put" if piece.loved else "Put"
        said += f" {loved} {between} between it and the face."
    if piece.is_unsure:
        said += " Photograph it beside a colour card to be sure."
    return said


def cost_words(piece: Piece) -> str:
    """Return what a piece has cost for each time it was worn; empty where that is not known."""
    cost = piece.cost_per_wear
    return "" if cost is None else f"{cost:.2f} a wear so far."


def gap_words(covered: Coverage) -> str:
    """Return what covers a part of the palette, or what would."""
    wanted = listed([colour.name for colour in covered.wanted], "or")
    if covered.is_gap:
        return f"No {covered.section} yet. Theirs are {wanted}."
    pieces = listed([piece.name for piece in covered.pieces])
    return f"{sentence(covered.section)}: {pieces}."


def purchase_words(purchase: Purchase) -> str:
    """Return what a purchase adds by itself."""
    gained = "one more outfit" if purchase.gained == 1 else f"{purchase.gained or 'no'} more outfits"
    unsure = " Its colour is not known well enough to be sure." if purchase.piece.is_unsure else ""
    where = _WORN[purchase.piece.role]
    return f"{sentence(purchase.piece.name)} ({purchase.piece.price:g}), worn {where}: {gained}.{unsure}"


def buy_words(found: BuyList) -> tuple[str, ...]:
    """Return what to buy within a budget, and how good that is."""
    if not found.chosen:
        return (f"{_nothing_to_buy(found)} They have {_outfits(found.had)} {'already' if found.had else 'yet'}.",)
    names = listed([purchase.piece.name for purchase in found.chosen])
    lines = [
        f"Buy {names}: {found.spent:g} of {found.budget:g}.",
        f"They have {_outfits(found.had)} now, and {found.gained} more with {_it(found.chosen)}.",
    ]
    if found.is_exact:
        lines.append("No other choice within the budget makes more.")
    else:
        lines.append(f"Too many wishes came to try every choice. None makes more than {found.bound} new ones.")
    return tuple(lines)


def _nothing_to_buy(found: BuyList) -> str:
    cheapest = min((purchase.piece for purchase in found.every), key=lambda piece: piece.price or 0.0)
    if (cheapest.price or 0.0) > found.budget:
        return f"Every wish costs more than {found.budget:g}: the cheapest is {cheapest.name}, at {cheapest.price:g}."
    return f"Nothing on the list makes a new outfit within {found.budget:g}."


def count_words(count: int, owned: Sequence[Piece]) -> str:
    """Return how many outfits what is owned makes, and what would make one where there is none."""
    return f"{sentence(_outfits(count))} from what they have." if count else none_words(owned)


def none_words(owned: Sequence[Piece]) -> str:
    """Return why no pieces make an outfit, and what to do."""
    kinds = {piece.kind for piece in owned}
    at_face = [piece for piece in owned if piece.kind in (Kind.TOP, Kind.DRESS)]
    if not at_face or (Kind.DRESS not in kinds and Kind.BOTTOM not in kinds):
        return "No outfits yet. An outfit is a top and a bottom, or a dress with a layer over it or a scarf."
    if any(piece.role is Answer.NEAR_FACE for piece in at_face):
        return "No outfits yet: nothing goes with what they wear near the face, or not in their contrast."
    return (
        "No two pieces make an outfit by their palette yet. A scarf of one of their best colours goes between any "
        "top and the face."
    )


def rest_words(plan: RestPlan) -> tuple[str, ...]:
    """Return what thirty days without a purchase come to."""
    if not plan.days:
        return (none_words(plan.unworn),)
    days = len(plan.days)
    lines = [f"{how_many(days, 'day')} without buying anything, in {_outfits(plan.different)}."]
    if plan.different < days:
        after = "one day" if plan.different == 1 else f"{plan.different} days"
        lines.append(f"After {after} they begin again, the least worn first.")
    if plan.unworn:
        lines.append(f"In no outfit: {_some(plan.unworn)}. They keep what they love. {NOTHING_THROWN}")
    return tuple(lines)


def _some(pieces: Sequence[Piece]) -> str:
    """Return the pieces' names, of many the first of them and how many more there are."""
    names = [piece.name for piece in pieces]
    if len(names) <= _MOST_NAMED:
        return listed(names)
    return listed([*names[:_FIRST_NAMED], f"{len(names) - _FIRST_NAMED} more"])


def _outfits(count: int) -> str:
    return "one outfit" if count == 1 else f"{count or 'no'} outfits"


def _it(chosen: Sequence[Purchase]) -> str:
    return "this one" if len(chosen) == 1 else "these"
