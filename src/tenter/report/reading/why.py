"""Why: reasons, objections, contradictions, and what would settle the rest."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import exp

from tenter.consultation.findings.contradictions import Contradiction, ContradictionKind
from tenter.consultation.findings.ending import Ending
from tenter.consultation.findings.reasons import AxisTogether, EvidenceReason
from tenter.consultation.findings.verdict import Trait, Verdict
from tenter.consultation.laid_out.pair_quality import mixed_words
from tenter.consultation.record.history import Entry
from tenter.consultation.record.judgements import PairJudgement
from tenter.consultation.sitting.sitting import Sitting
from tenter.consultation.words import terms as trade
from tenter.language import N_, _, all_of, in_a_row, ngettext, pgettext
from tenter.report.reading.trait_lines import placed_at
from tenter.report.words import terms
from tenter.report.words.swatches import Swatch
from tenter.report.words.wording import printed_percent, sentence, times

_REASONS, _OBJECTIONS = 3, 2  # that are told at the most


@dataclass(frozen=True, slots=True)
class ReasonLine:
    """A reason or an objection with the cloths in it and the factor by which it moves the odds."""

    text: str
    worth: str
    swatches: tuple[Swatch, ...]


@dataclass(frozen=True, slots=True)
class ContradictionLine:
    """An entry that the others speak against, what may explain it, and what to hold again."""

    title: str
    text: str
    causes: tuple[str, ...]
    repeat: str
    swatches: tuple[Swatch, ...]


@dataclass(frozen=True, slots=True)
class Settling:
    """The pair that would tell the first two categories apart best; no swatches where the kit has none left."""

    text: str
    swatches: tuple[Swatch, ...]


@dataclass(frozen=True, slots=True)
class AxisLine:
    """What the answers on one axis come to: how many, their factor on the odds, and its share of the largest.

    share: on a logarithmic scale, from -1 (speaks against the result) to 1; 0 where nothing was answered on the axis.
    """

    axis: str
    reads: str
    answers: str
    worth: str
    share: float


@dataclass(frozen=True, slots=True)
class Why:
    """What speaks for the verdict and against it."""

    reasons: tuple[ReasonLine, ...]
    together: str  # what all entries of an axis come to, where there are several; empty where there are not
    against: tuple[ReasonLine, ...]
    against_note: str
    contradictions: tuple[ContradictionLine, ...]
    contradictions_note: str
    settling: Settling
    by_axis: tuple[AxisLine, ...] = ()
    by_axis_note: str = ""


def why(sitting: Sitting, verdict: Verdict, swatches: Mapping[str, Swatch]) -> Why:
    """Return what speaks for a verdict and against it."""
    entries = {e.number: e for e in sitting.entries}
    return Why(
        reasons=tuple(_reason_line(r, entries, swatches) for r in verdict.reasons[:_REASONS]),
        together=together(verdict),
        against=tuple(_reason_line(r, entries, swatches) for r in verdict.against[:_OBJECTIONS]),
        against_note=_against_note(verdict),
        contradictions=tuple(_contradiction_line(c, entries, swatches) for c in verdict.contradictions),
        contradictions_note=_contradictions_note(verdict),
        settling=_settling(sitting, verdict, swatches),
        by_axis=axis_lines(verdict),
        by_axis_note=_(
            "Each answer counts under its main axis only, also where its cloths differ on others. Worth: by how much "
            "all answers on an axis raise (×) or lower (÷) the odds of {category}, with every other answer kept. "
            "Answers on different axes share some of it, so the factors do not multiply.",
            category=terms.season(verdict.category),
        ),
    )


def _reason_line(reason: EvidenceReason, entries: Mapping[int, Entry], swatches: Mapping[str, Swatch]) -> ReasonLine:
    cloths = dict.fromkeys(c for n in reason.entries for c in entries[n].judgement.cloths)
    return ReasonLine(reason.text, times(exp(reason.log_odds)), tuple(swatches[c] for c in cloths))


def together(verdict: Verdict) -> str:
    """Return what all entries that speak about an axis are worth, and how many, for each axis with more than one."""
    told = [
        _("{count} on {axis} {worth}", count=len(found.entries), axis=trade.axis(axis), worth=_unbroken(found.log_odds))
        for axis, found in verdict.by_axis.items()
        if len(found.entries) > 1
    ]
    return _("Answers taken together: {told}.", told=in_a_row(told)) if told else ""


def _unbroken(log_odds: float) -> str:
    """Return a factor on the odds so that a line ends before it, never within it."""
    return times(exp(log_odds)).replace(" ", "\N{NO-BREAK SPACE}")


def axis_lines(verdict: Verdict) -> tuple[AxisLine, ...]:
    """Return what the answers on each axis come to, in the order of the axes."""
    most = max((abs(w) for w in verdict.evidence_by_axis.values()), default=0.0)
    return tuple(_axis_line(trait, verdict.by_axis.get(axis), most) for axis, trait in verdict.traits.items())


def _axis_line(trait: Trait, found: AxisTogether | None, most: float) -> AxisLine:
    axis, reads = sentence(str(trade.axis(trait.axis))), in_a_row([str(trait), placed_at(trait)])
    if found is None:
        return AxisLine(axis, reads, pgettext("how many answers", "none"), "", 0.0)
    share = found.log_odds / most if most else 0.0
    return AxisLine(axis, reads, str(len(found.entries)), times(exp(found.log_odds)), share)


def _contradictions_note(verdict: Verdict) -> str:
    if verdict.contradictions:
        return ""
    return _("No single answer stands out.") if verdict.is_misfit else _("No answer strongly contradicts the others.")


def _against_note(verdict: Verdict) -> str:
    if not verdict.against:
        told = _("No answer clearly speaks against it.")
        doubted = _("Some answers disagree with the rest all the same: see below.")
        return f"{told} {doubted}" if verdict.contradictions else told
    more = len(verdict.against) - _OBJECTIONS
    if more <= 0:
        return ""
    return ngettext("One weaker answer points the other way.", "{count} weaker answers point the other way.", more)


def _contradiction_line(
    found: Contradiction, entries: Mapping[int, Entry], swatches: Mapping[str, Swatch]
) -> ContradictionLine:
    entry = entries[found.number]
    cloths = entry.judgement.cloths
    again = [str(trade.cloths_worn_together([placed(swatches[c]) for c in side.split("+")])) for side in found.repeat]
    exchanged = isinstance(entry.judgement, PairJudgement)
    hold = N_("To hold again: {cloths}, sides exchanged.") if exchanged else N_("To hold again: {cloths}.")
    later = [e.number for e in entries.values() if e.stands and e.number > found.number and _same_pair(e, entry)]
    both = N_("The pair was held again in entry {number}; both answers are counted.")
    neither = N_("The pair was held again in entry {number}; neither is counted.")
    held = [_(neither if found.kind is ContradictionKind.SIDE else both, number=later[-1])] if later else []
    return ContradictionLine(
        title=_("Entry {number}: {cloths}", number=found.number, cloths=all_of([swatches[c].name for c in cloths])),
        text=" ".join([contradicts(found), *held]),
        causes=tuple(pgettext("cause", c) for c in found.causes),
        repeat=_(hold, cloths=all_of(again)),
        swatches=tuple(swatches[c] for c in cloths),
    )


def contradicts(found: Contradiction) -> str:
    """Return in a sentence how an entry disagrees with the rest."""
    if found.kind is ContradictionKind.SIDE:
        return _("The better side stayed the same when the cloths were exchanged, so these views count nothing.")
    if found.kind is ContradictionKind.METAL:
        return _("The metal speaks for the undertone that the cloths speak against; it counts for little beside them.")
    return _("Beside the other answers this one was unexpected ({odds}).", odds=printed_percent(found.p))


def _same_pair(one: Entry, other: Entry) -> bool:
    a, b = one.judgement, other.judgement
    return isinstance(a, PairJudgement) and isinstance(b, PairJudgement) and a.pair == b.pair


def placed(swatch: Swatch) -> str:
    """Return a cloth's name with where it hangs."""
    return f"{swatch.name} ({swatch.place})" if swatch.place else swatch.name


