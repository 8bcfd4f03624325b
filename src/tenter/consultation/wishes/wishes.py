"""What a client loves, hates and has to keep to: given to the making of a palette, and honoured there.

A wish is about a hue family or one colour. Common practice, no source: what is hated is left out however well it suits,
what is loved has its best version in, and what has to be worn is kept from the face by a colour of one's own.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tenter.arrays import BoolArray, FloatArray, steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import Lab
from tenter.consultation.cloths.hue_families import HueFamily, hue_family
from tenter.consultation.colours.names import base_name, known_names, typical_lab
from tenter.errors import TenterError, UnknownName
from tenter.given import given_text, given_whole, shown
from tenter.language import _

LARGEST_BUDGET = 24  # that a budget may name: more is no limit of any use
_REACH = 10.0  # ΔE00 around a colour that is not wanted, within which nothing is chosen


class Rule(StrEnum):
    """What a limit asks for."""

    NEVER = "never"  # not worn at all, for reasons of faith, culture or work
    MUST = "must"  # has to be worn, as a uniform is
    BUDGET = "budget"  # so many new pieces and no more: which colours come first is said
    NOTE = "note"  # to be kept in mind, and nothing follows from it


@dataclass(frozen=True, slots=True)
class Wish:
    """A hue family or a colour, Lab (3,) under D65/10°, with what the client said of it.

    Raises `TenterError` for anything else, metals included.
    """

    what: HueFamily | Lab
    sentence: str = ""

    def __post_init__(self) -> None:
        _check(self.what)
        given_text(self.sentence, _("what was said of a wish"), needed=False)

    @property
    def family(self) -> HueFamily:
        """The hue family that it is about, or that its colour is of."""
        return self.what if isinstance(self.what, HueFamily) else hue_family(self.what)

    @property
    def name(self) -> str:
        """What it is about, in a plain word."""
        return str(self.what) if isinstance(self.what, HueFamily) else base_name(np.array(self.what), self.family)


@dataclass(frozen=True, slots=True)
class Limit:
    """Something that a client has to keep to: why, in a sentence, and the hue family or colour that it is about.

    pieces: how many new ones a budget allows; 0 for every other limit. Raises `UnknownName` for another rule, and
    `TenterError` without a reason, for a budget outside 1 to 24, and for a rule that needs a hue or a colour and has
    none.
    """

    rule: Rule
    sentence: str
    what: HueFamily | Lab | None = None
    pieces: int = 0

    def __post_init__(self) -> None:
        if self.rule not in [*Rule]:
            raise UnknownName(_("rule of a limit"), self.rule, Rule)
        given_text(self.sentence, _("why a limit holds"))
        if self.rule is Rule.BUDGET:
            given_whole(self.pieces, _("the number of new pieces that a budget allows"), 1, LARGEST_BUDGET)
        if self.what is None and self.rule not in (Rule.BUDGET, Rule.NOTE):
            raise TenterError(
                _("a limit that says {rule} needs the hue family or the colour that it is about", rule=str(self.rule))
            )
        if self.what is not None:
            _check(self.what)


@dataclass(frozen=True, slots=True)
class Wishes:
    """What a client loves, hates and has to keep to; raises `TenterError` for what is both loved and hated."""

    loved: tuple[Wish, ...] = ()
    hated: tuple[Wish, ...] = ()
    limits: tuple[Limit, ...] = ()

    def __post_init__(self) -> None:
        both = {w.what for w in self.loved} & {w.what for w in self.hated}
        if both:
            raise TenterError(
                _("{wish} cannot be both loved and hated; keep one of the two", wish=shown(sorted(map(str, both))[0]))
            )

    @property
    def refused(self) -> tuple[Wish, ...]:
        """What the client hates or may not wear, with what was said of each."""
        never = (limit for limit in self.limits if limit.rule is Rule.NEVER)
        return (*self.hated, *(Wish(limit.what, limit.sentence) for limit in never if limit.what is not None))

    def unwanted(self, lab: FloatArray, families: Sequence[HueFamily]) -> BoolArray:
        """Tell which colours (n, 3) of hue families (n) may not be in the palette, shape (n,)."""
        unwanted = np.zeros(len(lab), dtype=bool)
        for wish in self.refused:
            unwanted |= is_about(wish.what, lab, families)
        return unwanted


NO_WISHES = Wishes()


def is_about(what: HueFamily | Lab, lab: FloatArray, families: Sequence[HueFamily]) -> BoolArray:
    """Tell which colours (n, 3), D65/10°, of hue families (n) are of a family, or look like a colour, shape (n,)."""
    if isinstance(what, HueFamily):
        return np.array([f is what for f in families], dtype=bool)
    return np.asarray(steady(np.asarray(delta_e_2000(lab, np.array(what)))) <= _REACH)


def wished(text: str) -> HueFamily | Lab:
    """Return the hue family or the colour, Lab under D65/10°, of a plain word such as "purple" or "coral".

    Raises `UnknownName` for a word that is neither, and `TenterError` for what is no text.
    """
    word = given_text(text, _("a hue family or a colour")).strip().lower()
    if word in [*HueFamily] and word != HueFamily.METAL:
        return HueFamily(word)
    typical = typical_lab(word)
    if typical is None:
        families = [str(f) for f in HueFamily if f is not HueFamily.METAL]
        raise UnknownName(_("hue family or colour"), text, [*families, *known_names()])
    L, a, b = (round(float(v), 1) for v in typical)
    return L, a, b


def _check(what: object) -> None:
    if isinstance(what, HueFamily) and what is not HueFamily.METAL:
        return
    if isinstance(what, tuple) and len(what) == 3 and np.all(np.isfinite(np.asarray(what, dtype=float))):
        return
    raise TenterError(
        _("a wish is about a hue family or a colour, L*, a* and b* as three numbers; got {what}", what=shown(what))
    )
