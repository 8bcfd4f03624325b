"""The sitting told back to the client in about ten pictures: two cloths side by side, and which of them did more.

Told are the pairs that showed most, axis by axis, whichever side they spoke for. Left out are what half-face views
showed of the side of the face alone, repeats of a pair, pairs that were answered now one way and now the other, answers
that the others speak against, and remarks that the cloths' colours do not bear out: the studio's record has them.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import zip_longest

from tenter.arrays import steady
from tenter.consultation.axes import Axis
from tenter.consultation.findings.verdict import Verdict
from tenter.consultation.laid_out.bench import Bench
from tenter.consultation.reading.evidence import differing_cloths
from tenter.consultation.reading.weighing import split_findings
from tenter.consultation.record.history import Entry
from tenter.consultation.record.judgements import FanJudgement, PairJudgement
from tenter.consultation.sitting.sitting import Sitting
from tenter.consultation.words.answers import Answer, View
from tenter.consultation.words.flags import Seen
from tenter.consultation.words.traits import LeadingTrait, trait_word
from tenter.language import N_, _, all_of, ngettext_lazy
from tenter.report.client_paper.answer_words import did_words, ends_of, is_reason, place_of, place_words
from tenter.report.client_paper.seen_on_you import seen_by_axis
from tenter.report.on_screen.plain_cloths import plain_cloth_names
from tenter.report.words import terms
from tenter.report.words.swatches import Swatch
from tenter.report.words.wording import sentence

_MOST = 10  # pictures
# Bench units between two cloths: from which one of them is called the warmer, lighter or brighter, and above which more
# of them shows no more.
_LEAST_STEP, _MOST_STEP = 0.5, 2.0
_TITLES = {
    Axis.UNDERTONE: N_("Warm beside cool"),
    Axis.DEPTH: N_("Light beside deep"),
    Axis.CLARITY: N_("Bright beside soft"),
}
# Which did more, of one colour or of several worn together; both forms are alike in English.
_MORE_THAN = ngettext_lazy(
    "{better} did more for your {place} than {worse}.", "{better} did more for your {place} than {worse}.", 2
)
_MORE_THAN_WHAT_DID = ngettext_lazy(
    "{better} did more for your {place} than {worse}, which {poor}.",
    "{better} did more for your {place} than {worse}, which {poor}.",
    2,
)
_EQUAL = {
    Answer.NOTHING_SEEN: N_("Between {one} and {other} no difference was seen."),
    Answer.BOTH_GOOD: N_("{one} and {other} did equally well."),
    Answer.BOTH_WRONG: N_("Neither {one} nor {other} was yours."),
}


@dataclass(frozen=True, slots=True)
class ScreenLabels:
    """The headings of the client's screen, and what is said there of a cloth that was not held."""

    page: str = N_("Your sitting")
    skip: str = N_("Skip to the page")
    title: str = N_("What you were shown")
    key: str = N_("The line beneath a colour marks the one that did more for you.")
    held: str = N_("seen on you")
    not_held: str = N_("predicted, not held")


@dataclass(frozen=True, slots=True)
class ToldSide:
    """One side of a picture: its cloths, what people call them, and whether it did more than the other."""

    swatches: tuple[Swatch, ...]
    name: str
    did_more: bool


@dataclass(frozen=True, slots=True)
class ToldPicture:
    """Two sides at equal size, and a sentence on what they did; number: of the entry."""

    number: int
    sides: tuple[ToldSide, ToldSide]
    text: str


@dataclass(frozen=True, slots=True)
class ToldGroup:
    """The pictures of one axis. text: what they came to, as the client's paper says it; empty where it says nothing."""

    title: str
    text: str
    pictures: tuple[ToldPicture, ...]


@dataclass(frozen=True, slots=True)
class _Candidate:
    """A pair that may be told, and under which axis. showed: how much, by strength and bench units; 0 where nothing."""

    number: int
    pair: PairJudgement
    axis: Axis
    showed: float


def told_back(sitting: Sitting, verdict: Verdict, swatches: Mapping[str, Swatch]) -> tuple[ToldGroup, ...]:
    """Return the pictures by what they showed; verdict: by the odds, swatches: by the id of the cloth."""
    names, said = plain_cloth_names(sitting.kit), seen_by_axis(sitting, verdict)
    chosen = _chosen(list(_candidates(sitting, verdict)))
    return tuple(
        ToldGroup(
            _(_TITLES[axis]),
            said.get(axis, ""),
            tuple(_picture(sitting.bench, one, names, swatches) for one in chosen if one.axis is axis),
        )
        for axis in Axis
        if any(one.axis is axis for one in chosen)
    )


def _chosen(candidates: Sequence[_Candidate]) -> list[_Candidate]:
    """Return those that showed most, an axis at a time so that none is forgotten, in the order in which they came."""
    by_axis = [sorted((c for c in candidates if c.axis is axis), key=lambda c: -c.showed) for axis in Axis]
    dealt = [one for turn in zip_longest(*by_axis) for one in turn if one is not None]
    return sorted(dealt[:_MOST], key=lambda one: one.number)


def _candidates(sitting: Sitting, verdict: Verdict) -> Iterator[_Candidate]:
    doubted = {c.number for c in verdict.contradictions}
    doubted |= {n for found in split_findings(sitting.evidence) if found.side_effect for n in found.numbers}
    pairs = [(entry.number, pair) for entry in sitting.evidence if (pair := _as_pair(entry))]
    held = [(number, pair) for number, pair in pairs if pair.view is not View.PHOTOGRAPH] or pairs
    for number, pair in _once_each(held):
        if number in doubted:
            continue
        gain = _gain(sitting.bench, pair)
        axis = _axis_of(sitting.bench, pair, gain)
        if axis and (pair.winner is None or abs(gain[axis]) >= _LEAST_STEP):
            showed = pair.strength + min(abs(gain[axis]), _MOST_STEP) if pair.winner else 0.0
            yield _Candidate(number, pair, axis, float(steady(showed)))


