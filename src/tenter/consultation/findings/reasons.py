"""Why: the entries that speak for a verdict and against it, each with what it is worth, and all of an axis together.

What a single entry is worth is what is lost when it alone is left out. Of several that say the same, each is then worth
little, and all of them much: so the worth of all that speak about one axis stands beside them.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import reduce

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.consultation.axes import Axis
from tenter.consultation.findings.pull import Named, direction, main_axis, what_to_name
from tenter.consultation.laid_out.bench import Bench
from tenter.consultation.reading.evidence import differing_cloths
from tenter.consultation.reading.reading import Reading
from tenter.consultation.record.history import Entry
from tenter.consultation.record.judgements import (
    DrapeJudgement,
    FanJudgement,
    GarmentJudgement,
    Judgement,
    PairJudgement,
)
from tenter.consultation.words import terms
from tenter.consultation.words.answers import Answer, Suits, View
from tenter.consultation.words.face_places import places_seen
from tenter.consultation.words.flags import Flagged
from tenter.consultation.words.traits import LeadingTrait
from tenter.inference.posterior import log_odds
from tenter.language import N_, Sentence, gettext_lazy, ngettext_lazy, pgettext_lazy

_SHARE = 0.005  # of the probability: what has less is not worth naming
_LEAST = 0.05  # log odds: below it an entry is neither a reason nor an objection
STRENGTH_WORDS = {1: "a little", 2: "clearly", 3: "strongly"}
ONLY_A_LITTLE = "only a little"
_EQUAL = {
    Answer.NOTHING_SEEN: N_("{one} and {other} showed no difference"),
    Answer.BOTH_GOOD: N_("{one} and {other} were equally good"),
    Answer.BOTH_WRONG: N_("{one} and {other} were both wrong"),
}
_ALONE = {
    Suits.WORKS: N_("{cloth} on its own worked"),
    Suits.TOLERABLE: N_("{cloth} on its own was tolerable"),
    Suits.FAILS: N_("{cloth} on its own did not work"),
}
_VIEWS = {View.SPLIT: N_("{told} in a half-face view"), View.PHOTOGRAPH: N_("{told} on a photograph")}


@dataclass(frozen=True, slots=True)
class EvidenceReason:
    """Entries on the same cloths, what is told of them, and their worth.

    `log_odds` is by how much the natural log odds of the category against all others fall when the entries are taken
    out and the rest is read again. `speaks_for` is the category that gains most by them. `named` holds the ends that
    the sentence names for cloths that were better. `axis` is the first one's, or else the axis on which they draw the
    client's place furthest, and `direction` the end to which they draw it there: None where that runs against what they
    speak for, as with an answer that leads back from too far. `flagged` is whether one of the entries is among the
    contradictions.
    """

    entries: tuple[int, ...]
    told: tuple[Sentence, ...]
    log_odds: float
    speaks_for: str
    axis: Axis
    direction: LeadingTrait | None = None
    named: tuple[LeadingTrait, ...] = ()
    flagged: bool = False

    @property
    def text(self) -> str:
        """What is told of them, as a text in the language that is written."""
        return " ".join(map(str, self.told))


@dataclass(frozen=True, slots=True)
class AxisTogether:
    """All entries that speak about one axis, and what they are worth to the category when all are left out.

    log_odds: natural, above 0 where they speak for it.
    """

    entries: tuple[int, ...]
    log_odds: float


@dataclass(frozen=True, slots=True)
class ToldReasons:
    """What speaks for a category and against it, strongest first, and what each axis comes to as a whole."""

    reasons: tuple[EvidenceReason, ...]
    against: tuple[EvidenceReason, ...]
    by_axis: Mapping[Axis, AxisTogether]


def groups_of(sitting: Reading) -> list[tuple[Entry, ...]]:
    """Return the entries that count, those on the same cloths together."""
    groups: dict[object, list[Entry]] = {}
    for entry in sitting.evidence:
        judgement = entry.judgement
        key: object = judgement.pair if isinstance(judgement, PairJudgement) else frozenset(judgement.cloths)
        groups.setdefault(key, []).append(entry)
    return [tuple(group) for group in groups.values()]


def reasons(sitting: Reading, category: str, doubted: Collection[int] = ()) -> ToldReasons:
    """Return what speaks for a category and against it; `doubted` are the numbers of contradicting entries."""
    told = [_reason(sitting, group, category, doubted) for group in groups_of(sitting)]
    told.sort(key=lambda r: -steady(abs(r.log_odds)))
    return ToldReasons(
        tuple(r for r in told if r.log_odds >= _LEAST),
        tuple(r for r in told if r.log_odds <= -_LEAST),
        _by_axis(sitting, told, category),
    )


def _by_axis(sitting: Reading, told: Sequence[EvidenceReason], category: str) -> dict[Axis, AxisTogether]:
    found = {}
    for axis in Axis:
        numbers = sorted(n for r in told if r.axis is axis for n in r.entries)
        if numbers:
            found[axis] = AxisTogether(tuple(numbers), _worth(sitting, numbers, category))
    return found


def _worth(sitting: Reading, numbers: Sequence[int], category: str) -> float:
    leave_out, place = sitting.without(), sitting.method.categories.index(category)
    whole, rest = (float(leave_out.category_masses(gone)[place]) for gone in ([], numbers))
    return log_odds(whole) - log_odds(rest)


def _reason(sitting: Reading, group: Sequence[Entry], category: str, doubted: Collection[int]) -> EvidenceReason:
    numbers = tuple(e.number for e in group)
    worth, pull = _worth(sitting, numbers, category), sitting.without().pull(numbers)
    gaining = category if worth >= 0 else _gaining_most(sitting, numbers)
    words = _Words(sitting.bench, np.array(sitting.method.region(category).prototype), pull, worth >= 0, category)
    told = [words.named(entry) for entry in group]
    ends = tuple(dict.fromkeys(end for one in told if not one.overshoot for end in one.ends))
    axis = ends[0].axis if ends else main_axis(pull, _apart(sitting.bench, group))
    own = [n for n in numbers if n in doubted]
    against = worth < 0 and gaining == category
    speaks = N_("It speaks against {category}.") if against else N_("It speaks for {category}.")
    shown = (*_shown(words, group), gettext_lazy(speaks, category=terms.season_sentence(gaining)), *_doubt(own))
    return EvidenceReason(numbers, shown, worth, gaining, axis, words.direction(axis), ends, bool(own))


def _apart(bench: Bench, group: Sequence[Entry]) -> FloatArray:
    """Return how far the cloths of some entries lie apart (3,) in bench units; alike on each axis where one is held."""
    sides = [side for e in group for side in _sides(e.judgement)]
    places = np.array([_position(bench, side) for side in sides])
    return np.ptp(places, axis=0) if len(sides) > 1 else np.ones(len(Axis))


def _sides(judgement: Judgement) -> Sequence[Sequence[str]]:
    return differing_cloths(judgement) if isinstance(judgement, PairJudgement) else [[c] for c in judgement.cloths]


def _gaining_most(sitting: Reading, numbers: Sequence[int]) -> str:
    """Return the category whose odds some entries raise most, among those that have a share worth speaking of."""
    leave_out = sitting.without()
    whole, rest = leave_out.category_masses([]), leave_out.category_masses(numbers)
    gained = np.where(whole > _SHARE, np.log(np.maximum(whole, 1e-12) / np.maximum(rest, 1e-12)), -np.inf)
    return sitting.method.categories[int(steady(gained).argmax())]


def _shown(words: "_Words", group: Sequence[Entry]) -> list[Sentence]:
    told_in: dict[Sentence, list[int]] = {}
    for entry in group:
        told_in.setdefault(words.answer(entry), []).append(entry.number)
    return [gettext_lazy("{told} ({entries}).", told=told, entries=_entries(n)) for told, n in told_in.items()]


def _doubt(numbers: Sequence[int]) -> list[Sentence]:
    if not numbers:
        return []
    told = ngettext_lazy(
        "Entry {numbers} is doubted: the other answers speak against it.",
        "Entries {numbers} are doubted: the other answers speak against it.",
        len(numbers),
        numbers=terms.one_and_another(numbers),
    )
    return [told]


@dataclass(frozen=True)
class _Words:
    """How answers are told beside a category with a prototype (3,) that they pull (3,) to or from."""

    bench: Bench
    prototype: FloatArray
    pull: FloatArray
    speaks_for: bool
    category: str

    def answer(self, entry: Entry) -> Sentence:
        return _answer_words(self, entry)

    def direction(self, axis: Axis) -> LeadingTrait | None:
        """Return the end to which the client's place is drawn along an axis, unless it runs against what is said."""
        return direction(axis, self.pull, self.prototype, self.speaks_for)

    def named(self, entry: Entry) -> Named:
        """Return what to name of one answer: nothing but of a pair that somebody won."""
        judgement = entry.judgement
        if not isinstance(judgement, PairJudgement) or judgement.answer.is_equal:
            return Named()
        left, right = differing_cloths(judgement)
        gain = _position(self.bench, left) - _position(self.bench, right)
        won_left = judgement.winner == judgement.sides[0]
        return what_to_name(self.pull, gain if won_left else -gain, self.prototype, self.speaks_for)


