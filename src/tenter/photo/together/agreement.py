"""Whether several photographs of one face say the same of it, and in words where and why they do not.

What differs by the same all over the face is the card's doing: it got more light than the face in one photograph, or
less, or light of another colour. What differs from region to region is the face's: its light came from another side,
or something lies on it. The first is looked for in the mean of the skin, the second in what that leaves.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations
from typing import Any

import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.language import N_, _, all_of, in_a_row, local_number, local_signed, ngettext, pgettext
from tenter.photo.regions.regions import Region, region_in_words
from tenter.photo.together.combining import Spread
from tenter.photo.together.compare import ColourWithin, ComparedFace, DisagreementCause, causes_between
from tenter.photo.together.judging import Judged, RegionColours, confidence_of, furthest, judge, left_over, odd_one

# Beyond these the skin of one face hardly differs by light and card: of light, a half; of colour, units of a* and b*.
_ANOTHER_LIGHTNESS, _ANOTHER_COLOUR = 12.0, 6.0
_SAME_PLACE = 0.06  # of the face's width: corners of a card that nobody moved come nearer than that
_AXES = ("L*", "a*", "b*")
_NAMED = 4  # regions, at most, in a sentence
_ANOTHER_TRY = N_(
    "Hold the card flat beside the jaw, parallel to the face, in the light that the face gets, and take another one"
)


class ApartCode(StrEnum):
    """In what photographs of one face differ."""

    LIGHTNESS = "lightness"
    COLOUR = "colour"
    SIDE_LIGHT = "side_light"
    REGIONS = "regions"
    OTHER_FACE = "other_face"


@dataclass(frozen=True, slots=True)
class Apart:
    """One thing in which photographs of a face differ, in plain words."""

    code: ApartCode
    text: str


@dataclass(frozen=True, slots=True)
class FaceAgreement:
    """How well photographs of one face agree.

    face: spread of the mean of the skin, None where no region of it was read in all. regions: of each region that was
    read in two or more. apart: per region, which of L*, a*, b* (3,) differ beyond chance. shifts: Lab (n, 3) of each
    photograph's skin against that of all. odd: the place of the one that is apart from the others, of three or more.
    card_moved: whether the card was held elsewhere beside the face in one of them; None where that was not seen. holds:
    of each photograph (n,), the place of another or itself, the same for those in which the card was held alike.
    """

    names: tuple[str, ...]
    face: Spread | None
    regions: Mapping[Region, Spread]
    apart: Mapping[Region, BoolArray]
    shifts: FloatArray
    findings: tuple[Apart, ...]
    odd: int | None = None
    card_moved: bool | None = None
    holds: tuple[int, ...] = ()

    @property
    def agree(self) -> bool:
        """Whether nothing was found that they disagree about."""
        return not self.findings

    @property
    def text(self) -> str:
        """What it comes to, in plain words."""
        count = len(self.names)
        if not self.agree:
            disagree = ngettext("The {count} photograph disagrees.", "The {count} photographs disagree.", count)
            return " ".join([disagree, *(found.text for found in self.findings), self.what_next])
        said = ngettext(
            "The {count} photograph agrees: nothing differs by more than chance allows.",
            "The {count} photographs agree: nothing differs by more than chance allows.",
            count,
        )
        stayed = _(
            "But the card seems to be in the same place beside the face in all of them. A wrong light on it would be "
            "the same error each time, so lightness (L*) is no surer than from one. Move or turn the card between two "
            "photographs."
        )
        return f"{said} {stayed}" if self.card_moved is False else said

    @property
    def what_next(self) -> str:
        """What disagreeing photographs do to the intervals, and what to do about it."""
        return f"{_('The intervals are wide enough to hold all of them.')} {self._next_step}"

    @property
    def _next_step(self) -> str:
        if self.odd is None:
            another = _(_ANOTHER_TRY)
            third = _("{advice}: a third tells which one is off.", advice=another)
            return third if len(self.names) == 2 else f"{another}."
        return _(
            "Leave {photograph} out if you know what went wrong in it, and measure the others together.",
            photograph=self.names[self.odd],
        )

    def to_json(self) -> dict[str, Any]:
        """Return what `tenter face measure --json` says of the agreement of several photographs."""
        each = confidence_of(len(self.regions))
        return {
            "agree": self.agree,
            "text": self.text,
            "findings": [{"code": str(found.code), "text": found.text} for found in self.findings],
            "odd_one_out": None if self.odd is None else self.names[self.odd],
            "card_moved": self.card_moved,
            "face": None if self.face is None else self.face.to_json(confidence_of(1)),
            "regions": {str(region): spread.to_json(each) for region, spread in self.regions.items()},
        }


def agreement_of(
    names: Sequence[str], faces: Sequence[RegionColours], cards: Sequence[FloatArray | None]
) -> FaceAgreement:
    """Return how well two or more photographs agree.

    faces: each one's colours. cards: each one's corners of the card (4, 2), in widths of the face.
    """
    judged = judge(faces)
    odd = odd_one(faces) if judged.wrong and len(faces) > 2 else None
    words = _Words(tuple(names), faces, judged, odd, furthest(faces, odd))
    findings = words.findings() if judged.wrong else ()
    holds = _holds(faces, cards)
    return FaceAgreement(
        tuple(names), judged.face, judged.regions, judged.apart, judged.shifts, findings, odd, _moved(cards), holds
    )


def _moved(cards: Sequence[FloatArray | None]) -> bool | None:
    """Return whether the card was held elsewhere in one of the photographs; None where that was not seen."""
    seen = [card for card in cards if card is not None]
    if len(seen) < 2:
        return None
    return not all(_same_place(a, b) for a, b in combinations(seen, 2))


def _same_place(one: FloatArray, other: FloatArray) -> bool:
    return float(np.sqrt(((one - other) ** 2).sum(axis=1).mean())) <= _SAME_PLACE


def _holds(faces: Sequence[RegionColours], cards: Sequence[FloatArray | None]) -> tuple[int, ...]:
    """Return which photographs have one hold of the card (n,): nobody moved it, and its light shows no change.

    Where the skin as a whole differs although the card stayed, its light changed all the same, so each counts alone.
    """
    holds = list(range(len(cards)))
    for n, k in combinations(range(len(cards)), 2):
        one, other = cards[n], cards[k]
        if one is not None and other is not None and _same_place(one, other):
            holds = [holds[n] if hold == holds[k] else hold for hold in holds]
    lit_alike = {hold: _lit_alike([face for face, h in zip(faces, holds, strict=True) if h == hold]) for hold in holds}
    return tuple(hold if lit_alike[hold] else n for n, hold in enumerate(holds))


def _lit_alike(faces: Sequence[RegionColours]) -> bool:
    return len(faces) < 2 or not judge(faces).face_off.any()


# -- in words ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Words:
    """What is said of photographs that disagree. ends: the two that lie furthest apart."""

    names: tuple[str, ...]
    faces: Sequence[RegionColours]
    judged: Judged
    odd: int | None
    ends: tuple[int, int]

    def findings(self) -> tuple[Apart, ...]:
        found = []
        lightness, *colour = self.judged.face_off
        if self._implausible():
            said = _("They differ by more than light and card usually do to one skin. Check that all show one person.")
            found.append(Apart(ApartCode.OTHER_FACE, said))
        if lightness:
            found.append(Apart(ApartCode.LIGHTNESS, self._lightness()))
        if any(colour):
            found.append(Apart(ApartCode.COLOUR, self._colour()))
        if self.judged.local:
            found.append(self._regions())
        return tuple(found)

    def _by(self, axis: int) -> float:
        """Return by how much the mean of the skin differs, without sign: the odd one against the mean of the others."""
        values = self.judged.shifts[:, axis]
        if self.odd is None:
            return float(np.ptp(values))
        return float(abs(values[self.odd] - np.delete(values, self.odd).mean()))

    def _lightness(self) -> str:
        shifts, by = self.judged.shifts[:, 0], local_number(self._by(0), 0)
        if self.odd is not None:
            name, more = self.names[self.odd], shifts[self.odd] > np.delete(shifts, self.odd).mean()
            return _lighter(name, by) if more else _darker(name, by)
        lightest, darkest = self.names[int(shifts.argmax())], self.names[int(shifts.argmin())]
        ends = _(
            "They differ in lightness by {by} all over the face: {lightest} is lightest, {darkest} darkest.",
            by=by,
            lightest=lightest,
            darkest=darkest,
        )
        card = (
            _("The card did not get the same light in both, or the camera lightened the face.")
            if len(self.names) == 2
            else _("The card did not get the same light in all, or the camera lightened the face.")
        )
        return f"{ends} {card}"

    def _colour(self) -> str:
        off = (axis for axis in (1, 2) if self.judged.face_off[axis])
        axes = all_of([_("{axis} by {by}", axis=_AXES[axis], by=local_number(self._by(axis), 1)) for axis in off])
        differ = (
            _("They differ in {axes} all over the face.", axes=axes)
            if self.odd is None
            else _(
                "{photograph} differs from the others in {axes} all over the face.",
                photograph=self.names[self.odd],
                axes=axes,
            )
        )
        why = _(
            "Light of another colour fell on the card, as from a second lamp or a coloured wall or cloth. Or the face "
            "was flushed or made up."
        )
        return f"{differ} {why}"

    def _regions(self) -> Apart:
        one, other = self.ends
        causes = causes_between(*(self._as_colours(n) for n in (one, other)))
        local = list(self.judged.local.items())
        where = in_a_row([self._region(region, off) for region, off in local[:_NAMED]])
        if more := max(0, len(local) - _NAMED):
            where = ngettext("{regions} and {count} more", "{regions} and {count} more", more, regions=where)
        pair = {"one": self.names[other], "other": self.names[one], "regions": where}
        between = (
            _("{one} against {other}, beside what the whole face does: {regions}.", **pair)
            if self.judged.face_off.any()
            else _("{one} against {other}: {regions}.", **pair)
        )
        if DisagreementCause.SIDE_LIGHT in causes:
            side = _("The light came from another side, or the head was turned.")
            each = _("Each may be right by itself. Together they give the mean of both lights.")
            return Apart(ApartCode.SIDE_LIGHT, f"{side} {between} {each}")
        perhaps = pgettext("between causes", " or ").join(
            _(str(cause)) for cause in causes if cause is not DisagreementCause.LIGHT
        )
        return Apart(
            ApartCode.REGIONS,
            f"{_('Some regions differ.')} {between} {_('Perhaps {causes}.', causes=perhaps)}",
        )

    def _region(self, region: Region, off: BoolArray) -> str:
        left, _explained = left_over([face.get(region) for face in self.faces], self.judged.explained)
        name = region_in_words(region)
        moved = left[self.ends[1]] - left[self.ends[0]]
        if np.isnan(moved).any():
            return name
        by = all_of([f"{_AXES[axis]} {local_signed(moved[axis])}" for axis in range(3) if off[axis]])
        return f"{name} ({by})"

    def _as_colours(self, n: int) -> ComparedFace:
        colours = {region: ColourWithin(c.lab, c.half_width_90) for region, c in self.faces[n].items()}
        return ComparedFace(self.names[n], colours)

    def _implausible(self) -> bool:
        by = [self._by(axis) * off for axis, off in enumerate(self.judged.face_off)]
        return by[0] > _ANOTHER_LIGHTNESS or float(np.hypot(by[1], by[2])) > _ANOTHER_COLOUR


def _lighter(photograph: str, by: str) -> str:
    return _(
        "{photograph} shows the whole face {by} L* lighter than the others. Its card got less light than theirs. It "
        "may have been tilted away from the lamp, or shaded.",
        photograph=photograph,
        by=by,
    )


def _darker(photograph: str, by: str) -> str:
    return _(
        "{photograph} shows the whole face {by} L* darker than the others. Its card got more light than theirs. It may "
        "have been turned to the lamp, or shining.",
        photograph=photograph,
        by=by,
    )
