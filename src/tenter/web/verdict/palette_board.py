"""The palette's page: colours on rails as a shop hangs them, the staples, and what can be done with one of them."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from tenter.colorimetry.measurement import Colours, Conditions
from tenter.colorimetry.spaces import Lab
from tenter.consultation.cloths.hue_families import hue_family
from tenter.consultation.colours.colours import PaletteColour, Part, PersonalPalette
from tenter.consultation.colours.names import colour_names
from tenter.consultation.colours.naming import distinct_names
from tenter.consultation.personal.edits import ChosenColour, alternatives, colour_key
from tenter.consultation.personal.hanging import rail
from tenter.consultation.personal.suitability import Known
from tenter.numerals import whole_percent
from tenter.report.client_paper.where import what_was_asked
from tenter.report.words import terms
from tenter.report.words.palette_words import basis_words, part_words, staple_words, worn_instead
from tenter.report.words.swatches import plain_words

_RAILS = (
    gettext_noop("Whites"),
    gettext_noop("Neutrals"),
    gettext_noop("Reds and pinks"),
    gettext_noop("Yellows and oranges"),
    gettext_noop("Greens"),
    gettext_noop("Teals"),
    gettext_noop("Blues"),
    gettext_noop("Purples"),
    gettext_noop("Others"),
)


@dataclass(frozen=True, slots=True)
class Hung:
    """One colour as it hangs. sign: how it is known, by the word of its mark."""

    key: str
    name: str
    title: str
    hex: str
    words: str
    sign: str
    known: str
    part: str
    answer: str
    suits: str
    near: bool
    shown_truly: bool


@dataclass(frozen=True, slots=True)
class Rail:
    """Colours that hang side by side."""

    title: str
    colours: tuple[Hung, ...]


@dataclass(frozen=True, slots=True)
class Choosable:
    """A colour that may be chosen, with its numbers as a form sends them."""

    lab: str
    name: str
    hex: str


@dataclass(frozen=True, slots=True)
class BoardStaple:
    """A colour that every shop sells, and what this client does about it."""

    name: str
    hex: str
    answer: str


@dataclass(frozen=True, slots=True)
class Board:
    """Everything that hangs."""

    count: int
    rails: tuple[Rail, ...]
    metals: tuple[Hung, ...]
    borrowed: tuple[Hung, ...]
    staples: tuple[BoardStaple, ...]
    missing: tuple[str, ...]
    asked: tuple[str, ...]


def board(palette: PersonalPalette) -> Board:
    """Return a palette as its page shows it."""
    hung = _hung(palette.colours, palette.conditions)
    rails: dict[int, list[Hung]] = {}
    for colour, shown in zip(palette.colours, hung, strict=True):
        rails.setdefault(rail(colour), []).append(shown)
    return Board(
        count=len(hung),
        rails=tuple(Rail(_(_RAILS[min(at, len(_RAILS) - 1)]), tuple(rails[at])) for at in sorted(rails)),
        metals=_hung(palette.metals, palette.conditions),
        borrowed=_hung(palette.borrowed, palette.conditions),
        staples=_staples(palette),
        missing=worn_instead(palette.missing),
        asked=what_was_asked(palette.honoured),
    )


def _hung(colours: Sequence[PaletteColour], conditions: Conditions) -> tuple[Hung, ...]:
    if not colours:
        return ()
    screens, truly = Colours(np.array([c.lab for c in colours]), conditions).on_screen()
    return tuple(
        Hung(
            key=colour_key(colour),
            name=terms.colour(colour.name),
            title=terms.title(colour.title),
            hex=screen,
            words=plain_words(np.array(colour.lab), colour.hue_family),
            sign="chosen" if colour.chosen else str(colour.basis),
            known=basis_words(colour),
            part=part_words(colour),
            answer=terms.what_was_seen(colour.answer),
            suits=_suits(colour),
            near=colour.part is Part.NEAR_FACE,
            shown_truly=in_gamut,
        )
        for colour, screen, in_gamut in zip(colours, screens, truly, strict=True)
    )


def _suits(colour: PaletteColour) -> str:
    share, low, high = map(whole_percent, (colour.suitability, *colour.interval))
    return _("%(share)s (%(low)s to %(high)s)") % {"share": share, "low": low, "high": high}


def _staples(palette: PersonalPalette) -> tuple[BoardStaple, ...]:
    if not palette.staples:
        return ()
    screens, _ = Colours(np.array([s.lab for s in palette.staples]), palette.conditions).on_screen()
    return tuple(
        BoardStaple(terms.colour(s.name), screen, staple_words(s, "the"))
        for s, screen in zip(palette.staples, screens, strict=True)
    )


def every(hung: Board) -> tuple[Hung, ...]:
    """Return every colour that hangs, in the order of the page."""
    return (*(c for r in hung.rails for c in r.colours), *hung.metals, *hung.borrowed)


def found(palette: PersonalPalette, key: str) -> PaletteColour | None:
    """Return the colour that a key names, or None: it may have been dropped meanwhile."""
    every = palette.every
    return next((c for c in every if colour_key(c) == key), None)


def neighbours(palette: PersonalPalette, colour: PaletteColour) -> tuple[str | None, str | None]:
    """Return before which colour another hangs once it is moved one place back, and one place on; None for the ends."""
    rails = [rail(c) for c in palette.colours]
    keys = [colour_key(c) for c in palette.colours]
    if colour_key(colour) not in keys:
        return None, None
    at = keys.index(colour_key(colour))
    own = [i for i, on in enumerate(rails) if on == rails[at]]
    place = own.index(at)
    earlier = keys[own[place - 1]] if place else None
    if place == len(own) - 1:
        return earlier, None
    behind = own[place + 1] + 1
    return earlier, keys[behind] if behind < len(keys) else ""


def swaps(palette: PersonalPalette, colour: PaletteColour, known: Known) -> tuple[Choosable, ...]:
    """Return what may hang in a colour's place, the likeliest to suit first."""
    return choosable(alternatives(palette, colour, known), palette)


def choosable(labs: Sequence[Lab], palette: PersonalPalette) -> tuple[Choosable, ...]:
    """Return colours as a form offers them, none by a name that hangs."""
    if not labs:
        return ()
    screens, _ = Colours(np.array(labs), palette.conditions).on_screen()
    offered = colour_names(np.array(labs), [hue_family(lab) for lab in labs])
    names = distinct_names(offered, [c.name for c in palette.colours])
    return tuple(
        Choosable(ChosenColour(lab).key, terms.colour(name), screen)
        for lab, name, screen in zip(labs, names, screens, strict=True)
    )
