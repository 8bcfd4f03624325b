"""Why: reasons, objections, contradictions, and what would settle the rest."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import exp

from tenter.consultation.contradictions import Contradiction, Kind
from tenter.consultation.ending import Ending
from tenter.consultation.history import Entry
from tenter.consultation.judgements import PairJudgement
from tenter.consultation.pair_quality import mixed_words
from tenter.consultation.reasons import Reason, Together
from tenter.consultation.sitting import Sitting
from tenter.consultation.verdict import Trait, Verdict
from tenter.numerals import listed, signed
from tenter.report.swatches import Swatch
from tenter.report.wording import percent, sentence, times

_REASONS, _OBJECTIONS = 3, 2
_TIMES, _OVER = "×\N{NO-BREAK SPACE}", "÷\N{NO-BREAK SPACE}"  # a line ends before a factor, never within it


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
    """What the answers on one axis come to: how many, their factor on the odds, and that factor's share of the largest.

    share: on a logarithmic scale, from −1 (speaks against the result) to 1; 0 where nothing was answered on the axis.
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
        by_axis_note=(
            "Each answer counts under its main axis only, also where its cloths differ on others. Worth: by how much "
            f"all answers on an axis raise (×) or lower (÷) the odds of {verdict.category}, with every other answer "
            "kept. Answers on different axes share some of it, so the factors do not multiply."
        ),
    )


def _reason_line(reason: Reason, entries: Mapping[int, Entry], swatches: Mapping[str, Swatch]) -> ReasonLine:
    cloths = dict.fromkeys(c for n in reason.entries for c in entries[n].judgement.cloths)
    return ReasonLine(reason.text, times(exp(reason.log_odds)), tuple(swatches[c] for c in cloths))


def together(verdict: Verdict) -> str:
    """Return what all entries that speak about an axis are worth, and how many, for each axis with more than one."""
    told = [
        f"{len(found.entries)} on {axis} {times(exp(found.log_odds))}"
        for axis, found in verdict.by_axis.items()
        if len(found.entries) > 1
    ]
    return f"Answers taken together: {', '.join(told)}.".replace("× ", _TIMES).replace("÷ ", _OVER) if told else ""


def axis_lines(verdict: Verdict) -> tuple[AxisLine, ...]:
    """Return what the answers on each axis come to, in the order of the axes."""
    most = max((abs(w) for w in verdict.evidence_by_axis.values()), default=0.0)
    return tuple(_axis_line(trait, verdict.by_axis.get(axis), most) for axis, trait in verdict.traits.items())


def _axis_line(trait: Trait, found: Together | None, most: float) -> AxisLine:
    low, high = trait.interval
    reads = f"{trait}, {signed(trait.mean)} ({signed(low)} to {signed(high)})"
    if found is None:
        return AxisLine(sentence(trait.axis), reads, "none", "", 0.0)
    share = found.log_odds / most if most else 0.0
    return AxisLine(sentence(trait.axis), reads, str(len(found.entries)), times(exp(found.log_odds)), share)


def _contradictions_note(verdict: Verdict) -> str:
    if verdict.contradictions:
        return ""
    return "No single answer stands out." if verdict.is_misfit else "No answer contradicts the others."


def _against_note(verdict: Verdict) -> str:
    if not verdict.against:
        doubted = " Some answers disagree with the rest all the same: see below." if verdict.contradictions else ""
        return f"No answer clearly speaks against it.{doubted}"
    more = len(verdict.against) - _OBJECTIONS
    if more <= 0:
        return ""
    return f"{'One weaker answer points' if more == 1 else f'{more} weaker answers point'} the other way."


def _contradiction_line(
    found: Contradiction, entries: Mapping[int, Entry], swatches: Mapping[str, Swatch]
) -> ContradictionLine:
    entry = entries[found.number]
    cloths = entry.judgement.cloths
    again = [" with ".join(placed(swatches[c]) for c in side.split("+")) for side in found.repeat]
    exchanged = ", sides exchanged" if isinstance(entry.judgement, PairJudgement) else ""
    later = [e.number for e in entries.values() if e.stands and e.number > found.number and _same_pair(e, entry)]
    both = "both answers are counted" if found.kind is not Kind.SIDE else "neither is counted"
    held = f" The pair was held again in entry {later[-1]}; {both}." if later else ""
    return ContradictionLine(
        title=f"Entry {found.number}: {listed([swatches[c].name for c in cloths])}",
        text=f"{contradicts(found)}{held}",
        causes=tuple(str(c) for c in found.causes),
        repeat=f"To hold again: {listed(again)}{exchanged}.",
        swatches=tuple(swatches[c] for c in cloths),
    )


def contradicts(found: Contradiction) -> str:
    """Return in a sentence how an entry disagrees with the rest."""
    if found.kind is Kind.SIDE:
        return "The better side stayed the same when the cloths were exchanged, so these views count nothing."
    if found.kind is Kind.METAL:
        return "The metal speaks for the undertone that the cloths speak against; it counts for little beside them."
    return f"Beside the other answers this one was unexpected ({percent(found.p)})."


def _same_pair(one: Entry, other: Entry) -> bool:
    a, b = one.judgement, other.judgement
    return isinstance(a, PairJudgement) and isinstance(b, PairJudgement) and a.pair == b.pair


def placed(swatch: Swatch) -> str:
    """Return a cloth's name with where it hangs."""
    return f"{swatch.name} ({swatch.place})" if swatch.place else swatch.name


def _settling(sitting: Sitting, verdict: Verdict, swatches: Mapping[str, Swatch]) -> Settling:
    if verdict.settling_pair is None:
        return Settling(
            f"No pair left in this kit would tell {verdict.category} from {verdict.runner_up}; another kit might.", ()
        )
    left, right = verdict.settling_pair
    pair = swatches[left], swatches[right]
    told = (_hold(verdict, pair), mixed_words(sitting.bench, verdict.settling_pair))
    return Settling(" ".join(filter(None, told)), pair)


def _hold(verdict: Verdict, pair: tuple[Swatch, Swatch]) -> str:
    """Say what to hold next; of a sitting that is finished, that nothing has to be."""
    ended = {
        Ending.FINISHED: "Nothing has to be settled. To check once more, hold",
        Ending.BETWEEN: "More pairs would hardly move it. To try all the same, hold",
    }
    held = f"{placed(pair[0])} against {placed(pair[1])}"
    if verdict.reached.ending in ended:
        return f"{ended[verdict.reached.ending]} {held}."
    best = f"this one would tell {verdict.category} from {verdict.runner_up} best"
    return f"Hold {held}: of the pairs left in the kit, {best}."
