"""Each threshold as it is said: what it is, in which unit, and where its default comes from."""

from dataclasses import dataclass

from tenter.arrays import steady
from tenter.light.thresholds import PRACTICE, LightThresholds
from tenter.numerals import trimmed

_PRACTICE = "Common practice, no standard."
_DRIFT = "Tenter's own, no standard: lamps of one make differ by about as much."


@dataclass(frozen=True, slots=True)
class ThresholdTerm:
    """A threshold as it is said.

    name: its field in `LightThresholds`. of: which value of a check it judges; of a drift, the value since last time.
    title: in words. unit: of the number as it is shown, empty for Duv and indices. basis: the standard that the default
    comes from, or that there is none, in a sentence.
    """

    name: str
    of: str
    title: str
    unit: str
    basis: str

    @property
    def is_drift(self) -> bool:
        """Whether it is of the change since last time."""
        return self.name.startswith("drift_")

    @property
    def scale(self) -> float:
        """By what a value is multiplied to be shown: 100 for a share, which is shown in percent."""
        return 100.0 if self.unit == "%" else 1.0

    def shown(self, value: float) -> str:
        """Return a value of this threshold, in its own unit, as it is shown, without the unit."""
        return trimmed(float(steady(value * self.scale)))

    def said(self, value: float) -> str:
        """Return a value of this threshold, in its own unit, as it is shown, with the unit."""
        return f"{self.shown(value)} {self.unit}".strip()


THRESHOLD_TERMS = (
    ThresholdTerm("least_lux", "lux", "Brightness on the face, at least", "lx", "ISO 3668:2017: 1000 to 4000 lx."),
    ThresholdTerm("most_lux", "lux", "Brightness on the face, at most", "lx", "ISO 3668:2017: 1000 to 4000 lx."),
    ThresholdTerm("most_cheek_difference", "cheeks", "Darker cheek below the brighter, at most", "%", _PRACTICE),
    ThresholdTerm(
        *("least_cct", "cct", "Colour temperature, at least", "K"),
        "Common practice: D50, as in ISO 3664:2009, less what lamps of that name are off.",
    ),
    ThresholdTerm(
        *("most_cct", "cct", "Colour temperature, at most", "K"),
        "Common practice: D65, as in ISO 3668:2017, and what lamps of that name are off.",
    ),
    ThresholdTerm("most_duv", "duv", "Tint (Duv), either way, at most", "", _PRACTICE),
    ThresholdTerm(
        *("least_ra", "ra", "Colour rendering (Ra), at least", ""),
        "Common practice. ISO 3664:2009 asks 90 (from memory, not checked against its text).",
    ),
    ThresholdTerm("least_r9", "r9", "Rendering of strong red (R9), at least", "", _PRACTICE),
    ThresholdTerm(*("least_rf", "rf", "Colour fidelity (Rf), at least", ""), "At 0 it is not asked for. No standard."),
    ThresholdTerm("drift_cct", "drift_cct", "Colour temperature since last time, by at most", "K", _DRIFT),
    ThresholdTerm("drift_duv", "drift_duv", "Tint (Duv) since last time, by at most", "", _DRIFT),
    ThresholdTerm("drift_ra", "drift_ra", "Ra since last time, by at most", "", _DRIFT),
    ThresholdTerm("drift_r9", "drift_r9", "R9 since last time, by at most", "", _DRIFT),
    ThresholdTerm("drift_lux", "drift_lux", "Brightness since last time, by at most", "%", _DRIFT),
)


def own_threshold_lines(thresholds: LightThresholds) -> list[str]:
    """Return which thresholds differ from practice, a line each with the default beside it."""
    own = thresholds.own
    return [
        f"{term.title}: {term.said(own[term.name])}; Tenter's default is {term.said(getattr(PRACTICE, term.name))}."
        for term in THRESHOLD_TERMS
        if term.name in own
    ]
