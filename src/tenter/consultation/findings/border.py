"""The border check: whether the neighbour that shares the leading trait did better than the season's other neighbours.

Common practice, no source: the neighbour across the border that shares the leading trait comes second. The check counts
what was seen with cloth and asks no model, so that it can speak against the odds. A photograph says nothing here. Its
scores and its limit are ours.
"""

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum, StrEnum
from typing import NamedTuple

import numpy as np

from tenter.arrays import steady
from tenter.consultation.conventions.method import Method
from tenter.consultation.reading.evidence import differing_cloths
from tenter.consultation.reading.reading import Reading
from tenter.consultation.reading.weighing import entry_weights
from tenter.consultation.record.judgements import DrapeJudgement, FanJudgement, Judgement, PairJudgement
from tenter.consultation.words import terms
from tenter.consultation.words.answers import Answer, Suits, View
from tenter.language import N_, Sentence, gettext_lazy, in_a_row_lazy

_MUCH, _LITTLE = 1.0, 0.5  # what an answer of strength 2 or 3, and of strength 1, counts for; set by judgement
_NOISE = 0.7  # spread of what one entry tells; a difference within its standard error counts as level
_SUITS = {Suits.WORKS: _MUCH, Suits.TOLERABLE: 0.0, Suits.FAILS: -_MUCH}
_EQUAL = {Answer.BOTH_GOOD: _MUCH, Answer.BOTH_WRONG: -_MUCH}


class BorderCheck(StrEnum):
    """What the judged cloths of the neighbours say of the convention."""

    AGREES = "agrees"
    CONTRADICTS = "contradicts"
    LEVEL = "level"
    UNTESTED = "untested"


_WORDS = {
    BorderCheck.AGREES: N_(
        "Cloths of {neighbour} did better than those of {others}, as expected by convention ({entries})."
    ),
    BorderCheck.CONTRADICTS: N_(
        "Cloths of {neighbour} did worse than those of {others}, where by convention they do better ({entries})."
    ),
    BorderCheck.LEVEL: N_(
        "Cloths of {neighbour} did about as well as those of {others}, where by convention they do better ({entries})."
    ),
    BorderCheck.UNTESTED: N_(
        "Not tested: whether {neighbour} does better than {others}. No entries compare their cloths alike."
    ),
}


@dataclass(frozen=True, slots=True)
class Border:
    """How the trait neighbour's cloths did beside those of the season's other neighbours.

    `others` are the trait neighbours of the siblings. `entries` and `other_entries` are those in which cloths of the
    neighbour and of the others were judged alike: alone, against the client's own category, or each other.
    """

    neighbour: str
    others: tuple[str, ...]
    check: BorderCheck
    entries: tuple[int, ...]
    other_entries: tuple[int, ...]
    told: Sentence

    @property
    def text(self) -> str:
        """What the check found, in the language that is written."""
        return str(self.told)


class _Party(Enum):
    """In whose cell a cloth lies, as far as it matters here."""

    CLIENT = "the client's own category"
    NEIGHBOUR = "the trait neighbour"
    OTHERS = "the season's other neighbours"


class _How(Enum):
    """How cloths were judged. Only like is compared with like: to lose to a cloth of one's own is not to fail."""

    ALONE = "alone, or with another as both good or both wrong"
    AGAINST_CLIENTS = "against cloths of the client's own category"
    AGAINST_EACH_OTHER = "the neighbour against the others"


class _Told(NamedTuple):
    """What an entry tells of a party: from -1, much worse or failing, to 1."""

    how: _How
    party: _Party
    score: float
    weight: float
    number: int


def border(sitting: Reading, category: str) -> Border | None:
    """Return how a category's neighbours did, or None where the method names no other neighbours to compare with."""
    neighbour, others = _neighbours(sitting.method, category)
    if neighbour is None or not others:
        return None
    told = _told(sitting, _parties(sitting, category, neighbour, others))
    compared = [
        (own, rest)
        for how in _How
        if (own := _of(told, how, _Party.NEIGHBOUR)) and (rest := _of(told, how, _Party.OTHERS))
    ]
    check = _check(compared)
    entries, other_entries = (tuple(sorted({t.number for pair in compared for t in pair[side]})) for side in (0, 1))
    found = _sentence(sitting.method, category, check, entries, other_entries)
    return Border(neighbour, others, check, entries, other_entries, found)


def _neighbours(method: Method, category: str) -> tuple[str | None, tuple[str, ...]]:
    region = method.region(category)
    siblings = (r for r in method.regions if r.season == region.season and r.name != category)
    found = dict.fromkeys(r.trait_neighbour for r in siblings if r.trait_neighbour is not None)
    return region.trait_neighbour, tuple(n for n in found if n not in (category, region.trait_neighbour))


