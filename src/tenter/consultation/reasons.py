"""Why: the entries that speak for a verdict and against it, each with what it is worth, and all of an axis together.

What a single entry is worth is what is lost when it alone is left out. Of several that say the same, each is then worth
little, and all of them much: so the worth of all that speak about one axis stands beside them.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.consultation.answers import Answer, Suits, View
from tenter.consultation.axes import Axis
from tenter.consultation.bench import Bench
from tenter.consultation.evidence import differing
from tenter.consultation.face_places import seen_where
from tenter.consultation.flags import Flagged
from tenter.consultation.history import Entry
from tenter.consultation.judgements import DrapeJudgement, FanJudgement, GarmentJudgement, Judgement, PairJudgement
from tenter.consultation.pull import Named, direction, main_axis, named
from tenter.consultation.reading import Reading
from tenter.consultation.traits import LeadingTrait
from tenter.inference.posterior import log_odds

_SHARE = 0.005  # of the probability: what has less is not worth naming
_LEAST = 0.05  # log odds: below it an entry is neither a reason nor an objection
_STRENGTH_WORDS = {1: "a little", 2: "clearly", 3: "strongly"}


@dataclass(frozen=True, slots=True)
class Reason:
    """Entries on the same cloths, a sentence about them, and their worth.

    `log_odds` is by how much the natural log odds of the category against all others fall when the entries are taken
    out and the rest is read again. `speaks_for` is the category that gains most by them. `named` holds the ends that
    the sentence names for cloths that were better. `axis` is the first one's, or else the axis on which they draw the
    client's place furthest, and `direction` the end to which they draw it there: None where that runs against what they
    speak for, as with an answer that leads back from too far. `flagged` is whether one of the entries is among the
    contradictions.
    """

    entries: tuple[int, ...]
    text: str
    log_odds: float
    speaks_for: str
    axis: Axis
    direction: LeadingTrait | None = None
    named: tuple[LeadingTrait, ...] = ()
    flagged: bool = False


@dataclass(frozen=True, slots=True)
class Together:
    """All entries that speak about one axis, and what they are worth to the category when all are left out."""

    entries: tuple[int, ...]
    log_odds: float


@dataclass(frozen=True, slots=True)
class Told:
    """What speaks for a category and against it, strongest first, and what each axis comes to as a whole."""

    reasons: tuple[Reason, ...]
    against: tuple[Reason, ...]
    by_axis: Mapping[Axis, Together]


def groups_of(sitting: Reading) -> list[tuple[Entry, ...]]:
    """Return the entries that count, those on the same cloths together."""
    groups: dict[object, list[Entry]] = {}
    for entry in sitting.evidence:
        judgement = entry.judgement
        key: object = judgement.pair if isinstance(judgement, PairJudgement) else frozenset(judgement.cloths)
        groups.setdefault(key, []).append(entry)
    return [tuple(group) for group in groups.values()]


def reasons(sitting: Reading, category: str, doubted: Collection[int] = ()) -> Told:
    """Return what speaks for a category and against it; `doubted` are the numbers of contradicting entries."""
    told = [_reason(sitting, group, category, doubted) for group in groups_of(sitting)]
    told.sort(key=lambda r: -steady(abs(r.log_odds)))
    return Told(
        tuple(r for r in told if r.log_odds >= _LEAST),
        tuple(r for r in told if r.log_odds <= -_LEAST),
        _by_axis(sitting, told, category),
    )


def _by_axis(sitting: Reading, told: Sequence[Reason], category: str) -> dict[Axis, Together]:
    found = {}
    for axis in Axis:
        numbers = sorted(n for r in told if r.axis is axis for n in r.entries)
        if numbers:
            found[axis] = Together(tuple(numbers), _worth(sitting, numbers, category))
    return found


def _worth(sitting: Reading, numbers: Sequence[int], category: str) -> float:
    leave_out, place = sitting.without(), sitting.method.categories.index(category)
    whole, rest = (float(leave_out.category_masses(gone)[place]) for gone in ([], numbers))
    return log_odds(whole) - log_odds(rest)


def _reason(sitting: Reading, group: Sequence[Entry], category: str, doubted: Collection[int]) -> Reason:
    numbers = tuple(e.number for e in group)
    worth, pull = _worth(sitting, numbers, category), sitting.without().pull(numbers)
    gaining = category if worth >= 0 else _gaining_most(sitting, numbers)
    words = _Words(sitting.bench, np.array(sitting.method.region(category).prototype), pull, worth >= 0, category)
    told = [words.named(entry) for entry in group]
    ends = tuple(dict.fromkeys(end for one in told if not one.overshoot for end in one.ends))
    axis = ends[0].axis if ends else main_axis(pull, _apart(sitting.bench, group))
    own = [n for n in numbers if n in doubted]
    against = worth < 0 and gaining == category
    text = f"{_shown(words, group)} It speaks {'against' if against else 'for'} {gaining}.{_doubt(own)}"
    return Reason(numbers, text, worth, gaining, axis, words.direction(axis), ends, bool(own))


def _apart(bench: Bench, group: Sequence[Entry]) -> FloatArray:
    """Return how far the cloths of some entries lie apart (3,) in bench units; alike on each axis where one is held."""
    sides = [side for e in group for side in _sides(e.judgement)]
    places = np.array([_position(bench, side) for side in sides])
    return np.ptp(places, axis=0) if len(sides) > 1 else np.ones(len(Axis))


def _sides(judgement: Judgement) -> Sequence[Sequence[str]]:
    return differing(judgement) if isinstance(judgement, PairJudgement) else [[c] for c in judgement.cloths]


def _gaining_most(sitting: Reading, numbers: Sequence[int]) -> str:
    """Return the category whose odds some entries raise most, among those that have a share worth speaking of."""
    leave_out = sitting.without()
    whole, rest = leave_out.category_masses([]), leave_out.category_masses(numbers)
    gained = np.where(whole > _SHARE, np.log(np.maximum(whole, 1e-12) / np.maximum(rest, 1e-12)), -np.inf)
    return sitting.method.categories[int(steady(gained).argmax())]


def _shown(words: "_Words", group: Sequence[Entry]) -> str:
    told_in: dict[str, list[int]] = {}
    for entry in group:
        told_in.setdefault(words.answer(entry), []).append(entry.number)
    return " ".join(f"{told} ({_entries(numbers)})." for told, numbers in told_in.items())


def _doubt(numbers: Sequence[int]) -> str:
    if not numbers:
        return ""
    stands = "is" if len(numbers) == 1 else "are"
    return f" {_entries(numbers).capitalize()} {stands} doubted: the other answers speak against it."


@dataclass(frozen=True)
class _Words:
    """How answers are told beside a category with a prototype (3,) that they pull (3,) to or from."""

    bench: Bench
    prototype: FloatArray
    pull: FloatArray
    speaks_for: bool
    category: str

    def answer(self, entry: Entry) -> str:
        return _answer_words(self, entry)

    def direction(self, axis: Axis) -> LeadingTrait | None:
        """Return the end to which the client's place is drawn along an axis, unless it runs against what is said."""
        return direction(axis, self.pull, self.prototype, self.speaks_for)

    def named(self, entry: Entry) -> Named:
        """Return what to name of one answer: nothing but of a pair that somebody won."""
        judgement = entry.judgement
        if not isinstance(judgement, PairJudgement) or judgement.answer.is_equal:
            return Named()
        left, right = differing(judgement)
        gain = _position(self.bench, left) - _position(self.bench, right)
        won_left = judgement.winner == judgement.sides[0]
        return named(self.pull, gain if won_left else -gain, self.prototype, self.speaks_for)


