"""What became of a client's wishes in a palette, said again: of each love, hate and limit one answer.

Of a budget it says which colours to buy first. Common practice, no source: what is beside the face matters most, and a
dark neutral and a white go with all of it.
"""

from collections.abc import Iterable, Sequence

import numpy as np

from tenter.arrays import steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import Lab
from tenter.consultation.cloths.hue_families import HueFamily, hue_family
from tenter.consultation.colours.colours import Honoured, PaletteColour, Part
from tenter.consultation.wishes.wishes import Limit, Rule, Wish, Wishes, is_about
from tenter.numerals import listed

# What is said of a wish. Names of colours are one, or several as a list: {either} with "or", {order} in a row.
_VERSION_OF = "Your version of {wish}: {colour}."
_YOURS = "Your {wish}: {colours}."
_SUITS_NOT = "No {wish} suits you well. The nearest of yours is {colour}."
_CHOSEN = "Your consultant chose {colours} all the same."
_LEFT_OUT = "No {wish} is in your palette."
_SHIELDED = "You have to wear {wish}: put {either} between it and your face."
_BUY = "Buy in this order: {order}."
_FEWER = "Your palette has fewer colours than usual: too few others suit in place of those that you do not want."
HONOURED_WORDS = (_VERSION_OF, _YOURS, _SUITS_NOT, _CHOSEN, _LEFT_OUT, _SHIELDED, _BUY, _FEWER)
A_SCARF, NONE = "a scarf in one of your colours", "none"

_IN_TURN = (Part.NEAR_FACE, Part.NEUTRAL, Part.NEAR_FACE, Part.WHITE)  # what is bought, again and again


def honoured(
    wishes: Wishes, colours: Sequence[PaletteColour], borrowed: Sequence[PaletteColour] = (), places: int = 0
) -> tuple[Honoured, ...]:
    """Return what became of every wish, in words.

    borrowed: colours of the palette that are not counted. places: how many of those that are there were to be.
    """
    every = (*colours, *borrowed)
    found = [_loved(wish, colours) for wish in wishes.loved]
    found += [Honoured(wish.sentence, _left_out(wish, every)) for wish in wishes.hated]
    found += [_kept(limit, colours, every) for limit in wishes.limits]
    fewer = len(colours) < places and found
    return (*found, Honoured("", _FEWER)) if fewer else tuple(found)


def wished_away(wishes: Wishes, lab: Lab) -> tuple[str, ...]:
    """Return what the client said against a colour, D65/10°, if it is one that they hate or may not wear."""
    family = hue_family(lab)
    return tuple(wish.sentence for wish in wishes.refused if is_about(wish.what, np.array([lab]), [family])[0])


def first_to_buy(colours: Sequence[PaletteColour], pieces: int) -> tuple[PaletteColour, ...]:
    """Return the colours to buy first where only so many new pieces can be: the most useful first."""
    waiting = {part: [c for c in colours if c.part is part] for part in (*_IN_TURN, Part.ACCENT)}
    for part in (Part.NEAR_FACE, Part.WHITE, Part.ACCENT):
        waiting[part].sort(key=lambda c: (-steady(c.suitability), c.name))
    waiting[Part.NEUTRAL].sort(key=lambda c: (steady(c.lab[0]), c.name))  # the darkest stands in for black
    found: list[PaletteColour] = []
    while len(found) < pieces and any(waiting[part] for part in _IN_TURN):
        for part in _IN_TURN:
            found += waiting[part][:1]
            del waiting[part][:1]
    return tuple([*found, *waiting[Part.ACCENT]][:pieces])


def _loved(wish: Wish, colours: Sequence[PaletteColour]) -> Honoured:
    own = [c for c in colours if c.hue_family is wish.family]
    if not own:
        nearest = _nearest(wish.what, colours)
        return Honoured(wish.sentence, _SUITS_NOT.format(wish=wish.name, colour=nearest))
    if isinstance(wish.what, HueFamily):
        return Honoured(wish.sentence, _YOURS.format(wish=wish.name, colours=listed([c.name for c in own])))
    return Honoured(wish.sentence, _VERSION_OF.format(wish=wish.name, colour=_nearest(wish.what, own)))


def _left_out(wish: Wish, every: Sequence[PaletteColour]) -> str:
    """Return that a colour is left out; what the consultant chose all the same is named."""
    lab = np.array([c.lab for c in every]).reshape(-1, 3)
    about = is_about(wish.what, lab, [c.hue_family for c in every])
    kept = [c.name for c, is_it in zip(every, about, strict=True) if is_it]
    if kept:
        return _CHOSEN.format(colours=listed(kept))
    return _LEFT_OUT.format(wish=wish.name)


def _kept(limit: Limit, colours: Sequence[PaletteColour], every: Sequence[PaletteColour]) -> Honoured:
    if limit.rule is Rule.BUDGET:
        return Honoured(limit.sentence, _bought_first(first_to_buy(colours, limit.pieces)))
    if limit.what is None:
        return Honoured(limit.sentence, "")
    wish = Wish(limit.what)
    if limit.rule is Rule.NEVER:
        return Honoured(limit.sentence, _left_out(wish, every))
    between = [c for c in colours if c.part is Part.NEAR_FACE] or list(colours)
    best = max(between, key=lambda c: (steady(c.suitability), c.name), default=None)
    white = next((c.name for c in colours if c.part is Part.WHITE), "")
    shield = _either([n for n in (best.name if best else "", white) if n])
    return Honoured(limit.sentence, _SHIELDED.format(wish=wish.name, either=shield))


def _bought_first(first: Sequence[PaletteColour]) -> str:
    if not first:
        return ""
    return _BUY.format(order=", ".join(c.name for c in first))


def _either(names: Iterable[str]) -> str:
    return listed(list(names), "or") or A_SCARF


def _nearest(what: HueFamily | Lab, colours: Sequence[PaletteColour]) -> str:
    if not colours:
        return NONE
    if isinstance(what, HueFamily):
        what = next(iter([c.lab for c in colours if c.hue_family is what]), colours[0].lab)
    apart = steady(np.asarray(delta_e_2000(np.array([c.lab for c in colours]), np.array(what))))
    return colours[int(np.argmin(apart))].name