def _parties(sitting: Reading, category: str, neighbour: str, others: Sequence[str]) -> dict[str, _Party]:
    """Return the party of each cloth by the cell it lies in; metals, unmeasured and all other cloths have none."""
    bench, method = sitting.bench, sitting.method
    of_cell = dict.fromkeys(others, _Party.OTHERS) | {category: _Party.CLIENT, neighbour: _Party.NEIGHBOUR}
    known = ~bench.metals & ~bench.spreads.any(axis=1)
    cells = [method.category_at(x) for x in bench.coordinates]
    return {
        i: of_cell[cell]
        for i, cell, is_known in zip(bench.kit.ids, cells, known, strict=True)
        if is_known and cell in of_cell
    }


def _told(sitting: Reading, parties: Mapping[str, _Party]) -> list[_Told]:
    """Return what the entries with cloth tell of each party, weighed as everywhere."""
    weights = entry_weights(sitting.evidence)
    return [
        _Told(how, party, score, weights[entry.number], entry.number)
        for entry in sitting.evidence
        if weights[entry.number] > 0 and entry.judgement.view is not View.PHOTOGRAPH
        for how, party, score in _scores(entry.judgement, parties)
    ]


def _scores(judgement: Judgement, parties: Mapping[str, _Party]) -> Iterator[tuple[_How, _Party, float]]:
    for cloths, score in _alone(judgement):
        party = _party(cloths, parties)
        if party:
            yield _How.ALONE, party, score
    for winner, loser, step in _meetings(judgement):
        better, worse = _party(winner, parties), _party(loser, parties)
        if better and worse and better is not worse:
            how = _How.AGAINST_CLIENTS if _Party.CLIENT in (better, worse) else _How.AGAINST_EACH_OTHER
            yield how, better, step
            yield how, worse, -step


def _alone(judgement: Judgement) -> Iterator[tuple[Sequence[str], float]]:
    if isinstance(judgement, DrapeJudgement):
        yield judgement.cloths, _SUITS[judgement.suits]
    elif isinstance(judgement, PairJudgement) and judgement.answer in _EQUAL:
        yield from ((side, _EQUAL[judgement.answer]) for side in differing_cloths(judgement))


def _meetings(judgement: Judgement) -> Iterator[tuple[Sequence[str], Sequence[str], float]]:
    """Give each better and worse side of a judgement with the step between them; a fan names no strength."""
    if isinstance(judgement, PairJudgement) and judgement.winner is not None:
        left, right = differing_cloths(judgement)
        better, worse = (left, right) if judgement.answer is Answer.LEFT else (right, left)
        yield better, worse, _MUCH if judgement.strength >= 2 else _LITTLE
    elif isinstance(judgement, FanJudgement):
        for above, below in itertools.combinations(judgement.ranks, 2):
            yield from ((better, worse, _LITTLE) for better in above for worse in below)


def _party(cloths: Sequence[str], parties: Mapping[str, _Party]) -> _Party | None:
    found = {parties.get(c) for c in cloths}
    return found.pop() if len(found) == 1 else None


def _of(told: Sequence[_Told], how: _How, party: _Party) -> list[_Told]:
    return [t for t in told if t.how is how and t.party is party]


def _mean(told: Sequence[_Told]) -> float:
    return float(np.average([t.score for t in told], weights=[t.weight for t in told]))


def _check(compared: Sequence[tuple[Sequence[_Told], Sequence[_Told]]]) -> BorderCheck:
    """Compare means, each way of judging by what it weighs: the inverse of the variance of its difference."""
    if not compared:
        return BorderCheck.UNTESTED
    gains = [_mean(own) - _mean(rest) for own, rest in compared]
    worth = [1 / (1 / _weight(own) + 1 / _weight(rest)) for own, rest in compared]
    gained = float(np.average(gains, weights=worth))
    if steady(abs(gained) - _NOISE / float(np.sqrt(sum(worth)))) <= 0:
        return BorderCheck.LEVEL
    return BorderCheck.AGREES if gained > 0 else BorderCheck.CONTRADICTS


def _weight(told: Sequence[_Told]) -> float:
    return sum(t.weight for t in told)


def _sentence(
    method: Method, category: str, check: BorderCheck, entries: Sequence[int], other_entries: Sequence[int]
) -> Sentence:
    neighbour, others = _neighbours(method, category)
    trait = method.region(category).leading_trait
    who = (
        N_("{found} Both {category} and {neighbour} have the trait {trait}.")
        if trait
        else N_("{found} By convention {neighbour} is the neighbour of {category}.")
    )
    own, said_neighbour = terms.season_sentence(category), terms.season_sentence(neighbour or "")
    found = gettext_lazy(
        _WORDS[check],
        neighbour=said_neighbour,
        others=terms.one_and_another(map(terms.season_sentence, others)),
        entries=_entries(entries, other_entries),
    )
    shared = {"trait": terms.trait_sentence(trait)} if trait else {}
    return gettext_lazy(who, found=found, category=own, neighbour=said_neighbour, **shared)


def _entries(own: Sequence[int], others: Sequence[int]) -> Sentence:
    told, beside = (terms.entries(numbers, in_a_row_lazy(numbers)) for numbers in (own, others))
    return told if own == others else gettext_lazy("{entries} beside {others}", entries=told, others=beside)
