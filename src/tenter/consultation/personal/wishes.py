"""What a client loves, hates and has to keep to: given to the making of a palette, honoured there, and said again.

A wish is about a hue family or one colour. Common practice, no source: what is hated is left out however well it suits,
what is loved has its best version in, and what has to be worn is kept from the face by a colour of one's own.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tenter.arrays import BoolArray, FloatArray, steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.consultation.hue_families import HueFamily, hue_family
from tenter.consultation.personal.colours import Honoured, Lab, PaletteColour, Part
from tenter.consultation.personal.names import base_name, known_names, typical_lab
from tenter.errors import TenterError, UnknownName
from tenter.given import given_text, shown

_REACH = 10.0  # ΔE00 around a colour that is not wanted, within which nothing is chosen


class Rule(StrEnum):
    """What a limit asks for."""

    NEVER = "never"  # not worn at all, for reasons of faith, culture or work
    MUST = "must"  # has to be worn, as a uniform is
    NOTE = "note"  # to be kept in mind, as a budget is


@dataclass(frozen=True, slots=True)
class Wish:
    """A hue family or a colour, Lab under D65/10°, with what the client said of it."""

    what: HueFamily | Lab
    sentence: str = ""

    def __post_init__(self) -> None:
        _check(self.what)
        given_text(self.sentence, "what was said of a wish", needed=False)

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
    """Something that a client has to keep to: why, in a sentence, and the hue family or colour that it is about."""

    rule: Rule
    sentence: str
    what: HueFamily | Lab | None = None

    def __post_init__(self) -> None:
        if self.rule not in [*Rule]:
            raise UnknownName("rule of a limit", self.rule, Rule)
        given_text(self.sentence, "why a limit holds")
        if self.what is None and self.rule is not Rule.NOTE:
            raise TenterError(f"a limit that says {self.rule!s} needs the hue family or the colour that it is about")
        if self.what is not None:
            _check(self.what)


@dataclass(frozen=True, slots=True)
class Wishes:
    """What a client loves, hates and has to keep to."""

    loved: tuple[Wish, ...] = ()
    hated: tuple[Wish, ...] = ()
    limits: tuple[Limit, ...] = ()

    def __post_init__(self) -> None:
        both = {w.what for w in self.loved} & {w.what for w in self.hated}
        if both:
            raise TenterError(f"{shown(sorted(map(str, both))[0])} cannot be both loved and hated; keep one of the two")

    def unwanted(self, lab: FloatArray, families: Sequence[HueFamily]) -> BoolArray:
        """Tell which colours (n, 3) of hue families (n) may not be in the palette, shape (n,)."""
        never = (limit.what for limit in self.limits if limit.rule is Rule.NEVER and limit.what is not None)
        unwanted = np.zeros(len(lab), dtype=bool)
        for what in (*(w.what for w in self.hated), *never):
            if isinstance(what, HueFamily):
                unwanted |= np.array([f is what for f in families], dtype=bool)
            else:
                unwanted |= steady(np.asarray(delta_e_2000(lab, np.array(what)))) <= _REACH
        return unwanted


NO_WISHES = Wishes()


def wished(text: str) -> HueFamily | Lab:
    """Return the hue family or the colour of a plain word, such as "purple" or "coral"."""
    word = given_text(text, "a hue family or a colour").strip().lower()
    if word in [*HueFamily] and word != HueFamily.METAL:
        return HueFamily(word)
    typical = typical_lab(word)
    if typical is None:
        families = [str(f) for f in HueFamily if f is not HueFamily.METAL]
        raise UnknownName("hue family or colour", text, [*families, *known_names()])
    L, a, b = (round(float(v), 1) for v in typical)
    return L, a, b


def _check(what: object) -> None:
    if isinstance(what, HueFamily) and what is not HueFamily.METAL:
        return
    if isinstance(what, tuple) and len(what) == 3 and np.all(np.isfinite(np.asarray(what, dtype=float))):
        return
    raise TenterError(f"a wish is about a hue family or a colour, L*, a* and b* as three numbers; got {shown(what)}")


# -- said again --------------------------------------------------------------------------------------------------------


def honoured(wishes: Wishes, colours: Sequence[PaletteColour]) -> tuple[Honoured, ...]:
    """Return what became of every wish, in words."""
    found = [_loved(wish, colours) for wish in wishes.loved]
    found += [Honoured(wish.sentence, f"No {wish.name} is in your palette.") for wish in wishes.hated]
    return (*found, *(_kept(limit, colours) for limit in wishes.limits))


def _loved(wish: Wish, colours: Sequence[PaletteColour]) -> Honoured:
    own = [c for c in colours if c.hue_family is wish.family]
    if not own:
        nearest = _nearest(wish.what, colours)
        return Honoured(wish.sentence, f"No {wish.name} suits you well. The nearest of yours is {nearest}.")
    if isinstance(wish.what, HueFamily):
        return Honoured(wish.sentence, f"Your {wish.name}: {_listed(c.name for c in own)}.")
    return Honoured(wish.sentence, f"Your version of {wish.name}: {_nearest(wish.what, own)}.")


def _kept(limit: Limit, colours: Sequence[PaletteColour]) -> Honoured:
    if limit.what is None:
        return Honoured(limit.sentence, "")
    wish = Wish(limit.what)
    if limit.rule is Rule.NEVER:
        return Honoured(limit.sentence, f"No {wish.name} is in your palette.")
    between = [c for c in colours if c.part is Part.NEAR_FACE] or list(colours)
    best = max(between, key=lambda c: (steady(c.suitability), c.name), default=None)
    white = next((c.name for c in colours if c.part is Part.WHITE), "")
    shield = _listed(n for n in (best.name if best else "", white) if n)
    return Honoured(limit.sentence, f"You have to wear {wish.name}: put {shield} between it and your face.")


def _nearest(what: HueFamily | Lab, colours: Sequence[PaletteColour]) -> str:
    if not colours:
        return "none"
    if isinstance(what, HueFamily):
        what = next(iter([c.lab for c in colours if c.hue_family is what]), colours[0].lab)
    apart = steady(np.asarray(delta_e_2000(np.array([c.lab for c in colours]), np.array(what))))
    return colours[int(np.argmin(apart))].name


def _listed(names: Iterable[str]) -> str:
    every = list(names)
    return every[0] if len(every) == 1 else f"{', '.join(every[:-1])} and {every[-1]}"
