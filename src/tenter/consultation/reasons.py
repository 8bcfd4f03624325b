"""Why: the entries that speak for a verdict and against it, each with what it is worth."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tenter.arrays import steady
from tenter.consultation.axes import Axis
from tenter.consultation.bench import Bench
from tenter.consultation.evidence import axes_tested, differing
from tenter.consultation.flags import Flagged
from tenter.consultation.history import Entry
from tenter.consultation.judgements import (
    Answer,
    DrapeJudgement,
    FanJudgement,
    GarmentJudgement,
    PairJudgement,
    Suits,
    View,
)
from tenter.consultation.reading import Reading
from tenter.consultation.traits import trait_word
from tenter.inference.posterior import log_odds

_LEAST = 0.05  # log odds: below it an entry is neither a reason nor an objection
_STRENGTH_WORDS = {1: "a little", 2: "clearly", 3: "strongly"}


@dataclass(frozen=True, slots=True)
class Reason:
    """Entries on the same cloths, a sentence about them, and their worth.

    `log_odds` is by how much the natural log odds of the category against all others fall when the entries are taken
    out and the rest is read again.
    """

    entries: tuple[int, ...]
    text: str
    log_odds: float


def worth_of_entries(sitting: Reading, category: str) -> list[tuple[tuple[Entry, ...], float]]:
    """Return groups of entries on the same cloths and what each is worth to a category, in log odds."""
    leave_out, place = sitting.without(), sitting.method.categories.index(category)
    whole = log_odds(float(leave_out.category_masses([])[place]))
    groups: dict[object, list[Entry]] = {}
    for entry in sitting.evidence:
        judgement = entry.judgement
        key: object = judgement.pair if isinstance(judgement, PairJudgement) else frozenset(judgement.cloths)
        groups.setdefault(key, []).append(entry)
    return [
        (tuple(group), whole - log_odds(float(leave_out.category_masses([e.number for e in group])[place])))
        for group in groups.values()
    ]


def reasons(sitting: Reading, category: str) -> tuple[tuple[Reason, ...], tuple[Reason, ...]]:
    """Return the reasons for a category, strongest first, and those against it, strongest first."""
    told = [
        Reason(tuple(e.number for e in group), _sentence(sitting.bench, group, category, worth), worth)
        for group, worth in worth_of_entries(sitting, category)
    ]
    told.sort(key=lambda r: -steady(abs(r.log_odds)))
    return tuple(r for r in told if r.log_odds >= _LEAST), tuple(r for r in told if r.log_odds <= -_LEAST)


def _sentence(bench: Bench, group: Sequence[Entry], category: str, worth: float) -> str:
    told_in: dict[str, list[int]] = {}
    for entry in group:
        told_in.setdefault(_answer_words(bench, entry), []).append(entry.number)
    shown = " ".join(f"{words} ({_entries(numbers)})." for words, numbers in told_in.items())
    factor = float(np.exp(abs(worth)))
    effect = "raises" if worth >= 0 else "lowers"
    told = f"{factor:.1f}" if factor < 20 else f"{factor:.0f}"
    return f"{shown} This {effect} the odds of {category} {told} times."


def _answer_words(bench: Bench, entry: Entry) -> str:
    judgement = entry.judgement
    if isinstance(judgement, PairJudgement):
        told = _pair_words(bench, judgement)
    elif isinstance(judgement, FanJudgement):
        order = ", then ".join(" level with ".join(_name(bench, step) for step in rank) for rank in judgement.ranks)
        told = f"Of {len(judgement.steps)} steps the order was {order}"
    elif isinstance(judgement, DrapeJudgement):
        words = {Suits.WORKS: "worked", Suits.TOLERABLE: "was tolerable", Suits.FAILS: "did not work"}
        told = f"{_name(bench, judgement.cloths)} on its own {words[judgement.suits]}"
    elif isinstance(judgement, GarmentJudgement):
        verb = "was better" if judgement.better else "was not as good"
        told = f"A {' and '.join(judgement.relative)} garment of one's own {verb} than {_name(bench, judgement.cloths)}"
    else:
        told = f"{_name(bench, judgement.cloths)} was held"
    remarks = [_flag_words(bench, f) for f in judgement.flags]
    place = _seen_where(judgement.region) if judgement.region else ""
    view = {View.SPLIT: " in a half-face view", View.PHOTOGRAPH: " on a photograph"}.get(judgement.view, "")
    said = f"; {' and '.join(remarks)}" if remarks else ""
    return f"{told}{view}{place}{said}"


def _seen_where(region: str) -> str:
    word = region.replace("-", " ").strip()
    if word in ("whole", "whole face", "face"):
        return ", seen over the whole face"
    return f", seen in the {word}" if word in ("contrast", "eye white") else f", seen at the {word}"


def _entries(numbers: Sequence[int]) -> str:
    return f"entry {numbers[0]}" if len(numbers) == 1 else "entries " + " and ".join(str(n) for n in numbers)


def _name(bench: Bench, cloths: Sequence[str]) -> str:
    return " with ".join(bench.kit[c].name for c in cloths)


def _flag_words(bench: Bench, flagged: Flagged) -> str:
    word = flagged.flag.replace("-", " ")
    return f"{bench.kit[flagged.drape].name} was {word}"


def _pair_words(bench: Bench, judgement: PairJudgement) -> str:
    left, right = judgement.sides
    axis = _main_axis(bench, judgement)
    if judgement.answer.is_equal:
        equal = {
            Answer.NOTHING_SEEN: "showed no difference",
            Answer.BOTH_GOOD: "were equally good",
            Answer.BOTH_WRONG: "were both wrong",
        }
        return f"{_name(bench, left)} and {_name(bench, right)} {equal[judgement.answer]}"
    better, worse = (left, right) if judgement.winner == left else (right, left)
    gained = _position(bench, better, axis) - _position(bench, worse, axis)
    side = f"the {trait_word(axis, gained)}er cloth"
    strength = _STRENGTH_WORDS[judgement.strength]
    return f"{_name(bench, better)}, {side}, was {strength} better than {_name(bench, worse)}"


def _main_axis(bench: Bench, judgement: PairJudgement) -> Axis:
    left, right = differing(judgement)
    tested = axes_tested(bench, judgement)
    apart = {a: abs(_position(bench, left, a) - _position(bench, right, a)) for a in tested or frozenset(Axis)}
    return max(apart, key=lambda a: steady(apart[a]))


def _position(bench: Bench, cloths: Sequence[str], axis: Axis) -> float:
    return float(np.mean([bench.coordinates[bench.kit.row(c), axis.column] for c in cloths]))
