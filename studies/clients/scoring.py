"""Scores of simulated sittings: accuracy with Wilson intervals, calibration, and the ceiling beside each score."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from studies.clients.trials import FIRM, LAST, Client
from tenter import Method
from tenter.arrays import BoolArray, FloatArray, IntArray

CLEAR = 0.3  # bench units from every border
CEILING_SDS = (0.20, 0.15, 0.13)
_BINS = 10
_Z = 1.959964


def wilson(right: float, count: int) -> tuple[float, float]:
    """Return the 95 % interval of a share; `right` need not be whole where it is a mean of shares.

    References
    ----------
    E. B. Wilson (1927), Probable inference, the law of succession, and statistical inference, JASA 22, 209-212.
    """
    if count == 0:
        return 0.0, 1.0
    p, z2 = right / count, _Z**2
    centre = (p + z2 / (2 * count)) / (1 + z2 / count)
    half = _Z * np.sqrt(p * (1 - p) / count + z2 / (4 * count**2)) / (1 + z2 / count)
    return float(centre - half), float(centre + half)


@dataclass(frozen=True, slots=True)
class Share:
    """So many of so many, with the 95 % interval."""

    right: int
    count: int

    @classmethod
    def of(cls, hits: BoolArray) -> "Share":
        return cls(int(np.sum(hits)), int(np.size(hits)))

    @property
    def value(self) -> float:
        return self.right / self.count if self.count else float("nan")

    @property
    def interval(self) -> tuple[float, float]:
        return wilson(self.right, self.count)

    def __str__(self) -> str:
        low, high = self.interval
        return f"{self.value:.3f} [{low:.2f}-{high:.2f}]" if self.count else "none"

    def plain(self) -> dict[str, object]:
        return {"value": self.value, "right": self.right, "count": self.count, "interval_95": self.interval}


@dataclass(frozen=True)
class ClusteredShare:
    """A share of cases that come in clusters, such as photographs of one garment, and its 95 % interval.

    hits, counted (n,): which of the cases are hits, and which are counted at all. clusters (n,): whose case each is.
    The interval is that of 2000 resamplings of whole clusters.

    References
    ----------
    A. C. Davison, D. V. Hinkley (1997), Bootstrap Methods and their Application, section 3.8: resampling of clusters.
    From memory.
    """

    hits: BoolArray
    counted: BoolArray
    clusters: IntArray

    @property
    def value(self) -> float:
        return float(np.sum(self.hits & self.counted) / np.sum(self.counted)) if self.counted.any() else float("nan")

    @property
    def interval(self) -> tuple[float, float]:
        """The 95 % interval; the same each time."""
        _, of = np.unique(self.clusters, return_inverse=True)
        right, all_of_them = (np.bincount(of, w) for w in ((self.hits & self.counted), self.counted))
        drawn = np.random.default_rng(0).multinomial(len(right), np.full(len(right), 1 / len(right)), 2000)
        counts = drawn @ all_of_them
        low, high = np.percentile((drawn @ right)[counts > 0] / counts[counts > 0], [2.5, 97.5])
        return float(low), float(high)

    def __str__(self) -> str:
        if not self.counted.any():
            return "none"
        low, high = self.interval
        return f"{self.value:.3f} [{low:.2f}-{high:.2f}]"


def reliability(confidence: FloatArray, right: BoolArray) -> list[dict[str, float]]:
    """Return count, mean confidence and share right of each of ten equal bins of the top category's probability."""
    place = np.minimum((confidence * _BINS).astype(int), _BINS - 1)
    rows = []
    for b in range(_BINS):
        held = place == b
        if held.any():
            rows.append(
                {
                    "low": b / _BINS,
                    "count": int(held.sum()),
                    "stated": float(confidence[held].mean()),
                    "right": float(right[held].mean()),
                }
            )
    return rows


def calibration_error(confidence: FloatArray, right: BoolArray) -> float:
    """Return the expected calibration error of the top category, ten bins.

    References
    ----------
    M. P. Naeini, G. F. Cooper, M. Hauskrecht (2015), Obtaining well calibrated probabilities using Bayesian binning,
    AAAI 29.
    """
    rows = reliability(confidence, right)
    return sum(r["count"] * abs(r["stated"] - r["right"]) for r in rows) / len(confidence)