def _axis_of(bench: Bench, pair: PairJudgement, gain: Mapping[Axis, float]) -> Axis | None:
    """Return under what a pair is shown: what the consultant remarked, or what parts the cloths most.

    None where the remark is of a side on which the better cloth does not lie.
    """
    if all(bench.kit[cloth].is_metal for cloth in pair.cloths):
        return Axis.UNDERTONE
    ends = ends_of(bench, pair)
    if not ends or pair.winner is None:
        return max(Axis, key=lambda axis: steady(abs(gain[axis])))
    return next((end.axis for end in ends if gain[end.axis] * end.sign >= _LEAST_STEP), None)


def _as_pair(entry: Entry) -> PairJudgement | None:
    """Return what was seen of two sides: of a fan, of its best and its last step; None for what compares nothing."""
    judgement = entry.judgement
    if isinstance(judgement, PairJudgement):
        return judgement
    if isinstance(judgement, FanJudgement) and len(judgement.ranks) > 1:
        best, last = judgement.ranks[0], judgement.ranks[-1]
        if len(best) == len(last) == 1:
            return PairJudgement(best[0], last[0], Answer.LEFT, region=judgement.region, view=judgement.view)
    return None


def _once_each(pairs: Iterable[tuple[int, PairJudgement]]) -> Iterator[tuple[int, PairJudgement]]:
    """Yield each pair of cloths once, where it was answered alike each time: by the answer that was clearest."""
    of_cloths: dict[object, list[tuple[int, PairJudgement]]] = {}
    for number, pair in pairs:
        of_cloths.setdefault(pair.pair, []).append((number, pair))
    for found in of_cloths.values():
        if len({pair.winner and frozenset(pair.winner) for _number, pair in found}) == 1:
            yield max(found, key=lambda one: (len(one[1].signs), one[1].strength, -one[0]))


def _gain(bench: Bench, pair: PairJudgement) -> dict[Axis, float]:
    """Return by how much the better side, or the left of two alike, lies above the other on each axis."""
    left, right = (place_of(bench, cloths) for cloths in differing_cloths(pair))
    apart = right - left if pair.winner == pair.sides[1] else left - right
    return {axis: float(apart[axis.column]) for axis in Axis}


def _picture(
    bench: Bench, one: _Candidate, names: Mapping[str, tuple[str, ...]], swatches: Mapping[str, Swatch]
) -> ToldPicture:
    left, right = _names_of(one.pair, names)
    gain = _gain(bench, one.pair)[one.axis]
    better_is_right = one.pair.winner == one.pair.sides[1]
    ends = [trait_word(one.axis, gain), trait_word(one.axis, -gain)] if abs(gain) >= _LEAST_STEP else [None, None]
    sides = [
        ToldSide(tuple(swatches[cloth] for cloth in cloths), _named(name, end), cloths == one.pair.winner)
        for cloths, name, end in zip(
            one.pair.sides, (left, right), reversed(ends) if better_is_right else ends, strict=True
        )
    ]
    better, worse = (right, left) if better_is_right else (left, right)
    return ToldPicture(one.number, (sides[0], sides[1]), _sentence(one.pair, better, worse))


def _names_of(pair: PairJudgement, names: Mapping[str, tuple[str, ...]]) -> tuple[str, str]:
    """Return what people call both sides; where they would call both the same, the other by its next name."""
    left, right = ([names[cloth] for cloth in side] for side in pair.sides)
    first, second = (all_of([own[0] for own in side]) for side in (left, right))
    if first == second:
        second = all_of([own[min(1, len(own) - 1)] for own in right])
    return first, second


def _named(name: str, end: LeadingTrait | None) -> str:
    """Return a name with the end on which its cloth lies, unless the name says so."""
    trait = terms.colours_are(end) if end else ""
    if not trait or _says(name, trait):
        return sentence(name)
    return sentence(_("{colour}, {trait}", colour=name, trait=trait))


def _says(name: str, trait: str) -> bool:
    """Whether a name has a trait in it: as a word, or as the beginning of one in a language that joins its words."""
    return any(word.startswith(trait.lower()) for word in name.lower().split())


def _sentence(pair: PairJudgement, better: str, worse: str) -> str:
    """Say what both sides did: by what was seen there, else which did more, and where."""
    if pair.winner is None:
        return sentence(_(_EQUAL[pair.answer], one=better, other=worse))
    told = _by_what_was_seen(pair, pair.winner, better, worse)
    photographed = pair.view is View.PHOTOGRAPH
    return _("On a photograph: {told}", told=told) if photographed else sentence(told)


def _is_reason(seen: Seen, side: tuple[str, ...], won: bool) -> bool:
    return seen.drape in side and is_reason(seen.sign, won)


def _by_what_was_seen(pair: PairJudgement, winner: tuple[str, ...], better: str, worse: str) -> str:
    place, other = place_words(pair.region), next(side for side in pair.sides if side != winner)
    good, poor = (
        all_of(
            [did_words(seen.sign, place, len(side)) for seen in pair.signs if _is_reason(seen, side, side == winner)]
        )
        for side in (winner, other)
    )
    said = {"better": better, "worse": worse, "good": good, "poor": poor, "place": terms.place(place)}
    if good:
        return (
            _("{better} {good}; {worse} {poor}.", **said) if poor else _("{better} {good}, more than {worse}.", **said)
        )
    told = _MORE_THAN_WHAT_DID if poor else _MORE_THAN
    return str(replace(told, values=tuple(said.items()), count=len(winner)))