def _answer_words(words: _Words, entry: Entry) -> str:
    judgement, bench = entry.judgement, words.bench
    if isinstance(judgement, PairJudgement):
        told = _pair_words(words, entry, judgement)
    elif isinstance(judgement, FanJudgement):
        order = ", then ".join(" level with ".join(_name(bench, step) for step in rank) for rank in judgement.ranks)
        told = f"Of {len(judgement.steps)} steps the order was {order}"
    elif isinstance(judgement, DrapeJudgement):
        did = {Suits.WORKS: "worked", Suits.TOLERABLE: "was tolerable", Suits.FAILS: "did not work"}
        told = f"{_name(bench, judgement.cloths)} on its own {did[judgement.suits]}"
    elif isinstance(judgement, GarmentJudgement):
        verb = "was better" if judgement.better else "was not as good"
        told = f"A {' and '.join(judgement.relative)} garment of one's own {verb} than {_name(bench, judgement.cloths)}"
    else:
        told = f"{_name(bench, judgement.cloths)} was held"
    remarks = [_flag_words(bench, f) for f in judgement.flags]
    place = seen_where([judgement.region or ""])
    view = {View.SPLIT: " in a half-face view", View.PHOTOGRAPH: " on a photograph"}.get(judgement.view, "")
    said = f"; {' and '.join(remarks)}" if remarks else ""
    return f"{told}{view}{place}{said}"


