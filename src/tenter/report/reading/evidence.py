"""The evidence on one screen, axis by axis: the strongest answer for and against in a line each, and what is owed.

A line is short: which cloth did more than which, where, and in which entry. The studio's sheet has the whole sentence.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import exp
from typing import TypeAlias

from tenter.consultation.axes import Axis
from tenter.consultation.findings.ending import Owed, Reached
from tenter.consultation.findings.reasons import AxisTogether, EvidenceReason
from tenter.consultation.findings.verdict import Verdict
from tenter.consultation.record.history import Entry
from tenter.consultation.record.judgements import PairJudgement
from tenter.consultation.words import terms as trade
from tenter.consultation.words.face_places import places_seen
from tenter.language import N_, _, all_of, in_a_row, ngettext
from tenter.report.reading.trait_lines import TraitLine, trait_line
from tenter.report.words import terms
from tenter.report.words.swatches import Swatch
from tenter.report.words.wording import times

_Sides: TypeAlias = tuple[tuple[str, ...], tuple[str, ...]]

_REASONS, _OBJECTIONS = 3, 2  # to show at the least, where there are as many
_BETTER = N_("{better} over {worse}")
_ONCE_ALIKE = N_("{better} over {worse}, alike another time")
_BOTH_WAYS = N_("{better} over {worse}, and the other way round")


@dataclass(frozen=True, slots=True)
class EvidenceLine:
    """What was seen of some cloths, in a line.

    worth: the factor by which it moves the odds. points_to: for which other result it speaks, empty where it speaks for
    the one that is named.
    """

    told: str
    worth: str
    swatches: tuple[Swatch, ...]
    points_to: str = ""


@dataclass(frozen=True, slots=True)
class AxisEvidence:
    """What is known on one axis. answers: how many spoke about it; worth: what they come to together, as a factor.

    strongest: the answers that speak most for the result; against: likewise. owed: what this axis still needs, empty
    where nothing.
    """

    trait: TraitLine
    answers: str
    worth: str
    strongest: tuple[EvidenceLine, ...]
    against: tuple[EvidenceLine, ...]
    owed: str


def axis_evidence(
    verdict: Verdict, entries: Sequence[Entry], swatches: Mapping[str, Swatch]
) -> tuple[AxisEvidence, ...]:
    """Return the evidence on each axis; entries: of the sitting, swatches: by the id of the cloth."""
    by_number = {entry.number: entry for entry in entries}
    strongest, against = _foremost(verdict.reasons, _REASONS), _foremost(verdict.against, _OBJECTIONS)

    def lines(axis: Axis, reasons: Sequence[EvidenceReason]) -> tuple[EvidenceLine, ...]:
        return tuple(_line(one, verdict.category, by_number, swatches) for one in reasons if one.axis is axis)

    return tuple(
        AxisEvidence(
            trait=trait_line(trait),
            answers=_answers(verdict.by_axis.get(axis)),
            worth=_worth(verdict.by_axis.get(axis)),
            strongest=lines(axis, strongest),
            against=lines(axis, against),
            owed=_owed(axis, verdict.reached),
        )
        for axis, trait in verdict.traits.items()
    )


def _foremost(reasons: Sequence[EvidenceReason], least: int) -> list[EvidenceReason]:
    """Return the strongest of each axis, and where those are fewer than `least` the strongest of the rest too."""
    first = {reason.axis: reason for reason in reversed(reasons)}
    firsts = [reason for reason in reasons if first[reason.axis] is reason]
    rest = [reason for reason in reasons if first[reason.axis] is not reason]
    return [*firsts, *rest[: max(0, least - len(firsts))]]


def _line(
    reason: EvidenceReason, category: str, entries: Mapping[int, Entry], swatches: Mapping[str, Swatch]
) -> EvidenceLine:
    held = [entries[number] for number in reason.entries]
    pairs = [entry.judgement for entry in held if isinstance(entry.judgement, PairJudgement)]
    sides = next((_better_first(pair) for pair in pairs if pair.winner), None)
    cloths = (*sides[0], *sides[1]) if sides else (cloth for entry in held for cloth in entry.judgement.cloths)
    other = reason.speaks_for != category
    return EvidenceLine(
        told=_told(reason, sides, pairs, swatches) if sides else str(reason.told[0]).removesuffix("."),
        worth=times(exp(reason.log_odds)),
        swatches=tuple(swatches[cloth] for cloth in dict.fromkeys(cloths)),
        points_to=_("for {category}", category=terms.season(reason.speaks_for)) if other else "",
    )


def _better_first(pair: PairJudgement) -> _Sides:
    left, right = pair.sides
    return (right, left) if pair.winner == right else (left, right)


def _told(reason: EvidenceReason, sides: _Sides, pairs: Sequence[PairJudgement], swatches: Mapping[str, Swatch]) -> str:
    """Return in a line which side of a pair did more, where, and in which entries; `sides`: the better one first."""
    winners = {tuple(sorted(pair.winner)) for pair in pairs if pair.winner}
    alike = any(pair.winner is None for pair in pairs)
    said = _BOTH_WAYS if len(winners) > 1 else _ONCE_ALIKE if alike else _BETTER
    better, worse = (_names(side, swatches) for side in sides)
    places = places_seen([pair.region or "" for pair in pairs])
    where = [all_of([str(place) for place in places])] if places else []
    numbers = str(trade.entries(reason.entries, all_of([str(n) for n in reason.entries])))
    told = in_a_row([_(said, better=better, worse=worse), *where])
    return _("{told} ({entries})", told=told, entries=numbers)


def _names(cloths: Sequence[str], swatches: Mapping[str, Swatch]) -> str:
    return str(trade.cloths_worn_together([swatches[cloth].name for cloth in cloths]))


def _answers(together: AxisTogether | None) -> str:
    if together is None:
        return _("No answer is mainly about it")
    return ngettext("{count} answer", "{count} answers", len(together.entries))


def _worth(together: AxisTogether | None) -> str:
    return "" if together is None else times(exp(together.log_odds))


def _owed(axis: Axis, reached: Reached) -> str:
    if Owed(axis) not in reached.owed:
        return ""
    if Owed(axis) in reached.untried:
        return _("Owed: two pairs on different cloths.")
    return _("Owed: one more pair, on other cloths.")