def _answer_words(words: _Words, entry: Entry) -> Sentence:
    judgement = entry.judgement
    told = _what_was_seen(words, entry)
    if judgement.view in _VIEWS:
        told = gettext_lazy(_VIEWS[judgement.view], told=told)
    if places := places_seen([judgement.region or ""]):
        told = gettext_lazy("{told}, seen {places}", told=told, places=terms.one_and_another(places))
    if judgement.flags:
        remarks = terms.one_and_another(_flag_words(words.bench, f) for f in judgement.flags)
        # Of one cloth that worked, what was off about it is told as a limit of that, not beside it.
        worked = isinstance(judgement, DrapeJudgement) and judgement.suits is not Suits.FAILS
        joined = N_("{told}, although {remarks}") if worked else N_("{told}; {remarks}")
        told = gettext_lazy(joined, told=told, remarks=remarks)
    return told


def _what_was_seen(words: _Words, entry: Entry) -> Sentence:
    judgement, bench = entry.judgement, words.bench
    if isinstance(judgement, PairJudgement):
        return _pair_words(words, entry, judgement)
    if isinstance(judgement, FanJudgement):
        return _fan_words(bench, judgement)
    if isinstance(judgement, DrapeJudgement):
        return gettext_lazy(_ALONE[judgement.suits], cloth=_name(bench, judgement.cloths))
    if isinstance(judgement, GarmentJudgement):
        was = (
            N_("A {compared} garment of one's own was better than {cloth}")
            if judgement.better
            else N_("A {compared} garment of one's own was not as good as {cloth}")
        )
        compared = terms.one_and_another(map(terms.compared, judgement.relative))
        return gettext_lazy(was, compared=compared, cloth=_name(bench, judgement.cloths))
    return gettext_lazy("{cloth} was held", cloth=_name(bench, judgement.cloths))


