"""What the consultant changes of a palette: drop, swap, add, put in another order. Kept as edits, in their order.

A palette is made anew whenever more is seen, and the edits are brought onto it each time: what the consultant chose
stays chosen, and a colour that the palette no longer has is not dropped a second time.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np

from tenter.arrays import steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import Lab
from tenter.consultation.cloths.hue_families import HueFamily, hue_family
from tenter.consultation.colours.borders import NEAR_FROM
from tenter.consultation.colours.candidates import candidates
from tenter.consultation.colours.colours import Basis, PaletteColour, Part, PersonalPalette, Suited
from tenter.consultation.colours.names import colour_names
from tenter.consultation.colours.naming import distinct_names
from tenter.consultation.findings.named import as_named
from tenter.consultation.findings.verdict import Verdict
from tenter.consultation.palette.palette import palette
from tenter.consultation.personal.choosing import side_of
from tenter.consultation.personal.hanging import as_hung
from tenter.consultation.personal.making import known_of, personal_palette
from tenter.consultation.personal.missing_hues import missing_hues
from tenter.consultation.personal.staples import staples
from tenter.consultation.personal.suitability import Known
from tenter.consultation.personal.tried import Tried, nothing_tried, tried
from tenter.consultation.reading.reading import Reading
from tenter.consultation.wishes.honouring import honoured
from tenter.consultation.wishes.wishes import NO_WISHES, Wishes
from tenter.errors import TenterError, UnknownName
from tenter.given import given_number, given_text
from tenter.language import _, as_typed

PARTS = (Part.NEAR_FACE, Part.ACCENT, Part.NEUTRAL, Part.WHITE)  # what a chosen colour may be for
_LONGEST_NAME = 40  # letters: a line of a swatch
# ΔE00: how far an alternative may lie, of the same hue family or of another, and how far from every other colour.
_AROUND, _NEXT_DOOR, _APART = 25.0, 8.0, 4.0
_BOUNDS = ((0.0, 100.0), (-128.0, 127.0), (-128.0, 127.0))


@dataclass(frozen=True, slots=True)
class ChosenColour:
    """A colour that the consultant chose: CIELAB under D65/10°, with a name of their own and the cloth, if any.

    Raises `TenterError` unless it is three finite numbers, L* 0 to 100, a* and b* -128 to 127.
    """

    lab: Lab
    name: str = ""
    cloth: str = ""

    def __post_init__(self) -> None:
        if not isinstance(self.lab, list | tuple) or len(self.lab) != 3:
            raise TenterError(_("a colour is three numbers, L*, a* and b*; got {lab}", lab=as_typed(self.lab)))
        bounded = zip("Lab", self.lab, _BOUNDS, strict=True)
        lab = tuple(
            given_number(value, _("{axis}* of a chosen colour", axis=axis), *ends) for axis, value, ends in bounded
        )
        object.__setattr__(self, "lab", lab)
        object.__setattr__(
            self, "name", given_text(self.name, _("a colour's name"), needed=False).strip()[:_LONGEST_NAME]
        )
        given_text(self.cloth, _("a cloth's id"), needed=False)

    @property
    def key(self) -> str:
        """What the colour is known by among those of a palette."""
        return _key(self.lab, self.cloth)


@dataclass(frozen=True, slots=True)
class Drop:
    """A colour is taken off the palette."""

    colour: str


@dataclass(frozen=True, slots=True)
class Swap:
    """A colour is taken off, and another hangs in its place, for the same part."""

    colour: str
    chosen: ChosenColour


@dataclass(frozen=True, slots=True)
class Add:
    """A colour is added for a part: one of `PARTS`, or raises `UnknownName`."""

    chosen: ChosenColour
    part: Part = Part.ACCENT

    def __post_init__(self) -> None:
        if self.part not in PARTS:
            raise UnknownName(_("part of a chosen colour"), self.part, PARTS)


@dataclass(frozen=True, slots=True)
class Move:
    """A colour hangs before another, or last where none is named."""

    colour: str
    before: str = ""


Edit: TypeAlias = Drop | Swap | Add | Move


def colour_key(colour: PaletteColour) -> str:
    """Return what a colour is known by among those of a palette: its cloth, or its numbers to a tenth."""
    return _key(colour.lab, colour.cloth or "")


def _key(lab: Lab, cloth: str) -> str:
    return cloth or " ".join(f"{steady(round(value, 1)) + 0.0:.1f}" for value in lab)


# -- on a palette ------------------------------------------------------------------------------------------------------


def edited(
    made: PersonalPalette,
    edits: Sequence[Edit],
    known: Known,
    trial: Tried | None = None,
    wishes: Wishes = NO_WISHES,
) -> PersonalPalette:
    """Return a palette with the edits brought onto it, in order; what is said of hues, staples and wishes follows.

    Parameters
    ----------
    known, trial, wishes
        What the palette was made of: how well a chosen colour suits is said of it too, and it is marked as chosen.
    """
    if not edits:
        return made
    shown = trial or nothing_tried()
    bench = _Bench(made, known, shown)
    for edit in edits:
        bench.take(edit)
    colours = tuple(bench.colours)
    return replace(
        made,
        colours=colours,
        metals=tuple(bench.metals),
        borrowed=tuple(bench.borrowed),
        missing=missing_hues(known, colours, side_of(known)),
        staples=staples(known, colours, shown, wishes),
        honoured=honoured(wishes, colours, bench.borrowed),
    )


def edited_palette(
    sitting: Reading, verdict: Verdict, edits: Sequence[Edit], wishes: Wishes = NO_WISHES
) -> PersonalPalette:
    """Return the personal palette of a sitting with the consultant's edits, by the client's wishes."""
    made, known, trial = made_of(sitting, verdict, wishes)
    return edited(made, edits, known, trial, wishes)


def made_of(sitting: Reading, verdict: Verdict, wishes: Wishes = NO_WISHES) -> tuple[PersonalPalette, Known, Tried]:
    """Return the palette of a sitting before any edit, with what is known of the client and what was tried."""
    worn = palette(sitting, as_named(sitting, verdict) or verdict)
    known = known_of(sitting, verdict)
    return personal_palette(sitting, verdict, wishes), known, tried(sitting, worn, known)


class _Bench:
    """A palette while it is being edited."""

    def __init__(self, made: PersonalPalette, known: Known, trial: Tried) -> None:
        self.colours, self.metals, self.borrowed = list(made.colours), list(made.metals), list(made.borrowed)
        self._known, self._trial = known, trial

    def take(self, edit: Edit) -> None:
        if isinstance(edit, Drop):
            self._drop(edit.colour)
        elif isinstance(edit, Swap):
            self._swap(edit)
        elif isinstance(edit, Add):
            self._hang(edit.chosen, edit.part)
        else:
            self._move(edit)

    def _at(self, key: str) -> int | None:
        return next((i for i, c in enumerate(self.colours) if colour_key(c) == key), None)

    def _drop(self, key: str) -> None:
        for colours in (self.colours, self.metals, self.borrowed):
            colours[:] = [c for c in colours if colour_key(c) != key]

    def _swap(self, edit: Swap) -> None:
        at, there = self._at(edit.colour), self._at(edit.chosen.key)
        old = None if at is None else self.colours[at]
        if at is None or old is None or there is not None:  # it is gone by now, or the other hangs there already
            self._drop(edit.colour)
            self._hang(edit.chosen, old.part if old else Part.ACCENT)
            return
        self.colours[at : at + 1] = []
        new = self._made(edit.chosen, old.part)
        self.colours.insert(at, replace(new, title=old.title))

    def _hang(self, chosen: ChosenColour, part: Part) -> None:
        at = self._at(chosen.key)
        self.borrowed[:] = [c for c in self.borrowed if colour_key(c) != chosen.key]
        if at is not None:
            self.colours[at] = replace(self.colours[at], chosen=True)
            return
        new = self._made(chosen, part)
        after = as_hung([*self.colours, new]).index(new)
        behind = as_hung(self.colours)[after:]
        where = next((i for i, c in enumerate(self.colours) if behind and c == behind[0]), len(self.colours))
        self.colours.insert(where, new)

    def _move(self, edit: Move) -> None:
        at = self._at(edit.colour)
        if at is None or edit.colour == edit.before:
            return
        moved = self.colours.pop(at)
        before = self._at(edit.before) if edit.before else len(self.colours)
        self.colours.insert(at if before is None else before, moved)

    def _made(self, chosen: ChosenColour, part: Part) -> PaletteColour:
        lab = np.array([chosen.lab])
        family = hue_family(chosen.lab)
        places = self._known.places(lab, [family])
        suits = float(self._known.suitability(places)[0])
        low, high = (float(end) for end in self._known.interval(places)[0])
        seen = next((i for i, d in enumerate(self._trial.drapes) if d.id == chosen.cloth), None)
        own = [chosen.name] if chosen.name else []
        [name] = distinct_names([(*own, *colour_names(lab, [family])[0])], [c.name for c in self.colours])
        return PaletteColour(
            lab=chosen.lab,
            name=name,
            hue_family=family,
            part=part,
            fit=Suited.BEST if suits >= NEAR_FROM else Suited.YES,
            basis=Basis.PREDICTED if seen is None else Basis.SEEN,
            suitability=suits,
            interval=(min(low, suits), max(high, suits)),
            cloth=chosen.cloth or None,
            answer="" if seen is None else self._trial.answers[seen],
            chosen=True,
        )


# -- what may be chosen ------------------------------------------------------------------------------------------------


def alternatives(palette: PersonalPalette, colour: PaletteColour, known: Known, count: int = 8) -> tuple[Lab, ...]:
    """Return up to `count` colours, CIELAB (3,) under D65/10°, that could hang in the place of another.

    The likeliest to suit first, none like one that hangs.
    """
    offered = candidates()
    away = steady(np.asarray(delta_e_2000(offered.lab, np.array(colour.lab))))
    around = (away <= _NEXT_DOOR) | (offered.of([colour.hue_family]) & (away <= _AROUND))
    return _likeliest(palette, known, np.flatnonzero(around).tolist(), count)


def offers(palette: PersonalPalette, family: HueFamily, known: Known, count: int = 8) -> tuple[Lab, ...]:
    """Return up to `count` colours of a hue family, CIELAB (3,) under D65/10°, that could be added.

    The likeliest to suit first, none like one that hangs.
    """
    return _likeliest(palette, known, np.flatnonzero(candidates().of([family])).tolist(), count)


def _likeliest(palette: PersonalPalette, known: Known, rows: list[int], count: int) -> tuple[Lab, ...]:
    offered = candidates()
    if not rows:
        return ()
    suits = known.suitability(known.places(offered.lab[rows], [offered.families[r] for r in rows]))
    taken = [np.array(c.lab) for c in palette.colours]
    found: list[Lab] = []
    for at in np.lexsort((np.array(rows), -steady(suits))):
        lab = offered.lab[rows[at]]
        if not taken or float(np.min(delta_e_2000(np.array(taken), lab))) >= _APART:
            taken.append(lab)
            found.append((float(lab[0]), float(lab[1]), float(lab[2])))
        if len(found) == count:
            break
    return tuple(found)
