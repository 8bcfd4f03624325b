"""Judgements made at the bench: raw, method-free, checked where they are made."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, ClassVar, TypeAlias

import numpy as np

from tenter.consultation.flags import Flagged, Seen, parse_flag, parse_sign
from tenter.errors import TenterError, UnknownName
from tenter.given import given_number, given_text, given_truth, shown

Side: TypeAlias = str | tuple[str, ...]  # one cloth, or several worn together
_LATEST_MINUTE = 1e6  # of a sitting: nearly two years, as a sitting may be taken up again
MOST_TIED = 12  # steps of a fan in one rank; reading a tie takes 2^n steps of work


class Answer(StrEnum):
    """What a pair showed. The three equal answers are different findings."""

    LEFT = "left"
    RIGHT = "right"
    NOTHING_SEEN = "nothing-seen"
    BOTH_GOOD = "both-good"
    BOTH_WRONG = "both-wrong"

    @property
    def is_equal(self) -> bool:
        """Whether neither side was better."""
        return self not in (Answer.LEFT, Answer.RIGHT)


class Suits(StrEnum):
    """What one cloth on its own does."""

    WORKS = "works"
    TOLERABLE = "tolerable"
    FAILS = "fails"


class Worth(StrEnum):
    """What a colour shown after the verdict did."""

    BEST = "best"
    YES = "yes"
    AWAY = "away"  # from the face
    NO = "no"


class Brought(StrEnum):
    """What a client brings to be looked at."""

    GARMENT = "garment"
    LIPSTICK = "lipstick"
    FRAMES = "frames"
    HAIR = "hair"


class View(StrEnum):
    """How the cloths were shown."""

    ALTERNATE = "alternate"
    SPLIT = "split"  # half of the face each: counts half until its sides have been exchanged
    PHOTOGRAPH = "photograph"


class Source(StrEnum):
    """Who answered. Only the analyst's answers are evidence."""

    ANALYST = "analyst"
    CLIENT = "client"
    THIRD = "third"


def _member(kind: type[StrEnum], value: object, name: str) -> StrEnum:
    try:
        return kind(str(value))
    except ValueError:
        raise UnknownName(name, value, kind) from None


@dataclass(frozen=True, kw_only=True)
class Remarks:
    """What may be noted beside any answer.

    `flags` and `signs` may be given as text ("D061:too-warm"); `minute` counts from the start of the sitting.
    """

    flags: tuple[Flagged, ...] = ()
    signs: tuple[Seen, ...] = ()
    region: str | None = None
    view: View = View.ALTERNATE
    source: Source = Source.ANALYST
    minute: float | None = None
    note: str = ""

    @property
    def cloths(self) -> tuple[str, ...]:
        """Every cloth held, in the order of the answer."""
        raise NotImplementedError

    def _check_remarks(self) -> None:
        set_field(self, "flags", tuple(parse_flag(f) for f in _listed(self.flags)))
        set_field(self, "signs", tuple(parse_sign(s) for s in _listed(self.signs)))
        set_field(self, "view", _member(View, self.view, "view"))
        set_field(self, "source", _member(Source, self.source, "source"))
        given_text(self.note, "a note", needed=False)
        if self.region is not None:
            given_text(self.region, "a region of the face", needed=False)
        if self.minute is not None:
            set_field(self, "minute", given_number(self.minute, "the minute of an entry", 0, _LATEST_MINUTE))
        for drape, remark in [(r.drape, str(r)) for r in self.flags] + [(r.drape, str(r)) for r in self.signs]:
            if drape not in self.cloths:
                raise TenterError(f"{remark} speaks of a cloth that was not held; held: {', '.join(self.cloths)}")
        opposed = {(f.drape, f.flag.axis) for f in self.flags}
        if len(opposed) < len({(f.drape, f.flag) for f in self.flags}):
            raise TenterError("two flags contradict each other on one axis of one cloth; keep one of them")


def _listed(values: object) -> list[Any]:
    """Return one remark or several as a list; what they are is checked by their own parsers."""
    return list(values) if isinstance(values, Iterable) and not isinstance(values, str) else [values]


def set_field(target: object, name: str, value: object) -> None:
    """Set a field of a frozen dataclass while it is being made."""
    object.__setattr__(target, name, value)


def _parts(side: Side) -> tuple[str, ...]:
    return (side,) if isinstance(side, str) else tuple(side)


def _checked_side(side: object) -> Side:
    if isinstance(side, str) and side:
        return given_text(side, "a cloth's id")
    if isinstance(side, tuple | list) and side and all(isinstance(s, str) and s for s in side):
        if len(set(side)) < len(side):
            raise TenterError(f"a combination names a cloth twice: {'+'.join(side)}")
        for part in side:
            given_text(part, "a cloth's id")
        return side[0] if len(side) == 1 else tuple(side)
    raise TenterError(f"a side is a cloth's id or a tuple of ids, got {shown(side)}")


