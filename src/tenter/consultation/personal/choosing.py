"""Choosing: the colours of one palette out of the cloths that did well and the colours of dyeable cloth.

What was seen comes first, then what is predicted to suit best; colours keep apart, so that each is worth its place, and
each hue of the trade has its number. Quotas and distances are conventions of the trade: common practice, no source.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from tenter.arrays import BoolArray, FloatArray, steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import lab_to_lch
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.colours.candidates import apart_from, candidates
from tenter.consultation.colours.colours import Basis, Part
from tenter.consultation.colours.names import base_names, colour_names
from tenter.consultation.colours.plainness import is_plain, is_red
from tenter.consultation.conventions.palette_quotas import AccentGroup, Quotas
from tenter.consultation.palette.metals import SURE_OF_SIDE
from tenter.consultation.palette.palette import PLAIN, plain_grey_is_poor
from tenter.consultation.personal.slots import WHITE_TITLE, NeutralSlot, slots
from tenter.consultation.personal.suitability import Known
from tenter.consultation.personal.tried import Tried
from tenter.consultation.wishes.wishes import NO_WISHES, Wishes
from tenter.consultation.words.traits import UndertoneSide

APART, NEUTRALS_APART = 6.0, 4.0  # ΔE00 between any two colours of a palette, and between two of its neutrals
_OFF_REACH = 5.0  # ΔE00 around a cloth that was seen not to suit, within which nothing is predicted to
_AGAIN = 0.9  # a further colour of a plain name counts for so much less: a palette of six corals is no palette
_SUITS_SHARE = 0.6  # of the best suitability of a hue, from which a colour of it may stand in for a loved one
_A_GROUP_AT_FACE = 2  # colours of one group of hues to hold to the face
YOUR_RED = "your red"


@dataclass(frozen=True, eq=False)
class Pool:
    """Every colour that may be chosen: the cloths that did well first, then the colours of dyeable cloth.

    lab (n, 3): D65/10°. places (n, 3): bench units. score (n,): what they are chosen by, 0 to 1. bases: the plain name
    of each, with nothing said of how it differs from what is typical of it; names: what each may be called, best first.
    """

    known: Known
    trial: Tried
    lab: FloatArray
    families: tuple[HueFamily, ...]
    bases: tuple[str, ...]
    names: tuple[tuple[str, ...], ...]
    places: FloatArray
    score: FloatArray

    @property
    def tried(self) -> int:
        """How many of the first colours are cloths that did well."""
        return len(self.trial.drapes)

    def of(self, families: Iterable[HueFamily]) -> BoolArray:
        """Tell which colours are of some hue families, shape (n,)."""
        found = np.zeros(len(self.lab), dtype=bool)
        for family in families:
            found |= self._of_family[family]
        return found

    def apart(self, row: int) -> FloatArray:
        """Return how far every colour is from one of them, ΔE00, steady, shape (n,)."""
        if row < self.tried:
            from_one: FloatArray = self._from_tried[row]
            return from_one
        return np.concatenate([self._from_tried[:, row], apart_from(row - self.tried)])

    @cached_property
    def _from_tried(self) -> FloatArray:
        apart: FloatArray = steady(np.asarray(delta_e_2000(self.trial.lab[:, None], self.lab[None])))
        return apart

    @cached_property
    def _of_family(self) -> dict[HueFamily, BoolArray]:
        every = np.array(self.families)
        return {family: every == family for family in HueFamily}


def pool(known: Known, trial: Tried, among: Sequence[Known]) -> Pool:
    """Return what may be chosen; the score of a colour is the least of its suitabilities `among` what is known."""
    offered = candidates()
    families = (*(d.hue_family for d in trial.drapes), *offered.families)
    lab = np.concatenate([trial.lab, offered.lab])
    own = families[: len(trial.drapes)]
    names = (*colour_names(trial.lab, own), *offered.names)
    bases = (*base_names(trial.lab, own), *offered.bases)
    by_hand = [d.undertone for d in trial.drapes] + [None] * len(offered.lab)
    places = known.method.places(lab, families, by_hand=by_hand)
    score = np.min([one.suitability(places) for one in among or (known,)], axis=0)
    return Pool(known, trial, lab, families, bases, names, places, score)


def side_of(known: Known) -> UndertoneSide | None:
    """Return the undertone that a client surely has, or None where both are theirs."""
    if max(known.warm, 1 - known.warm) < SURE_OF_SIDE:
        return None
    return UndertoneSide.WARM if known.warm > 0.5 else UndertoneSide.COOL


@dataclass(frozen=True, slots=True)
class Choice:
    """One colour of the pool, and what it was chosen for."""

    row: int
    part: Part
    title: str = ""


@dataclass(eq=False)
class Chooser:
    """Chooses colours one after another, each apart from those before; as often as it is asked, by another score."""

    pool: Pool
    quotas: Quotas
    wishes: Wishes = NO_WISHES
    choices: list[Choice] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._side = side_of(self.pool.known)
        self._lch = lab_to_lch(self.pool.lab)
        self.chroma: FloatArray = self._lch[:, 1]
        unwanted = self.wishes.unwanted(self.pool.lab, self.pool.families)
        self.free = ~self._beside_off() & self._of_side() & ~unwanted
        clarity = float(self.pool.known.ideal[Axis.CLARITY.column])
        self._plain = is_plain(self._lch, self.pool.families, clarity)
        accent = self.pool.of(f for g in AccentGroup for f in g.families)
        self._plain[: self.pool.tried] = accent[: self.pool.tried]  # what did well need not be plain
        self._red = is_red(self._lch, self.pool.families)
        self._grey = self._poor_grey()
        self._bases = np.array(self.pool.bases)
        self._tried = np.arange(len(self.pool.lab)) < self.pool.tried

    @classmethod
    def of(cls, pool: Pool, wishes: Wishes = NO_WISHES) -> "Chooser":
        """Return what chooses by the quotas of the client's undertone."""
        method, side = pool.known.method, side_of(pool.known)
        return cls(pool, method.quotas.shifted(method.shifts, side) if side else method.quotas, wishes)

    def choose(self, score: FloatArray | None = None) -> list[Choice]:
        """Return the colours of the palette, neutrals first, by a score (n,), or by the pool's own.

        The higher the score the better.
        """
        self.choices = []
        self._rank = (self.pool.score if score is None else score).copy()
        self._apart = np.full(len(self.pool.lab), np.inf)  # from the nearest chosen colour
        self._from_accents = np.full(len(self.pool.lab), np.inf)  # from the nearest that is no neutral
        self._neutrals()
        self._near_face()
        self._loved_colours()
        self._accents()
        self._fill()
        self._name_the_red()
        return self.choices

    # -- what may be chosen ------------------------------------------------------------------------------------------

    def _beside_off(self) -> BoolArray:
        """Return which predicted colours look like a cloth that was seen not to suit, shape (n,)."""
        near = np.zeros(len(self.pool.lab), dtype=bool)
        for colour in self.pool.trial.off:
            near |= steady(delta_e_2000(self.pool.lab, colour)) <= _OFF_REACH
        near[: self.pool.tried] = False
        return near

    def _of_side(self) -> BoolArray:
        """Return which colours are the client's version of their hue family, as far as its families have versions."""
        own = np.ones(len(self.pool.lab), dtype=bool)
        if self._side is None:
            return own
        sign = 1 if self._side is UndertoneSide.WARM else -1
        for family, version in self.pool.known.method.versions.of.items():
            rows = self.pool.of([family])
            place = version.place(self.pool.lab[rows])
            at = self.pool.places[rows, Axis.UNDERTONE.column] if place is None else place
            own[rows] = (steady(at) * sign > 0) & (not version.instead(self._side))
        own[: self.pool.tried] = True  # what did well is the client's, whatever its version
        return own

    # -- in the order of a palette -----------------------------------------------------------------------------------

    def _neutrals(self) -> None:
        titled = False
        for slot in slots(self.quotas, self.pool.known.method.staples, self.pool.known.ideal):
            title = slot.title
            if slot.part is Part.WHITE and not titled:
                title, titled = WHITE_TITLE, True
            if not self._take(self._held_by(slot), 1, slot.part, title):
                instead = slot.eased()
                self._take(self._held_by(instead), 1, instead.part, instead.title)

    def _held_by(self, slot: NeutralSlot) -> BoolArray:
        """Return the colours that can take a place for a neutral, shape (n,)."""
        depth = float(self.pool.known.ideal[Axis.DEPTH.column])
        return slot.holds(self._lch, depth, self._side) & self.pool.of(slot.families) & ~self._grey

    def _poor_grey(self) -> BoolArray:
        """Return the plain greys that the method calls poor for a warm, clear client, shape (n,)."""
        method, ideal = self.pool.known.method, self.pool.known.ideal
        none = np.zeros(len(self.pool.lab), dtype=bool)
        if not plain_grey_is_poor(method, ideal):
            return none
        plain = np.abs(self.pool.places[:, Axis.UNDERTONE.column]) < PLAIN
        return self.pool.of([HueFamily.GREY]) & plain

    def _near_face(self) -> None:
        tried_near = np.array([*self.pool.trial.near, *[False] * (len(self.pool.lab) - self.pool.tried)], dtype=bool)
        for only in (tried_near, ~self._tried):
            for _ in range(self.quotas.near_face):
                if self._count(Part.NEAR_FACE) < self.quotas.near_face:
                    self._take(self._of_open_groups() & self._plain & only, 1, Part.NEAR_FACE)

    def _of_open_groups(self) -> BoolArray:
        """Return the colours of those groups of hues that have not yet their share of the colours for the face."""
        at_face = [self.pool.families[c.row] for c in self.choices if c.part is Part.NEAR_FACE]
        still = [g for g in AccentGroup if sum(f in g.families for f in at_face) < _A_GROUP_AT_FACE]
        return self.pool.of(f for g in still for f in g.families)

    def _accents(self) -> None:
        for group, count in self._counts().items():
            taken = sum(c.part is Part.ACCENT and self.pool.families[c.row] in group.families for c in self.choices)
            if group is AccentGroup.REDS_AND_PINKS and not self._has_red():
                taken += self._take(self._red, 1, Part.ACCENT)
            for family in group.families:  # each hue has a version that works, before any has many
                if taken < count and not any(self.pool.families[c.row] is family for c in self.choices):
                    taken += self._take(self.pool.of([family]) & self._plain, 1, Part.ACCENT)
            self._take(self.pool.of(group.families) & self._plain, count - taken, Part.ACCENT)

    def _counts(self) -> dict[AccentGroup, int]:
        """Return the accents of each group of hues: one more of a loved hue, and one fewer of the largest other."""
        counts = dict(self.quotas.accents)
        loved = [g for g in AccentGroup for w in self.wishes.loved if w.what in g.families]
        for group in dict.fromkeys(loved):
            others = [g for g in AccentGroup if g not in loved and counts[g] > 1]
            if others:
                counts[max(others, key=lambda g: counts[g])] -= 1
                counts[group] += 1
        return counts

    def _loved_colours(self) -> None:
        """Choose the client's own version of each loved colour: the nearest of those of its hue that suit."""
        for wish in self.wishes.loved:
            if isinstance(wish.what, HueFamily) or self._count(Part.ACCENT) >= sum(self.quotas.accents.values()):
                continue
            own = self.pool.of([wish.family]) & self._plain & self.free & (self._apart >= APART)
            if own.any():
                suits = own & (self.pool.score >= _SUITS_SHARE * self.pool.score[own].max())
                apart = steady(np.asarray(delta_e_2000(self.pool.lab, np.array(wish.what))))
                nearest = int(np.argmin(np.where(suits, apart, np.inf)))
                self._add(Choice(nearest, Part.ACCENT), quiet=False)

    def _fill(self) -> None:
        """Choose the best of any hue for the places that a hue could not fill, so that the number is kept."""
        still = sum(self.quotas.accents.values()) - self._count(Part.ACCENT)
        of_accents = self.pool.of(f for g in AccentGroup for f in g.families)
        self._take(of_accents & self._plain, still, Part.ACCENT)

    def _reds(self) -> list[int]:
        return [at for at, c in enumerate(self.choices) if self._red[c.row] and c.part in (Part.NEAR_FACE, Part.ACCENT)]

    def _has_red(self) -> bool:
        return bool(self._reds())

    def _name_the_red(self) -> None:
        reds = self._reds()
        if reds:
            best = max(reds, key=lambda at: (self.choices[at].row < self.pool.tried, self._score_of(at), -at))
            self.choices[best] = Choice(self.choices[best].row, self.choices[best].part, YOUR_RED)

    def _score_of(self, at: int) -> float:
        return float(self.pool.score[self.choices[at].row])

    def _count(self, part: Part) -> int:
        return sum(c.part is part for c in self.choices)

    # -- one colour --------------------------------------------------------------------------------------------------

    def _take(self, allowed: BoolArray, count: int, part: Part, title: str = "") -> int:
        """Choose so many of the allowed colours, and return how many there were: tried ones first, then the best."""
        quiet = part in (Part.NEUTRAL, Part.WHITE)
        for taken in range(count):
            enough = (self._from_accents >= APART) & (self._apart >= (NEUTRALS_APART if quiet else APART))
            rows = np.flatnonzero(allowed & self.free & enough)
            if not rows.size:
                return taken
            order = np.lexsort((rows, -steady(self._rank[rows]), ~self._tried[rows]))
            self._add(Choice(int(rows[order[0]]), part, title), quiet)
        return count

    def _add(self, choice: Choice, quiet: bool) -> None:
        self.choices.append(choice)
        apart = self.pool.apart(choice.row)
        self._apart = np.minimum(self._apart, apart)
        if not quiet:
            self._from_accents = np.minimum(self._from_accents, apart)
        self._rank[self._bases == self._bases[choice.row]] *= _AGAIN


def basis_of(pool: Pool, row: int) -> Basis:
    """Return how it is known of a colour of the pool that it suits."""
    return Basis.SEEN if row < pool.tried else Basis.PREDICTED
