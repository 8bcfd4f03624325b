"""How far two analysts agree who read the same clients apart: axis by axis, and over all such double readings."""

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from tenter.arrays import FloatArray
from tenter.consultation.axes import Axis
from tenter.consultation.reading.reading import Estimate
from tenter.consultation.words.odds_words import OddsWord, odds_word, percent
from tenter.errors import TenterError

FEWEST_DOUBLE_READINGS = 5  # double readings; below it one more would turn the figure over. Common practice, no source.
_RATERS, _VALUES = 2, 2  # the fewest that can agree, and the fewest among which agreeing by chance can be reckoned


class MeasurementLevel(StrEnum):
    """What a difference between two values means: how far, or only whether."""

    INTERVAL = "interval"
    NOMINAL = "nominal"


@dataclass(frozen=True, slots=True)
class AxisAgreement:
    """What two readings say of a client on one axis, in bench units."""

    axis: Axis
    first: Estimate
    second: Estimate

    @property
    def difference(self) -> float:
        """First minus second, in bench units."""
        return self.first.mean - self.second.mean

    @property
    def overlap(self) -> bool:
        """Whether the 90 % intervals share a value. A rough look, and no test."""
        return self.first.low <= self.second.high and self.second.low <= self.first.high


@dataclass(frozen=True, slots=True)
class Reliability:
    """Krippendorff's alpha over double readings: 1 is perfect, 0 what chance would give. None where it says nothing."""

    level: MeasurementLevel
    count: int
    alpha: float | None

    @property
    def too_few(self) -> bool:
        """Whether there are too few double readings to say."""
        return self.count < FEWEST_DOUBLE_READINGS


@dataclass(frozen=True, slots=True)
class Bias:
    """By how much one analyst reads above another on the same clients.

    mean, standard_error: in bench units; no standard error of a single client.
    """

    mean: float
    standard_error: float | None
    count: int


@dataclass(frozen=True, slots=True)
class NamedShare:
    """Results that a consultant named where the odds had one word.

    count: how many; stated: the mean odds, 0 to 1; same: how many were what the odds had likeliest.
    """

    word: OddsWord
    count: int
    stated: float
    same: int

    @property
    def stated_percent(self) -> str:
        """The mean odds, as odds are written."""
        return percent(self.stated)


def against_named(cases: Iterable[tuple[float, bool]]) -> tuple[NamedShare, ...]:
    """Return, from the surest word down, how results that were named compare with the odds.

    cases: of each, the odds of the likeliest category, and whether the consultant named that one.
    """
    of_word: dict[OddsWord, list[tuple[float, bool]]] = {word: [] for word in reversed(OddsWord)}
    for odds, same in cases:
        of_word[odds_word(odds)].append((odds, same))
    return tuple(
        NamedShare(word, len(found), float(np.mean([odds for odds, _ in found])), sum(same for _, same in found))
        for word, found in of_word.items()
        if found
    )


class Compared(StrEnum):
    """How two readings of a client stand to each other in what they name."""

    SAME = "the same"
    DIFFER = "differ"
    OPEN = "both open"  # neither is sure enough to name one, so they say nothing against each other


def names_compared(first: tuple[str, float], second: tuple[str, float]) -> Compared:
    """Return how two likeliest names with their probabilities compare; two that are open do not differ.

    first, second: a name and its probability, 0 to 1.
    """
    if first[0] == second[0]:
        return Compared.SAME
    is_open = all(odds_word(odds) is OddsWord.OPEN for _, odds in (first, second))
    return Compared.OPEN if is_open else Compared.DIFFER


def compare_readings(first: Mapping[Axis, Estimate], second: Mapping[Axis, Estimate]) -> tuple[AxisAgreement, ...]:
    """Return how two readings of a client compare on each axis."""
    return tuple(AxisAgreement(axis, first[axis], second[axis]) for axis in Axis)


def alpha(values: ArrayLike, level: MeasurementLevel) -> float | None:
    """Return Krippendorff's alpha: 1 is perfect agreement, 0 what chance would give.

    Parameters
    ----------
    values : array_like, shape (analysts, clients)
        NaN where an analyst has not read a client. At the nominal level the numbers are names.
    level : MeasurementLevel
        What a difference between two values means.

    Returns
    -------
    float or None
        None where nobody was read twice, or all values are the same: chance cannot be told from agreement then.

    Raises
    ------
    TenterError
        If the values are not in two dimensions.

    References
    ----------
    K. Krippendorff (2011), Computing Krippendorff's alpha-reliability.
    """
    import krippendorff  # noqa: PLC0415 - only who asks for it waits for it

    table = _table(values)
    twice = table[:, np.sum(~np.isnan(table), axis=0) >= _RATERS]
    if np.unique(twice[~np.isnan(twice)]).size < _VALUES:
        return None
    word: Any = str(level)  # one of the words that it takes
    return float(krippendorff.alpha(reliability_data=twice, level_of_measurement=word))


def reliability(first: ArrayLike, second: ArrayLike) -> Reliability:
    """Return how far two readings (n,) and (n,) of n clients agree on an axis, by alpha at the interval level.

    Raises `TenterError` unless each client has both.
    """
    return _reliability(np.stack(_pairs(first, second)), MeasurementLevel.INTERVAL)


def reliability_of_names(first: Sequence[Hashable], second: Sequence[Hashable]) -> Reliability:
    """Return how far two readings of each client agree on a name, such as that of the category.

    By alpha at the nominal level. Raises `TenterError` unless each client has both.
    """
    number = {name: place for place, name in enumerate(dict.fromkeys([*first, *second]))}
    table = _pairs([number[name] for name in first], [number[name] for name in second])
    return _reliability(np.stack(table), MeasurementLevel.NOMINAL)


def bias(first: ArrayLike, second: ArrayLike) -> Bias:
    """Return by how much one analyst's values (n,) lie above another's (n,) for the same clients, in the values' unit.

    Raises `TenterError` where there is no client, or one of them lacks a value.
    """
    one, other = _pairs(first, second)
    difference = one - other
    if difference.size == 0:
        raise TenterError("a bias needs a client that both have read; got none")
    error = float(np.std(difference, ddof=1) / np.sqrt(difference.size)) if difference.size > 1 else None
    return Bias(float(np.mean(difference)), error, difference.size)


def _reliability(table: FloatArray, level: MeasurementLevel) -> Reliability:
    count = table.shape[1]
    return Reliability(level, count, alpha(table, level) if count >= FEWEST_DOUBLE_READINGS else None)


def _table(values: ArrayLike) -> FloatArray:
    table = np.asarray(values, dtype=float)
    if table.ndim != 2:  # analysts and clients
        raise TenterError(f"readings need a row for each consultant, a column for each client; got {table.ndim} axes")
    return table


def _pairs(first: ArrayLike, second: ArrayLike) -> tuple[FloatArray, FloatArray]:
    one, other = np.asarray(first, dtype=float), np.asarray(second, dtype=float)
    if one.ndim != 1 or one.shape != other.shape:
        raise TenterError(f"each client needs a first and a second reading; got {one.size} and {other.size}")
    return one, other