def _fan_words(bench: Bench, judgement: FanJudgement) -> Sentence:
    ranks = (reduce(_level, (_name(bench, step) for step in rank)) for rank in judgement.ranks)
    return ngettext_lazy(
        "Of {count} step the order was {order}",
        "Of {count} steps the order was {order}",
        len(judgement.steps),
        order=reduce(lambda some, one: gettext_lazy("{better}, then {next}", better=some, next=one), ranks),
    )


def _level(some: object, one: object) -> Sentence:
    return gettext_lazy("{cloth} level with {other}", cloth=some, other=one)


def _entries(numbers: Sequence[int]) -> Sentence:
    return terms.entries(numbers, terms.one_and_another(numbers))


def _name(bench: Bench, cloths: Sequence[str]) -> object:
    return terms.cloths_worn_together([bench.kit[c].name for c in cloths])


def _flag_words(bench: Bench, flagged: Flagged) -> Sentence:
    name, flag = bench.kit[flagged.drape].name, flagged.flag
    if flag.direction == 0:
        return gettext_lazy("{cloth} had the right {axis}", cloth=name, axis=terms.axis(flag.axis))
    return gettext_lazy("{cloth} was {said}", cloth=name, said=terms.flag(flag))


def _pair_words(words: _Words, entry: Entry, judgement: PairJudgement) -> Sentence:
    left, right = judgement.sides
    bench = words.bench
    if judgement.answer.is_equal:
        return gettext_lazy(_EQUAL[judgement.answer], one=_name(bench, left), other=_name(bench, right))
    better, worse = (left, right) if judgement.winner == left else (right, left)
    found = words.named(entry)
    said = {"better": _name(bench, better), "worse": _name(bench, worse), "much": _strength_words(judgement, found)}
    ends = terms.one_and_another([terms.compared(terms.more_of(end)) for end in found.ends] or [""])
    if not found.ends or (found.overshoot and words.speaks_for and _said_of(judgement, worse)):
        return gettext_lazy("{better} was {much} better than {worse}", **said)
    if not found.overshoot:
        return gettext_lazy("{better}, the {ends} cloth, was {much} better than {worse}", ends=ends, **said)
    if words.speaks_for:
        return gettext_lazy(
            "{better} was {much} better than {worse}, which by all the answers is too {trait}",
            trait=terms.trait_sentence(found.ends[0].opposite),
            **said,
        )
    return gettext_lazy(
        "{better}, {ends} still than {category}, was {much} better than {worse}",
        ends=ends,
        category=terms.season_sentence(words.category),
        **said,
    )


def _strength_words(judgement: PairJudgement, found: Named) -> Sentence:
    """Return how much better, and that it was no more where it draws the other way for that."""
    words = ONLY_A_LITTLE if judgement.strength == 1 and not found.ends else STRENGTH_WORDS[judgement.strength]
    return pgettext_lazy("how much better", words)


def _said_of(judgement: PairJudgement, cloths: Sequence[str]) -> bool:
    """Whether the analyst has said what was wrong with one of these cloths."""
    return any(flagged.drape in cloths for flagged in judgement.flags)


def _position(bench: Bench, cloths: Sequence[str]) -> FloatArray:
    """Return the mean place (3,) of cloths in bench units."""
    place: FloatArray = bench.coordinates[[bench.kit.row(c) for c in cloths]].mean(axis=0)
    return place
