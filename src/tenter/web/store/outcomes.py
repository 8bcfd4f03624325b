"""What sittings came to, for comparing double readings and for checking a backup."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import groupby

from django.db.models import QuerySet, TextField
from django.db.models.functions import Cast

from tenter.arrays import steady
from tenter.consultation.axes import Axis
from tenter.consultation.compared.agreement import (
    AxisAgreement,
    Bias,
    Compared,
    NamedShare,
    Reliability,
    against_named,
    bias,
    compare_readings,
    names_compared,
    reliability,
    reliability_of_names,
)
from tenter.consultation.findings.verdict import stated
from tenter.consultation.reading.reading import Estimate
from tenter.consultation.record.no_evidence import ConsultantVerdict
from tenter.web.models import Sitting, SittingEvent
from tenter.web.store import store


@dataclass(frozen=True, slots=True)
class Outcome:
    """What an analyst read of a client.

    result: what they named, or else what the odds say. category_odds, season_odds: of `category` and `season`, 0 to 1.
    """

    analyst: str
    estimates: Mapping[Axis, Estimate]
    category: str
    season: str
    result: str
    category_odds: float
    season_odds: float


@dataclass(frozen=True, slots=True)
class DoubleReading:
    """One client read by two analysts apart."""

    first: Outcome
    second: Outcome

    @property
    def axes(self) -> tuple[AxisAgreement, ...]:
        """How they compare, axis by axis."""
        return compare_readings(self.first.estimates, self.second.estimates)

    @property
    def season(self) -> Compared:
        """How the seasons compare."""
        return names_compared(*((one.season, one.season_odds) for one in (self.first, self.second)))

    @property
    def category(self) -> Compared:
        """How the sub-seasons compare."""
        return names_compared(*((one.category, one.category_odds) for one in (self.first, self.second)))

    @property
    def result(self) -> Compared:
        """How the results that were handed over compare."""
        return Compared.SAME if self.first.result == self.second.result else Compared.DIFFER


@dataclass(frozen=True, slots=True)
class AnalystBias:
    """By how much one analyst reads above another on each axis."""

    above: str
    below: str
    axes: Mapping[Axis, Bias]


@dataclass(frozen=True, slots=True)
class StudioAgreement:
    """How far a studio's analysts agree, over all double readings."""

    count: int
    axes: Mapping[Axis, Reliability]
    category: Reliability
    season: Reliability
    result: Reliability
    biases: tuple[AnalystBias, ...]


def double_reading(second: Sitting) -> DoubleReading | None:
    """Return a second reading beside its first, or None where one of the two holds no comparison."""
    assert second.blind_to is not None
    one, other = _outcome_of(second.blind_to), _outcome_of(second)
    return DoubleReading(one, other) if one and other else None


def studio_agreement(pairs: Iterable[DoubleReading]) -> StudioAgreement:
    """Return how far the analysts of double readings agree."""
    found = list(pairs)
    one, other = [p.first for p in found], [p.second for p in found]
    return StudioAgreement(
        len(found),
        {axis: reliability(_means(one, axis), _means(other, axis)) for axis in Axis},
        reliability_of_names([o.category for o in one], [o.category for o in other]),
        reliability_of_names([o.season for o in one], [o.season for o in other]),
        reliability_of_names([o.result for o in one], [o.result for o in other]),
        tuple(_biases(found)),
    )


def _outcome_of(row: Sitting) -> Outcome | None:
    """Return what a sitting had come to when its analyst first saw the odds; what came later was not read apart."""
    seen = [moment for moment in (row.revealed_at, row.ended) if moment]
    events = SittingEvent.objects.filter(sitting=row, at__lte=min(seen)) if seen else row.events
    found, named = _outcome(row.pk, row.token, events.count()), _named(row)
    return replace(found, result=named.category) if found and named else found


def named_against_odds(rows: QuerySet[Sitting]) -> tuple[NamedShare, ...]:
    """Return how the results that consultants named in sittings compare with the odds.

    rows: Django's query. Of thousands of sittings few have a result that was named, and one query finds them.
    """
    # The word is looked for in the text first: to read every event as JSON takes three times as long.
    worded = SittingEvent.objects.annotate(text=Cast("payload", TextField())).filter(text__contains='"verdict"')
    said = worded.filter(sitting__in=rows.order_by(), payload__judgement__kind="verdict")
    cases = []
    for row in rows.filter(pk__in=said.values("sitting")):
        if named := _named(row):
            with store.load(row) as live:
                odds = stated(live)
            likeliest = _likeliest(odds)
            cases.append((odds[likeliest], likeliest == named.category))
    return against_named(cases)


def _named(row: Sitting) -> ConsultantVerdict | None:
    """Return the result as it was named, of the sitting's own method; few sittings have one, and only they are read."""
    if not row.events.filter(payload__judgement__kind="verdict").exists():
        return None
    with store.load(row) as live:
        named = live.named
        return named if named and named.category in live.method.season_of else None


@lru_cache(maxsize=1024)
def _outcome(pk: int, token: str, count: int) -> Outcome | None:
    """Events stand for good: a sitting and a count name an outcome. The token tells who has a number given anew."""
    row = Sitting.objects.select_related("kit", "analyst").get(pk=pk, token=token)
    live = store.replayed(row, row.events.order_by("number").values_list("payload", flat=True)[:count])
    if not live.evidence:
        return None
    probabilities, seasons = live.probabilities(), live.season_probabilities()
    category, season = _likeliest(probabilities), _likeliest(seasons)
    odds = probabilities[category], seasons[season]
    return Outcome(row.analyst.username, live.estimates(), category, season, category, *odds)


def _likeliest(probabilities: Mapping[str, float]) -> str:
    return max(probabilities, key=lambda name: steady(probabilities[name]))


def forget_outcomes() -> None:
    """Drop every outcome that is kept, after other rows have come into the place of those there were."""
    _outcome.cache_clear()


def _means(outcomes: list[Outcome], axis: Axis) -> list[float]:
    return [outcome.estimates[axis].mean for outcome in outcomes]


def _biases(pairs: list[DoubleReading]) -> Iterable[AnalystBias]:
    """Yield a bias for each two analysts, the one whose name comes first less the other."""
    sides = [tuple(sorted((p.first, p.second), key=lambda outcome: outcome.analyst)) for p in pairs]
    sides.sort(key=_names)
    for (above, below), group in groupby(sides, key=_names):
        one, other = map(list, zip(*group, strict=True))
        yield AnalystBias(above, below, {axis: bias(_means(one, axis), _means(other, axis)) for axis in Axis})


def _names(side: tuple[Outcome, ...]) -> tuple[str, ...]:
    return tuple(outcome.analyst for outcome in side)