def _entries(numbers: Sequence[int]) -> str:
    return f"entry {numbers[0]}" if len(numbers) == 1 else "entries " + " and ".join(str(n) for n in numbers)


def _name(bench: Bench, cloths: Sequence[str]) -> str:
    return " with ".join(bench.kit[c].name for c in cloths)


def _flag_words(bench: Bench, flagged: Flagged) -> str:
    word = flagged.flag.replace("-", " ")
    return f"{bench.kit[flagged.drape].name} was {word}"


def _pair_words(words: _Words, entry: Entry, judgement: PairJudgement) -> str:
    left, right = judgement.sides
    bench = words.bench
    if judgement.answer.is_equal:
        equal = {
            Answer.NOTHING_SEEN: "showed no difference",
            Answer.BOTH_GOOD: "were equally good",
            Answer.BOTH_WRONG: "were both wrong",
        }
        return f"{_name(bench, left)} and {_name(bench, right)} {equal[judgement.answer]}"
    better, worse = (left, right) if judgement.winner == left else (right, left)
    found = words.named(entry)
    verb = f"was {_strength_words(judgement, found)} better than"
    ends = " and ".join(f"{end}er" for end in found.ends)
    if not found.ends:
        return f"{_name(bench, better)} {verb} {_name(bench, worse)}"
    if not found.overshoot:
        return f"{_name(bench, better)}, the {ends} cloth, {verb} {_name(bench, worse)}"
    if words.speaks_for:
        too = "" if _said_of(judgement, worse) else f", which by all the answers is too {found.ends[0].opposite}"
        return f"{_name(bench, better)} {verb} {_name(bench, worse)}{too}"
    return f"{_name(bench, better)}, {ends} still than {words.category}, {verb} {_name(bench, worse)}"


def _strength_words(judgement: PairJudgement, found: Named) -> str:
    """Return how much better, and that it was no more where it draws the other way for that."""
    words = _STRENGTH_WORDS[judgement.strength]
    return f"only {words}" if judgement.strength == 1 and not found.ends else words


def _said_of(judgement: PairJudgement, cloths: Sequence[str]) -> bool:
    """Whether the analyst has said what was wrong with one of these cloths."""
    return any(flagged.drape in cloths for flagged in judgement.flags)


def _position(bench: Bench, cloths: Sequence[str]) -> FloatArray:
    """Return the mean place (3,) of cloths in bench units."""
    place: FloatArray = bench.coordinates[[bench.kit.row(c) for c in cloths]].mean(axis=0)
    return place
