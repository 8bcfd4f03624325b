"""What is said of a wardrobe: where pieces are worn, what is missing, what a purchase adds, thirty days without one.

The consultant reads it, on the page and at the command line: the client is *they*.
"""

from collections.abc import Sequence

from tenter.consultation.colours.colours import PaletteColour
from tenter.consultation.garments.buying import BuyList, Purchase
from tenter.consultation.garments.gaps import PartCoverage
from tenter.consultation.garments.outfits import Outfit
from tenter.consultation.garments.resting import RestPlan
from tenter.consultation.garments.role import GarmentAnswer
from tenter.consultation.garments.wardrobe import Piece, PieceKind
from tenter.language import N_, _, all_of, as_written, local_number, ngettext, one_of
from tenter.report.words import terms
from tenter.report.words.wording import sentence

_WORN = {
    GarmentAnswer.NEAR_FACE: N_("near the face"),
    GarmentAnswer.AWAY: N_("away from the face"),
    GarmentAnswer.SMALL: N_("in small areas"),
    GarmentAnswer.LEAVE: N_("well away from the face"),
}
# Pieces in no outfit: all are named up to the first number, else as many as the second.
_MOST_NAMED, _FIRST_NAMED = 12, 8
NOTHING_THROWN = N_("Nothing needs to be thrown away. What they have comes first.")
BY_ITSELF = N_("By itself:")


def nothing_thrown_words() -> str:
    """Return that what the client has comes first."""
    return _(NOTHING_THROWN)


def outfit_words(outfit: Outfit) -> str:
    """Return an outfit as its pieces' names."""
    return all_of([piece.name for piece in outfit.pieces])


def piece_words(piece: Piece) -> str:
    """Return where a piece is worn, and with what, in a sentence or two."""
    values = {"piece": sentence(piece.name), "where": _(_WORN[piece.role])}
    said = [_("{piece}: {where}, or so it seems.", **values) if piece.is_unsure else _("{piece}: {where}.", **values)]
    if not piece.kind.is_at_face:
        said += [_("It is far from the face, so it may be any colour.")] if piece.role is GarmentAnswer.LEAVE else []
    elif piece.role is not GarmentAnswer.NEAR_FACE and piece.check and piece.check.between:
        said.append(_between(piece, piece.check.between))
    if piece.is_unsure:
        said.append(_("Photograph it beside a colour card to be sure."))
    return " ".join(said)


def _between(piece: Piece, colours: Sequence[PaletteColour]) -> str:
    if piece.loved:
        return _("They love it: put {colours} between it and the face.", colours=_any_of(colours))
    return _("Put {colours} between it and the face.", colours=_any_of(colours))


def cost_words(piece: Piece) -> str:
    """Return what a piece has cost for each time it was worn; empty where that is not known."""
    cost = piece.cost_per_wear
    return "" if cost is None else _("{cost} a wear so far.", cost=local_number(cost, 2))


def gap_words(covered: PartCoverage) -> str:
    """Return what covers a part of the palette, or what would."""
    part = terms.part(covered.section)
    if covered.is_gap:
        return _("No {part} yet. Theirs are {colours}.", part=part, colours=_any_of(covered.wanted))
    pieces = all_of([piece.name for piece in covered.pieces])
    return _("{part}: {pieces}.", part=sentence(part), pieces=pieces)


def purchase_words(purchase: Purchase) -> str:
    """Return what a purchase adds by itself."""
    piece, count = purchase.piece, purchase.gained
    said = _(
        "{piece} ({price}), worn {where}: {gained}.",
        piece=sentence(piece.name),
        price=_money(piece.price),
        where=_(_WORN[piece.role]),
        gained=ngettext("one more outfit", "{count} more outfits", count) if count else _("no more outfits"),
    )
    return f"{said} {_('Its colour is not known well enough to be sure.')}" if piece.is_unsure else said


