"""Each threshold as it is said: what it is, in which unit, and where its default comes from."""

from dataclasses import dataclass

from tenter.arrays import steady
from tenter.language import Sentence, _, as_written, gettext_lazy
from tenter.light.thresholds import PRACTICE, LightThresholds
from tenter.numerals import trimmed

_PRACTICE = gettext_lazy("Common practice, no standard.")
_DRIFT = gettext_lazy("Tenter's own, no standard: lamps of one make differ by about as much.")
_ISO_3668 = gettext_lazy("ISO 3668:2017: 1000 to 4000 lx.")


@dataclass(frozen=True, slots=True)
class ThresholdTerm:
    """A threshold as it is said.

    name: its field in `LightThresholds`. of: which value of a check it judges; of a drift, the value since last time.
    title: in words. unit: of the number as it is shown, empty for Duv and indices. basis: the standard that the default
    comes from, or that there is none, in a sentence.
    """

    name: str
    of: str
    title: Sentence
    unit: str
    basis: Sentence

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
        return as_written(trimmed(float(steady(value * self.scale))))

    def said(self, value: float) -> str:
        """Return a value of this threshold, in its own unit, as it is shown, with the unit."""
        return f"{self.shown(value)} {self.unit}".strip()


THRESHOLD_TERMS = (
    ThresholdTerm("least_lux", "lux", gettext_lazy("Brightness on the face, at least"), "lx", _ISO_3668),
    ThresholdTerm("most_lux", "lux", gettext_lazy("Brightness on the face, at most"), "lx", _ISO_3668),
    ThresholdTerm(
        *("most_cheek_difference", "cheeks", gettext_lazy("Darker cheek below the brighter, at most"), "%"), _PRACTICE
    ),
    ThresholdTerm(
        *("least_cct", "cct", gettext_lazy("Colour temperature, at least"), "K"),
        gettext_lazy("Common practice: D50, as in ISO 3664:2009, less what lamps of that name are off."),
    ),
    ThresholdTerm(
        *("most_cct", "cct", gettext_lazy("Colour temperature, at most"), "K"),
        gettext_lazy("Common practice: D65, as in ISO 3668:2017, and what lamps of that name are off."),
    ),
    ThresholdTerm("most_duv", "duv", gettext_lazy("Tint (Duv), either way, at most"), "", _PRACTICE),
    ThresholdTerm(
        *("least_ra", "ra", gettext_lazy("Colour rendering (Ra), at least"), ""),
        gettext_lazy("Common practice. ISO 3664:2009 asks 90 (from memory, not checked against its text)."),
    ),
    ThresholdTerm("least_r9", "r9", gettext_lazy("Rendering of strong red (R9), at least"), "", _PRACTICE),
    ThresholdTerm(
        *("least_rf", "rf", gettext_lazy("Colour fidelity (Rf), at least"), ""),
        gettext_lazy("At 0 it is not asked for. No standard."),
    ),
    ThresholdTerm(
        "drift_cct", "drift_cct", gettext_lazy("Colour temperature since last time, by at most"), "K", _DRIFT
    ),
    ThresholdTerm("drift_duv", "drift_duv", gettext_lazy("Tint (Duv) since last time, by at most"), "", _DRIFT),
    ThresholdTerm("drift_ra", "drift_ra", gettext_lazy("Ra since last time, by at most"), "", _DRIFT),
    ThresholdTerm("drift_r9", "drift_r9", gettext_lazy("R9 since last time, by at most"), "", _DRIFT),
    ThresholdTerm("drift_lux", "drift_lux", gettext_lazy("Brightness since last time, by at most"), "%", _DRIFT),
)


def own_threshold_lines(thresholds: LightThresholds) -> list[str]:
    """Return which thresholds differ from practice, a line each with the default beside it."""
    own = thresholds.own
    return [
        _(
            "{threshold}: {value}; Tenter's default is {default}.",
            threshold=term.title,
            value=term.said(own[term.name]),
            default=term.said(getattr(PRACTICE, term.name)),
        )
        for term in THRESHOLD_TERMS
        if term.name in own
    ]
