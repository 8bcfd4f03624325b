"""What the consultant sees at the bench: raw, method-free, checked where it is made. Only this is evidence."""

from dataclasses import dataclass
from typing import ClassVar, TypeAlias

import numpy as np

from tenter.consultation.record.no_evidence import ConsultantVerdict, EarlierResult, Preference, Showing, VoidEntry
from tenter.consultation.record.remarks import Remarks, as_list, set_field
from tenter.consultation.record.sides import Side, checked_side, cloths_of
from tenter.consultation.words.answers import Answer, Relative, Suits, member_of
from tenter.errors import TenterError
from tenter.given import given_text, given_truth, shown
from tenter.language import _, in_a_row

MOST_TIED = 12  # steps of a fan in one rank; reading a tie takes 2^n steps of work


@dataclass(frozen=True)
class PairJudgement(Remarks):
    """Two cloths, or combinations, held under the face, and what was seen. `strength` runs from 1 (a little) to 3.

    Raises `TenterError` for a side compared with itself, and for a side, an answer or a strength that is none.
    """

    speaks_of_face: ClassVar[bool] = True

    left: Side
    right: Side
    answer: Answer
    strength: int = 1

    def __post_init__(self) -> None:
        set_field(self, "left", checked_side(self.left))
        set_field(self, "right", checked_side(self.right))
        set_field(self, "answer", member_of(Answer, self.answer, _("answer")))
        if set(cloths_of(self.left)) == set(cloths_of(self.right)):
            raise TenterError(_("{names} was compared with itself", names="+".join(cloths_of(self.left))))
        set_field(self, "strength", _strength(self.strength))
        self._check_remarks()

    @property
    def sides(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The cloths of the left and of the right side."""
        return cloths_of(self.left), cloths_of(self.right)

    @property
    def cloths(self) -> tuple[str, ...]:
        """Every cloth held; one that both sides share is named once."""
        return tuple(dict.fromkeys((*cloths_of(self.left), *cloths_of(self.right))))

    @property
    def pair(self) -> frozenset[tuple[str, ...]]:
        """The two sides whatever their order, to find repeats."""
        return frozenset(tuple(sorted(side)) for side in self.sides)

    @property
    def winner(self) -> tuple[str, ...] | None:
        """The better side, or None for an equal answer."""
        return {Answer.LEFT: self.sides[0], Answer.RIGHT: self.sides[1]}.get(self.answer)


def _strength(value: object) -> int:
    if not isinstance(value, int | np.integer) or isinstance(value, bool) or value not in (1, 2, 3):
        raise TenterError(_("strength is 1 (a little), 2 (clearly) or 3 (strongly), got {value}", value=shown(value)))
    return int(value)


@dataclass(frozen=True)
class Group:
    """Several cloths judged as one step of a fan."""

    ids: tuple[str, ...]

    def __post_init__(self) -> None:
        set_field(self, "ids", cloths_of(checked_side(self.ids)))


@dataclass(frozen=True)
class FanJudgement(Remarks):
    """Three or more cloths or groups put in order, best first; a tuple inside is a tie.

    Raises `TenterError` for fewer than three, a cloth named twice, more than `MOST_TIED` in a tie, and what is no
    ranking.
    """

    speaks_of_face: ClassVar[bool] = True

    ranking: tuple[str | Group | tuple[str | Group, ...], ...]

    def __post_init__(self) -> None:
        if not isinstance(self.ranking, tuple | list) or any(map(_is_empty, self.ranking)):
            raise TenterError(f"a ranking is a tuple of cloths, groups or ties, best first; got {shown(self.ranking)}")
        set_field(self, "ranking", tuple(_rank(r) for r in self.ranking))
        if len(self.steps) < 3:
            raise TenterError(
                _("a fan needs at least three cloths; got {count}; use PairJudgement for two", count=len(self.steps))
            )
        if len(set(self.cloths)) < len(self.cloths):
            raise TenterError(_("a fan names a cloth twice"))
        if (most := max(map(len, self.ranks))) > MOST_TIED:
            raise TenterError(
                _(
                    "{most} cloths tie in one rank of a fan, and {allowed} at most can be read; enter those "
                    "that belong together as one Group, or leave out those between which nothing was seen",
                    most=most,
                    allowed=MOST_TIED,
                )
            )
        self._check_remarks()

    @property
    def ranks(self) -> tuple[tuple[tuple[str, ...], ...], ...]:
        """Best rank first; each rank holds the steps that tied, each step its cloths.

        A step that is neither an id nor a `Group` raises `TenterError`, which making the judgement has looked for.
        """
        return tuple(
            tuple(_step(s) for s in rank) if isinstance(rank, tuple) else (_step(rank),) for rank in self.ranking
        )

    @property
    def steps(self) -> tuple[tuple[str, ...], ...]:
        """Every step of the fan, in the order of the answer."""
        return tuple(step for rank in self.ranks for step in rank)

    @property
    def cloths(self) -> tuple[str, ...]:
        """Every cloth held, in the order of the answer."""
        return tuple(c for step in self.steps for c in step)


def _is_empty(rank: object) -> bool:
    return isinstance(rank, str | tuple | list) and not rank


def _rank(rank: object) -> object:
    """Return a rank as it is kept: a tie as a tuple, and a tie or a group of one as that one."""
    if not isinstance(rank, tuple | list):
        return _one(rank)
    tied = tuple(_one(step) for step in rank)
    return tied[0] if len(tied) == 1 and isinstance(tied[0], str | Group) else tied


def _one(step: object) -> object:
    return step.ids[0] if isinstance(step, Group) and len(step.ids) == 1 else step


def _step(step: str | Group) -> tuple[str, ...]:
    if isinstance(step, Group):
        return step.ids
    if isinstance(step, str) and step:
        return (given_text(step, _("a cloth's id")),)
    raise TenterError(f"a step of a fan is a cloth's id or a Group, got {shown(step)}")


@dataclass(frozen=True)
class DrapeJudgement(Remarks):
    """One cloth on its own."""

    speaks_of_face: ClassVar[bool] = True

    drape: Side
    suits: Suits

    def __post_init__(self) -> None:
        set_field(self, "drape", checked_side(self.drape))
        set_field(self, "suits", member_of(Suits, self.suits, _("answer")))
        self._check_remarks()

    @property
    def cloths(self) -> tuple[str, ...]:
        """The cloth held, or the cloths of a combination."""
        return cloths_of(self.drape)


@dataclass(frozen=True)
class GarmentJudgement(Remarks):
    """A garment of the client's own against a cloth of the kit, in the same hue: a bound, and wide as unmeasured.

    than: the id of the cloth. relative: how the garment differs from it; raises `TenterError` where nothing is said of
    that.
    """

    speaks_of_face: ClassVar[bool] = True

    than: str
    relative: tuple[Relative, ...]
    better: bool
    garment: str = ""

    def __post_init__(self) -> None:
        given_text(self.than, _("the cloth of the kit"))
        given_text(self.garment, _("a garment's name"), needed=False)
        set_field(self, "better", given_truth(self.better, _("the answer about a garment")))
        set_field(self, "relative", tuple(member_of(Relative, w, _("word")) for w in as_list(self.relative)))
        if not self.relative:
            raise TenterError(_("say how the garment differs from the cloth: {names}", names=in_a_row(list(Relative))))
        self._check_remarks()

    @property
    def cloths(self) -> tuple[str, ...]:
        """The cloth of the kit that the garment was held against."""
        return (self.than,)


Judgement: TypeAlias = (
    PairJudgement
    | FanJudgement
    | DrapeJudgement
    | GarmentJudgement
    | Preference
    | VoidEntry
    | EarlierResult
    | ConsultantVerdict
    | Showing
)