def _settling(sitting: Sitting, verdict: Verdict, swatches: Mapping[str, Swatch]) -> Settling:
    if verdict.settling_pair is None:
        none_left = _(
            "No pair left in this kit would decide between {category} and {other}; another kit might.",
            **terms.likeliest_two(verdict),
        )
        return Settling(none_left, ())
    left, right = verdict.settling_pair
    pair = swatches[left], swatches[right]
    told = (_hold(verdict, pair), mixed_words(sitting.bench, verdict.settling_pair))
    return Settling(" ".join(filter(None, told)), pair)


def _hold(verdict: Verdict, pair: tuple[Swatch, Swatch]) -> str:
    """Say what to hold next; of a sitting that is finished, that nothing has to be."""
    ended = {
        Ending.FINISHED: N_("Nothing is left to settle. To check once more, hold {cloth} against {other_cloth}."),
        Ending.BETWEEN: N_("More pairs would hardly change it. To try anyway, hold {cloth} against {other_cloth}."),
        Ending.UNFINISHED: N_(
            "Hold {cloth} against {other_cloth}: of the pairs left in the kit, this one decides best between "
            "{category} and {other}."
        ),
    }
    cloth, other_cloth = map(placed, pair)
    return _(ended[verdict.reached.ending], cloth=cloth, other_cloth=other_cloth, **terms.likeliest_two(verdict))
