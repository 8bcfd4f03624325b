"""How fast a cloth changes: a straight line through its readings over the years, with the interval of its slope.

Ordinary least squares; the interval of a slope is Student's t with n - 2 degrees of freedom (any textbook of
statistics).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from scipy.special import stdtrit

from tenter.arrays import FloatArray, steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import chroma
from tenter.consultation.readings.summary import ClothSummary

LEAST_DAYS = 3  # of readings: two give a slope and nothing to doubt it by
_DAYS_A_YEAR = 365.25
_UPPER_END = 0.95  # quantile at the upper end of a 90 % interval


@dataclass(frozen=True, slots=True)
class YearlyRate:
    """A change per year, with its 90 % interval.

    per_year, low, high: in the units of what changes, L*, C* or ΔE00, a year.
    """

    per_year: float
    low: float
    high: float

    @property
    def is_certain(self) -> bool:
        """Whether the interval leaves 0 out, so that there is a change at all."""
        return self.low > 0 or self.high < 0


@dataclass(frozen=True, slots=True)
class ColourTrend:
    """How fast a cloth changes. delta_e: ΔE00 from its first readings; the others are L*, a*, b* and C*ab.

    days: of how many days of readings; fitted_at_end: ΔE00 on the line on the last of them.
    """

    days: int
    delta_e: YearlyRate
    lightness: YearlyRate
    a: YearlyRate
    b: YearlyRate
    chroma: YearlyRate
    fitted_at_end: float

    def years_to(self, limit: float) -> float | None:
        """Return in how many years from the last readings ΔE00 reaches a limit; None where no change is certain."""
        left = limit - self.fitted_at_end
        return left / self.delta_e.per_year if self.delta_e.low > 0 and left > 0 else None


def colour_trend(summaries: Sequence[ClothSummary]) -> ColourTrend | None:
    """Return how fast a cloth changes, of its summaries under one light, the first day first; None below three days."""
    if len(summaries) < LEAST_DAYS:
        return None
    lab = np.array([one.lab for one in summaries])
    first = date.fromisoformat(summaries[0].day)
    years = np.array([(date.fromisoformat(one.day) - first).days / _DAYS_A_YEAR for one in summaries])
    away = delta_e_2000(lab[0], lab)
    rates = [_rate(years, values) for values in (away, *lab.T, chroma(lab))]
    delta_e, lightness, a, b, strength = rates
    end = away.mean() + delta_e.per_year * (years[-1] - years.mean())
    return ColourTrend(len(summaries), delta_e, lightness, a, b, strength, steady(float(end)))


def _rate(years: FloatArray, values: FloatArray) -> YearlyRate:
    """Return the slope of a straight line through values (n,) at years (n,), and its 90 % interval."""
    centred = years - years.mean()
    spread = float(centred @ centred)
    slope = float(centred @ values) / spread
    left = values - values.mean() - slope * centred
    freedom = len(years) - 2
    half = float(stdtrit(freedom, _UPPER_END)) * float(np.sqrt(left @ left / freedom / spread))
    return YearlyRate(steady(slope), steady(slope - half), steady(slope + half))
