"""The verdict of a sitting: the category, how sure it is, why, what speaks against it and what would settle it."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from tenter.arrays import steady
from tenter.consultation.axes import Axis
from tenter.consultation.findings.border import Border, border
from tenter.consultation.findings.contradictions import Contradiction, contradictions
from tenter.consultation.findings.diagnostics import Diagnostics, Doubt, diagnostics, doubts, predictions
from tenter.consultation.findings.ending import Ending, Reached, reached
from tenter.consultation.findings.hue_dependence import HueOffset
from tenter.consultation.findings.reasons import AxisTogether, EvidenceReason, reasons
from tenter.consultation.findings.stop import NotFinished, Stop, StopStanding, stop_words
from tenter.consultation.findings.tendencies import ToldDoubt, told_doubts
from tenter.consultation.reading.online import capped, photographs_alone
from tenter.consultation.reading.plan import Planner
from tenter.consultation.reading.reading import Estimate, Reading, sum_by_season
from tenter.consultation.words import terms
from tenter.consultation.words.odds_words import EDGE, Degree, OddsWord, degree, is_edge, odds_word, one_lower
from tenter.consultation.words.traits import LeadingTrait, trait_word
from tenter.errors import Refused
from tenter.language import _, all_of, in_a_row

_NAMED = 2  # of those that are nearly as likely; where there are more, naming two alone would hide the others


class PhaseMissing(Refused):
    """A verdict was asked for before the method's phases had an entry each. `owed`: what to compare first."""

    def __init__(self, owed: tuple[str, ...]) -> None:
        self.owed = owed
        super().__init__(
            _(
                "a verdict needs at least one comparison of undertone and one of clarity or depth; still owed: {owed}",
                owed=all_of(owed),
            )
        )


