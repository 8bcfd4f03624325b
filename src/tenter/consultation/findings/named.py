"""The result as the consultant names it, where it is another than the odds': what then follows for the client."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from tenter.arrays import FloatArray
from tenter.consultation.axes import Axis
from tenter.consultation.conventions.method import Method
from tenter.consultation.findings.ending import Ending, Reached
from tenter.consultation.findings.verdict import Trait, Verdict
from tenter.consultation.reading.reading import Reading, sum_by_season
from tenter.consultation.record.no_evidence import ConsultantVerdict
from tenter.consultation.words.odds_words import degree, odds_word
from tenter.consultation.words.traits import trait_word

_STEPS = 32  # from where the odds place the client to the middle of the named category


def other_category_named(sitting: Reading, verdict: Verdict) -> ConsultantVerdict | None:
    """Return what the consultant names where the odds say another category of the same method, or None."""
    named = sitting.named
    if named is None or named.category == verdict.category or named.category not in sitting.method.season_of:
        return None
    return named


def as_named(sitting: Reading, verdict: Verdict) -> Verdict | None:
    """Return a verdict that is the consultant's, or None where they name no other than the odds do.

    Its place for the client, from which a palette follows, is the nearest to that of the odds that lies well inside of
    the category they name. It has the odds that were found, and no reasons: those are the consultant's own.
    """
    named = other_category_named(sitting, verdict)
    if named is None:
        return None
    region = sitting.method.region(named.category)
    traits = _moved(sitting.method, verdict.traits, named.category)
    odds = verdict.probabilities[named.category]
    return replace(
        verdict,
        category=named.category,
        season=region.season,
        probability=odds,
        odds_word=odds_word(odds),
        season_probability=sum_by_season(sitting.method, dict(verdict.probabilities))[region.season],
        runner_up=verdict.category,
        trait_neighbour=region.trait_neighbour,
        leading_trait=str(region.leading_trait or verdict.second_route),
        traits=traits,
        reasons=(),
        against=(),
        by_axis={},
        contradictions=(),
        settling_pair=None,
        expected_change=None,
        edge=False,
        neighbours_differ=False,
        border=None,
        # Who names one of two is no longer between them: the palette is that of the one.
        reached=Reached(Ending.FINISHED) if verdict.is_between else verdict.reached,
    )


def _moved(method: Method, traits: Mapping[Axis, Trait], category: str) -> dict[Axis, Trait]:
    start = np.array([traits[axis].mean for axis in Axis])
    middle = np.array(method.region(category).prototype)
    place = _inside(method, start, middle, category)
    shift = place - start
    moved = {}
    for axis in Axis:
        at, by = float(place[axis.column]), float(shift[axis.column])
        low, high = traits[axis].interval
        moved[axis] = Trait(axis, trait_word(axis, at), degree(at), at, (low + by, high + by))
    return moved


def _inside(method: Method, start: FloatArray, middle: FloatArray, category: str) -> FloatArray:
    """Return the place half-way from the category's border to its middle, on the line from a place outside of it."""
    for share in np.linspace(0, 1, _STEPS + 1):
        border = start + share * (middle - start)
        if method.category_at(border) == category:
            return np.asarray((border + middle) / 2)
    return middle