def buy_words(found: BuyList) -> tuple[str, ...]:
    """Return what to buy within a budget, and how good that is."""
    if not found.chosen:
        outfits = _outfits(found.had)
        had = _("They have {outfits} already.", outfits=outfits) if found.had else _("They have no outfits yet.")
        return (f"{_nothing_to_buy(found)} {had}",)
    names = all_of([purchase.piece.name for purchase in found.chosen])
    values = {"outfits": _outfits(found.had), "gained": found.gained}
    lines = [
        _("Buy {pieces}: {spent} of {budget}.", pieces=names, spent=_money(found.spent), budget=_money(found.budget)),
        _("They have {outfits} now, and {gained} more with this one.", **values)
        if len(found.chosen) == 1
        else _("They have {outfits} now, and {gained} more with these.", **values),
    ]
    if found.is_exact:
        lines.append(_("No other choice within the budget makes more."))
    else:
        lines.append(
            _("Too many wishes came to try every choice. None makes more than {bound} new ones.", bound=found.bound)
        )
    return tuple(lines)


def _nothing_to_buy(found: BuyList) -> str:
    cheapest, budget = min((p.piece for p in found.every), key=lambda piece: piece.price or 0.0), _money(found.budget)
    if (cheapest.price or 0.0) > found.budget:
        return _(
            "Every wish costs more than {budget}: the cheapest is {piece}, at {price}.",
            budget=budget,
            piece=cheapest.name,
            price=_money(cheapest.price),
        )
    return _("Nothing on the list makes a new outfit within {budget}.", budget=budget)


def count_words(count: int, owned: Sequence[Piece]) -> str:
    """Return how many outfits what is owned makes, and what would make one where there is none."""
    return sentence(_("{outfits} from what they have.", outfits=_outfits(count))) if count else none_words(owned)


def none_words(owned: Sequence[Piece]) -> str:
    """Return why no pieces make an outfit, and what to do."""
    kinds = {piece.kind for piece in owned}
    at_face = [piece for piece in owned if piece.kind in (PieceKind.TOP, PieceKind.DRESS)]
    if not at_face or (PieceKind.DRESS not in kinds and PieceKind.BOTTOM not in kinds):
        return _("No outfits yet. An outfit is a top and a bottom, or a dress with a layer over it or a scarf.")
    if any(piece.role is GarmentAnswer.NEAR_FACE for piece in at_face):
        return _("No outfits yet: nothing goes with what they wear near the face, or not in their contrast.")
    return _(
        "By their palette, no two pieces make an outfit yet. A scarf of one of their best colours goes between any "
        "top and the face."
    )


def rest_words(plan: RestPlan) -> tuple[str, ...]:
    """Return what thirty days without a purchase come to."""
    if not plan.days:
        return (none_words(plan.unworn),)
    days = len(plan.days)
    lines = [
        ngettext(
            "{count} day without buying anything, in {outfits}.",
            "{count} days without buying anything, in {outfits}.",
            days,
            outfits=_outfits(plan.different),
        )
    ]
    if plan.different < days:
        lines.append(
            ngettext(
                "After one day the outfits repeat, least worn first.",
                "After {count} days the outfits repeat, least worn first.",
                plan.different,
            )
        )
    if plan.unworn:
        unworn = _("In no outfit: {pieces}. They keep what they love.", pieces=_some(plan.unworn))
        lines.append(f"{unworn} {nothing_thrown_words()}")
    return tuple(lines)


def _some(pieces: Sequence[Piece]) -> str:
    """Return the pieces' names, of many the first of them and how many more there are."""
    names = [piece.name for piece in pieces]
    if len(names) <= _MOST_NAMED:
        return all_of(names)
    return all_of([*names[:_FIRST_NAMED], ngettext("{count} more", "{count} more", len(names) - _FIRST_NAMED)])


def _any_of(colours: Sequence[PaletteColour]) -> str:
    return one_of([terms.colour(colour.name) for colour in colours])


def _outfits(count: int) -> str:
    return ngettext("one outfit", "{count} outfits", count) if count else _("no outfits")


def _money(amount: float | None) -> str:
    return as_written(f"{amount:g}")
