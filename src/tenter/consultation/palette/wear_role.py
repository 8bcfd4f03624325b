"""Where on the body a cloth is worn, and by how much what was seen of it moves it: one role, never out of the season.

Common practice, no source. Where a cloth lies says what it would be; what the client's own answers showed comes before
that. A cloth that failed, or that was too anything on its last direct answer, goes one role further from the face, and
so does one of the season that lost to a cloth of another season. A neutral that was too dark or too light goes below
the waist. One that did as well as a best cloth, or better, comes one role nearer, unless something speaks against it.

What the consultant showed after the verdict, and answered by its own key, is where they say, however far that is.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from tenter.consultation.axes import Axis
from tenter.consultation.palette.seen import NOTHING_SEEN_OF_IT, ClothFindings, shown_words
from tenter.consultation.words import terms
from tenter.consultation.words.answers import Worth
from tenter.language import N_, Sentence, gettext_lazy


class Role(StrEnum):
    """Where a cloth is worn, nearest the face first."""

    NEAR_FACE = "near the face"
    AWAY = "away from the face"
    BELOW_WAIST = "below the waist"
    SMALL = "in small areas"
    LEAVE = "left to others"

    @property
    def step(self) -> int:
        """How far from the face: 0 is nearest."""
        return list(Role).index(self)


_SHOWN = {Worth.BEST: Role.NEAR_FACE, Worth.YES: Role.NEAR_FACE, Worth.AWAY: Role.AWAY, Worth.NO: Role.LEAVE}
_LADDER = (Role.NEAR_FACE, Role.AWAY, Role.SMALL, Role.LEAVE)


@dataclass(frozen=True, slots=True)
class ClothStanding:
    """What a cloth is before anything seen counts: its role, its season, and whether that is the client's own."""

    name: str
    role: Role
    season: str
    own: bool
    neutral: bool


@dataclass(frozen=True, slots=True)
class Moved:
    """Where a cloth is worn after what was seen, and why that differs from where it lies; no `why` if not."""

    role: Role
    why: Sentence | None = None


def moved(standings: Mapping[str, ClothStanding], seen: Mapping[str, ClothFindings]) -> dict[str, Moved]:
    """Return where every cloth is worn, by id: its own role, or one further down or up.

    Common practice, no source.
    """
    best = {
        cloth
        for cloth, at in standings.items()
        if at.role is Role.NEAR_FACE and not seen.get(cloth, NOTHING_SEEN_OF_IT).off
    }
    return {cloth: _moved(at, seen.get(cloth, NOTHING_SEEN_OF_IT), standings, best) for cloth, at in standings.items()}


def only_depth_was_off(found: ClothFindings) -> bool:
    """Tell whether depth is all that spoke against a cloth: then it serves further from the face."""
    return bool(found.too) and not found.failed and all(f.axis is Axis.DEPTH for f in found.too)


def _moved(at: ClothStanding, found: ClothFindings, standings: Mapping[str, ClothStanding], best: set[str]) -> Moved:
    if found.shown is not None:
        role = _SHOWN[found.shown]
        return Moved(role, shown_words(found.shown) if role is not at.role else None)
    if at.own and at.neutral and only_depth_was_off(found):
        return Moved(Role.BELOW_WAIST, cloth_off_words(found))
    if found.off:
        return _step(at, 1, cloth_off_words(found))
    beaten = [c for c in found.lost_to if at.own and standings[c].season != at.season]
    won, level = ([c for c in told if c in best] for told in (found.won_over, found.level_with))
    if beaten and not (won or level):
        return _step(at, 1, gettext_lazy("less good than {cloth} when held", cloth=standings[beaten[0]].name))
    if (won or level) and not beaten:
        better, equal = N_("better than {cloth} when held"), N_("as good as {cloth} when held")
        how, other = (better, won[0]) if won else (equal, level[0])
        return _step(at, -1, gettext_lazy(how, cloth=standings[other].name))
    return Moved(at.role)


def cloth_off_words(found: ClothFindings) -> Sentence:
    """Return what speaks against a cloth in a few words."""
    if not found.too:
        return gettext_lazy("did not work when held")
    return gettext_lazy("{flags} when held", flags=terms.one_and_another(map(terms.flag, found.too)))


def _step(at: ClothStanding, step: int, why: Sentence) -> Moved:
    """Return one role further from the face (+1) or nearer to it (−1); a cloth of the season lies two from the end."""
    place = min(max(_LADDER.index(at.role) + step, 0), len(_LADDER) - 1)
    return Moved(_LADDER[place], why if _LADDER[place] is not at.role else None)