def _strength(value: object) -> int:
    if not isinstance(value, int | np.integer) or isinstance(value, bool) or value not in (1, 2, 3):
        raise TenterError(f"strength is 1 (a little), 2 (clearly) or 3 (strongly), got {shown(value)}")
    return int(value)


@dataclass(frozen=True)
class PairJudgement(Remarks):
    """Two cloths, or combinations, held under the face, and what was seen. `strength` runs from 1 (a little) to 3."""

    left: Side
    right: Side
    answer: Answer
    strength: int = 1

    def __post_init__(self) -> None:
        set_field(self, "left", _checked_side(self.left))
        set_field(self, "right", _checked_side(self.right))
        set_field(self, "answer", _member(Answer, self.answer, "answer"))
        if set(_parts(self.left)) == set(_parts(self.right)):
            raise TenterError(f"{'+'.join(_parts(self.left))} was compared with itself")
        set_field(self, "strength", _strength(self.strength))
        self._check_remarks()

    @property
    def sides(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The cloths of the left and of the right side."""
        return _parts(self.left), _parts(self.right)

    @property
    def cloths(self) -> tuple[str, ...]:
        """Every cloth held; one that both sides share is named once."""
        return tuple(dict.fromkeys((*_parts(self.left), *_parts(self.right))))

    @property
    def pair(self) -> frozenset[tuple[str, ...]]:
        """The two sides whatever their order, to find repeats."""
        return frozenset(tuple(sorted(side)) for side in self.sides)

    @property
    def winner(self) -> tuple[str, ...] | None:
        """The better side, or None for an equal answer."""
        return {Answer.LEFT: self.sides[0], Answer.RIGHT: self.sides[1]}.get(self.answer)


@dataclass(frozen=True)
class Group:
    """Several cloths judged as one step of a fan."""

    ids: tuple[str, ...]

    def __post_init__(self) -> None:
        set_field(self, "ids", _parts(_checked_side(self.ids)))


@dataclass(frozen=True)
class FanJudgement(Remarks):
    """Three or more cloths or groups put in order, best first; a tuple inside is a tie."""

    ranking: tuple[str | Group | tuple[str | Group, ...], ...]

    def __post_init__(self) -> None:
        if not isinstance(self.ranking, tuple | list) or any(map(_is_empty, self.ranking)):
            raise TenterError(f"a ranking is a tuple of cloths, groups or ties, best first; got {shown(self.ranking)}")
        set_field(self, "ranking", tuple(_rank(r) for r in self.ranking))
        if len(self.steps) < 3:
            raise TenterError(f"a fan needs at least three cloths; got {len(self.steps)}; use PairJudgement for two")
        if len(set(self.cloths)) < len(self.cloths):
            raise TenterError("a fan names a cloth twice")
        if (most := max(map(len, self.ranks))) > MOST_TIED:
            raise TenterError(
                f"{most} cloths tie in one rank of a fan, and {MOST_TIED} at most can be read; "
                "enter those that belong together as one Group, or leave out those between which nothing was seen"
            )
        self._check_remarks()

    @property
    def ranks(self) -> tuple[tuple[tuple[str, ...], ...], ...]:
        """Best rank first; each rank holds the steps that tied, each step its cloths."""
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


def _rank(rank: Any) -> Any:
    """Return a rank as it is kept: a tie as a tuple, and a tie or a group of one as that one."""
    if not isinstance(rank, tuple | list):
        return _one(rank)
    tied = tuple(_one(step) for step in rank)
    return tied[0] if len(tied) == 1 and isinstance(tied[0], str | Group) else tied


def _one(step: Any) -> Any:
    return step.ids[0] if isinstance(step, Group) and len(step.ids) == 1 else step


def _step(step: str | Group) -> tuple[str, ...]:
    if isinstance(step, Group):
        return step.ids
    if isinstance(step, str) and step:
        return (given_text(step, "a cloth's id"),)
    raise TenterError(f"a step of a fan is a cloth's id or a Group, got {shown(step)}")


@dataclass(frozen=True)
class DrapeJudgement(Remarks):
    """One cloth on its own."""

    drape: Side
    suits: Suits

    def __post_init__(self) -> None:
        set_field(self, "drape", _checked_side(self.drape))
        set_field(self, "suits", _member(Suits, self.suits, "answer"))
        self._check_remarks()

    @property
    def cloths(self) -> tuple[str, ...]:
        """The cloth held, or the cloths of a combination."""
        return _parts(self.drape)


@dataclass(frozen=True)
class Preference(Remarks):
    """A liking. It is kept, shown apart, and never evidence about the face."""

    liked: Side
    over: Side | None = None

    def __post_init__(self) -> None:
        set_field(self, "liked", _checked_side(self.liked))
        if self.over is not None:
            set_field(self, "over", _checked_side(self.over))
            if set(_parts(self.over)) == set(_parts(self.liked)):
                raise TenterError(f"{'+'.join(_parts(self.liked))} was preferred to itself")
        self._check_remarks()

    @property
    def cloths(self) -> tuple[str, ...]:
        """The cloth liked and, if one was named, the one it was liked over."""
        return (*_parts(self.liked), *(_parts(self.over) if self.over is not None else ()))


@dataclass(frozen=True)
class VoidEntry(Remarks):
    """Cloths that were held but not judged, such as a wrong one lifted: kept, and no evidence."""

    PASSED_OVER: ClassVar[str] = "another pair was asked for"  # a note: the pair is not proposed again

    held: tuple[str, ...]

    def __post_init__(self) -> None:
        set_field(self, "held", _parts(_checked_side(self.held)))
        self._check_remarks()

    @property
    def cloths(self) -> tuple[str, ...]:
        """The cloths held."""
        return self.held


class Relative(StrEnum):
    """How a garment differs from a cloth of the kit."""

    WARMER = "warmer"
    COOLER = "cooler"
    LIGHTER = "lighter"
    DEEPER = "deeper"
    BRIGHTER = "brighter"
    SOFTER = "softer"


@dataclass(frozen=True)
class GarmentJudgement(Remarks):
    """A garment of the client's own against a cloth of the kit, in the same hue: a bound, and wide as unmeasured."""

    than: str
    relative: tuple[Relative, ...]
    better: bool
    garment: str = ""

    def __post_init__(self) -> None:
        given_text(self.than, "the cloth of the kit")
        given_text(self.garment, "a garment's name", needed=False)
        set_field(self, "better", given_truth(self.better, "whether the garment was better"))
        set_field(self, "relative", tuple(_member(Relative, w, "word") for w in _listed(self.relative)))
        if not self.relative:
            raise TenterError("say how the garment differs from the cloth: " + ", ".join(Relative))
        self._check_remarks()

    @property
    def cloths(self) -> tuple[str, ...]:
        """The cloth of the kit that the garment was held against."""
        return (self.than,)


@dataclass(frozen=True)
class EarlierResult(Remarks):
    """What another sitting, analyst or method said of this client. It is kept, and no evidence unless asked for."""

    category: str
    method: str = ""

    def __post_init__(self) -> None:
        if not given_text(self.category, "the category of an earlier result", needed=False):
            raise TenterError("an earlier result names a category, such as 'light spring'")
        given_text(self.method, "the method of an earlier result", needed=False)
        self._check_remarks()

    @property
    def cloths(self) -> tuple[str, ...]:
        """No cloth was held."""
        return ()


@dataclass(frozen=True)
class ConsultantVerdict(Remarks):
    """The category that the consultant names as the result, and as its `note` her reason. It is no evidence.

    `method` is the name of the method that the category is of; left out, it is the sitting's.
    """

    category: str
    method: str = ""

    def __post_init__(self) -> None:
        if not given_text(self.category, "the category that the consultant names", needed=False).strip():
            raise TenterError("a consultant's verdict names a category, such as 'light spring'")
        given_text(self.method, "the method of a consultant's verdict", needed=False)
        self._check_remarks()

    @property
    def reason(self) -> str:
        """Why she names it; empty where she gave no reason."""
        return self.note

    @property
    def cloths(self) -> tuple[str, ...]:
        """No cloth was held."""
        return ()


@dataclass(frozen=True)
class Showing(Remarks):
    """One cloth, or one thing that the client brought, held up after the verdict.

    Everybody knows the result by then, so it is never evidence about the season. It is kept as seen on the client.
    A thing that was brought has a name, which is free text.
    """

    worth: Worth
    drape: str = ""
    brought: Brought | None = None
    name: str = ""

    def __post_init__(self) -> None:
        set_field(self, "worth", _member(Worth, self.worth, "answer"))
        given_text(self.drape, "a cloth's id", needed=False)
        set_field(self, "name", given_text(self.name, "the name of what was brought", needed=False).strip())
        if self.brought is not None:
            set_field(self, "brought", _member(Brought, self.brought, "thing"))
        if bool(self.drape) is (self.brought is not None):
            raise TenterError("a showing is of one cloth of the kit, or of one thing that the client brought")
        if (self.brought is not None) is not bool(self.name):
            raise TenterError("a thing that was brought needs a name, such as 'grey blazer'; a cloth has its own")
        self._check_remarks()

    @property
    def cloths(self) -> tuple[str, ...]:
        """The cloth shown; none for a thing that was brought."""
        return (self.drape,) if self.drape else ()


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