@dataclass(frozen=True, slots=True)
class Trait:
    """Where the client lies on one axis: the side and its degree.

    mean: in bench units; interval: of 90 %, in bench units.
    """

    axis: Axis
    side: LeadingTrait
    degree: Degree
    mean: float
    interval: tuple[float, float]

    def __str__(self) -> str:
        return str(terms.reads_as(self.degree, self.side))


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a sitting comes to.

    probability, season_probability, probabilities: from 0 to 1, as they may be stated, which is less where photographs
    are all there is. without_phase: by phase, the category without its entries and its probability. expected_change: by
    how much the probability is expected to move.
    """

    category: str
    season: str
    probability: float
    odds_word: OddsWord
    season_probability: float
    runner_up: str
    trait_neighbour: str | None
    leading_trait: str
    second_route: str  # the trait furthest from the middle for its uncertainty: a second way to the leading trait
    traits: Mapping[Axis, Trait]
    reasons: tuple[EvidenceReason, ...]
    against: tuple[EvidenceReason, ...]
    by_axis: Mapping[Axis, AxisTogether]  # what all entries that speak about an axis are worth together
    contradictions: tuple[Contradiction, ...]
    diagnostics: Diagnostics  # how the answers were given
    probabilities: Mapping[str, float]
    without_phase: Mapping[str, tuple[str, float]]  # what it would be without a phase's entries, and how probable
    settling_pair: tuple[str, str] | None
    expected_change: float | None  # by how much the answer to that pair is expected to move the probability
    edge: bool
    neighbours_differ: bool  # the trait neighbour, second by convention, is not the runner-up by odds
    border: Border | None  # how the trait neighbour's cloths did; None where the method names no neighbours
    reached: Reached  # whether it is finished, between two, or what it owes
    photographs_alone: bool  # every odds of it is held down to what photographs alone support

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """Why the odds deserve less trust; any of them lowers the odds word, never the odds."""
        return doubts(self.diagnostics)

    @property
    def tendencies(self) -> tuple[ToldDoubt, ...]:
        """The doubts in words, and whether the odds word is lowered for them."""
        lowered = self.odds_word is not odds_word(self.probability)
        return told_doubts(self.diagnostics, self.doubts, bool(self.contradictions), lowered)

    @property
    def evidence_by_axis(self) -> Mapping[Axis, float]:
        """What all entries that speak about an axis are worth together, in log odds of the category."""
        return {axis: together.log_odds for axis, together in self.by_axis.items()}

    @property
    def between(self) -> tuple[str, ...]:
        """The two categories on whose border the client lies, where that is the answer; else none."""
        return (self.category, self.runner_up) if self.is_between else ()

    @property
    def not_finished(self) -> NotFinished | None:
        """What is still owed, and about how long it takes; None once the sitting is finished."""
        if self.reached.ending is not Ending.UNFINISHED:
            return None
        return NotFinished(self.reached.owed, self.reached.minutes)

    @property
    def stop(self) -> Stop:
        """Whether to stop, and why."""
        beside = (
            self.runner_up,
            *([self.trait_neighbour] if self.trait_neighbour not in (None, self.runner_up) else []),
        )
        at = StopStanding(self.reached, self.category, beside, self.probability, self.settling_pair is not None)
        return Stop(self.reached.ending is not Ending.UNFINISHED, stop_words(at), self.expected_change)

    @property
    def misfit(self) -> float:
        """The probability that a sitting as the model has it would be as surprising as a whole."""
        return self.diagnostics.misfit

    @property
    def is_misfit(self) -> bool:
        """Whether the sitting as a whole fits the model so badly that its odds deserve less trust."""
        return self.diagnostics.is_misfit

    @property
    def hue_dependent(self) -> tuple[HueOffset, ...]:
        """The hue families that clearly take more or less clarity than the rest."""
        return tuple(offset for offset in self.diagnostics.hue_offsets if offset.notable)

    @property
    def is_between(self) -> bool:
        """Whether it is finished and the client lies on the border of the two likeliest categories."""
        return self.reached.ending is Ending.BETWEEN

    @property
    def is_open(self) -> bool:
        """Whether it names no one category, between two or with too little known."""
        return self.is_between or self.odds_word is OddsWord.OPEN

    @property
    def nearly_as_likely(self) -> tuple[str, ...]:
        """The likeliest, the runner-up, and others than which the likeliest is at most `EDGE` times as likely."""
        odds = self.probabilities
        ranked = sorted(odds, key=lambda c: -steady(odds[c]))
        first = odds[self.category]
        named = (self.category, self.runner_up)
        return tuple(c for c in ranked if c in named or steady(EDGE * odds[c] - first) >= 0)

    @property
    def headline(self) -> str:
        """The verdict in a few words of the language that is written, open where it is open."""
        names = {"category": terms.season_sentence(self.category), "other": terms.season_sentence(self.runner_up)}
        if self.is_between:
            return _("between {category} and {other}", **names)
        if self.odds_word is OddsWord.OPEN and len(self.nearly_as_likely) > _NAMED:
            return _("open, nearest to {category} and {other}, with others nearly as likely", **names)
        if self.odds_word is OddsWord.OPEN:
            return _("open between {category} and {other}", **names)
        return in_a_row([str(names["category"]), str(terms.odds(self.odds_word))])


def owed(sitting: Reading) -> tuple[str, ...]:
    """Return what a verdict still needs, in words; empty when nothing."""
    judged = sitting.axes_judged()
    missing = []
    if Axis.UNDERTONE not in judged:
        missing.append(_("undertone"))
    if not judged & {Axis.CLARITY, Axis.DEPTH}:
        missing.append(_("clarity or depth"))
    return tuple(missing)


def verdict(sitting: Reading) -> Verdict:
    """Return the verdict of a sitting.

    Raises `PhaseMissing`, naming what is owed, before an entry about undertone and one about clarity or depth.
    """
    missing = owed(sitting)
    if missing:
        raise PhaseMissing(missing)
    method = sitting.method
    probabilities, online = stated(sitting), photographs_alone(sitting.evidence)
    ranked = sorted(probabilities, key=lambda c: -steady(probabilities[c]))
    category, runner_up = ranked[0], ranked[1]
    region = method.region(category)
    traits = {a: _trait(a, e) for a, e in sitting.estimates().items()}
    second = _second_route(traits)
    predicted = predictions(sitting)
    doubted = contradictions(sitting, predicted)
    settling = settling_pair(sitting, category, runner_up)
    told = reasons(sitting, category, {c.number for c in doubted})
    found = diagnostics(sitting, predicted)
    word = odds_word(probabilities[category])
    return Verdict(
        category=category,
        season=region.season,
        probability=probabilities[category],
        odds_word=one_lower(word) if doubts(found) else word,
        season_probability=min(
            sum_by_season(method, odds)[region.season] for odds in (probabilities, sitting.probabilities())
        ),
        runner_up=runner_up,
        trait_neighbour=region.trait_neighbour,
        leading_trait=str(region.leading_trait or second),
        second_route=str(second),
        traits=traits,
        reasons=told.reasons,
        against=told.against,
        by_axis=told.by_axis,
        contradictions=doubted,
        diagnostics=found,
        probabilities=probabilities,
        without_phase=_without_phase(sitting),
        settling_pair=settling,
        expected_change=None if settling is None else _expected_change(sitting, category, settling),
        edge=is_edge(probabilities[category], probabilities[runner_up]),
        neighbours_differ=region.trait_neighbour not in (None, runner_up),
        border=border(sitting, category),
        reached=reached(sitting, probabilities),
        photographs_alone=online,
    )


def stated(sitting: Reading) -> dict[str, float]:
    """Return the odds of each category, 0 to 1, as they may be stated.

    They are `probabilities`, capped for photographs alone.
    """
    odds = sitting.probabilities()
    if not photographs_alone(sitting.evidence):
        return odds
    return capped(odds, sitting.method.season_of, with_card=sitting.face is not None)


def _trait(axis: Axis, estimate: Estimate) -> Trait:
    return Trait(
        axis=axis,
        side=trait_word(axis, estimate.mean),
        degree=degree(estimate.mean),
        mean=estimate.mean,
        interval=(estimate.low, estimate.high),
    )


def _without_phase(sitting: Reading) -> dict[str, tuple[str, float]]:
    """Return what the verdict would be without the entries of each phase that had some."""
    leave_out = sitting.without()
    found = {}
    for phase in dict.fromkeys(sitting.phase_of(e.number) for e in sitting.evidence):
        entries = [e.number for e in sitting.evidence if sitting.phase_of(e.number) == phase]
        masses = leave_out.category_masses(entries)
        if photographs_alone(e for e in sitting.evidence if e.number not in entries):
            named = dict(zip(sitting.method.categories, masses, strict=True))
            masses = np.array(list(capped(named, sitting.method.season_of, sitting.face is not None).values()))
        best = int(steady(masses).argmax())
        found[phase] = (sitting.method.categories[best], float(masses[best]))
    return found


def _second_route(traits: Mapping[Axis, Trait]) -> LeadingTrait:
    """Return the trait whose axis lies furthest from the middle relative to its uncertainty."""
    furthest = max(traits.values(), key=lambda t: steady(abs(t.mean) / (t.interval[1] - t.interval[0])))
    return furthest.side


def _expected_change(sitting: Reading, category: str, pair: tuple[str, str]) -> float:
    frame = sitting.planning_frame
    own = frame.categories[[sitting.method.categories.index(category)]]
    membership = np.concatenate([own, 1 - own])
    return Planner(sitting.bench).expected_shift(frame, sitting.planning_posterior, membership, pair)


def settling_pair(sitting: Reading, category: str, other: str) -> tuple[str, str] | None:
    """Return the pair that would tell two categories apart best, or None where the kit has none left."""
    planner, frame = Planner(sitting.bench), sitting.bench.frame(sitting.styles)
    pairs = planner.candidate_pairs(sitting.held)
    if not len(pairs):
        return None
    names = sitting.method.categories
    membership = frame.categories[[names.index(category), names.index(other)]]
    best = planner.best_pair(frame, sitting.planning_posterior, membership, pairs)
    return best.left, best.right