def calibration_interval(confidence: FloatArray, right: BoolArray, rng: np.random.Generator) -> tuple[float, float]:
    """Return the central 95 % of the calibration error over 500 resamplings of clients."""
    picks = rng.integers(len(right), size=(500, len(right)))
    errors = [calibration_error(confidence[p], right[p]) for p in picks]
    low, high = np.percentile(errors, [2.5, 97.5])
    return float(low), float(high)


def ceiling(method: Method, thetas: FloatArray, sd: float, rng: np.random.Generator) -> dict[str, float]:
    """Return season and sub-season accuracy of someone who knows each ideal point up to a normal error."""
    season = np.array([method.seasons.index(r.season) for r in method.regions])
    truth = _nearest(method, thetas)
    seen = _nearest(method, thetas[None] + rng.normal(0, sd, (200, *thetas.shape)))
    return {"season": float((season[seen] == season[truth]).mean()), "category": float((seen == truth).mean())}


def _nearest(method: Method, points: FloatArray) -> IntArray:
    nearest: IntArray = np.argmin(np.sum((points[..., None, :] - method.prototypes) ** 2, axis=-1), axis=-1)
    return nearest


@dataclass(frozen=True)
class Scores:
    """The scores of one arm of one setting after a number of comparisons."""

    season: Share
    category: Share
    clear_season: Share
    clear: Share
    edge: Share
    error: float
    error_interval: tuple[float, float]
    firm: Share  # of all verdicts, those stated at 90 % or more
    firm_right: Share
    confidence: FloatArray
    right: BoolArray

    def plain(self) -> dict[str, object]:
        shares = ("season", "category", "clear_season", "clear", "edge", "firm", "firm_right")
        return {
            **{name: getattr(self, name).plain() for name in shares},
            "calibration_error": self.error,
            "calibration_error_interval_95": self.error_interval,
            "reliability": reliability(self.confidence, self.right),
        }


def scores(method: Method, clients: Sequence[Client], arm: str, at: int, rng: np.random.Generator) -> Scores:
    """Return the scores of an arm after `at` comparisons."""
    outcomes = [c.arms[arm] for c in clients]
    p = np.stack([o.probabilities[o.at.index(at)] for o in outcomes])
    truth = np.array([method.categories.index(c.truth) for c in clients])
    season = np.array([method.seasons.index(r.season) for r in method.regions])
    of_season = np.stack([p[:, season == s].sum(axis=1) for s in range(len(method.seasons))], axis=1)
    right, right_season = p.argmax(axis=1) == truth, of_season.argmax(axis=1) == season[truth]
    clear = np.array([c.border >= CLEAR for c in clients])
    confidence = p.max(axis=1)
    return Scores(
        season=Share.of(right_season),
        category=Share.of(right),
        clear_season=Share.of(right_season[clear]),
        clear=Share.of(right[clear]),
        edge=Share.of(right[~clear]),
        error=calibration_error(confidence, right),
        error_interval=calibration_interval(confidence, right, rng),
        firm=Share.of(confidence >= FIRM),
        firm_right=Share.of(right[confidence >= FIRM]),
        confidence=confidence,
        right=right,
    )


@dataclass(frozen=True, slots=True)
class Reach:
    """How many clients came to a verdict of 90 % within thirty comparisons, how soon, and how often rightly."""

    share: Share
    right: Share
    median: float
    ran_out: int  # sittings in which the kit had no pair left before the thirtieth

    def plain(self) -> dict[str, object]:
        return {
            "share": self.share.plain(),
            "right_when_first_reached": self.right.plain(),
            "median_comparisons": self.median,
            "kit_ran_out": self.ran_out,
        }


def reach(clients: Sequence[Client], arm: str = "phased plan") -> Reach:
    """Return how soon the verdict was firm."""
    outcomes = [c.arms[arm] for c in clients]
    there = [o for o in outcomes if o.reached is not None]
    return Reach(
        share=Share(len(there), len(outcomes)),
        right=Share(sum(o.right_then for o in there), len(there)),
        median=float(np.median([o.reached for o in there])) if there else float("nan"),
        ran_out=sum(o.pairs < LAST for o in outcomes),
    )
