"""What has become of a cloth since its first readings: how far it is from them, in which direction, and how fast.

Every difference is under D65 by the 10 degree observer, which the grey scale asks for.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from tenter.arrays import steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.grey_scale import GreyScaleGrade, grey_scale_grade
from tenter.colorimetry.measurement import D65_10
from tenter.colorimetry.spaces import chroma
from tenter.consultation.fading.trend import ColourTrend, colour_trend
from tenter.consultation.readings.cloth_reading import ClothReading, ConversionBasis, GivenAs, day_from
from tenter.consultation.readings.summary import ClothSummary, cloth_summaries
from tenter.consultation.readings.wash_log import Wash
from tenter.consultation.words.difference_words import SAME_BELOW, difference_parts
from tenter.language import N_, _, all_of, local_number, pgettext

# ΔE00 from its first readings at which a cloth leaves the tests: practice threshold, no source.
DRIFTED_FROM = 2.0
# What the readings of two days are to be alike in, and how it is said where they are not.
_TAKEN_ALIKE = (
    ("instrument", N_("The two days differ in instruments; part of the change may come from that.")),
    ("backing", N_("The two days differ in backings; part of the change may come from that.")),
    ("folds", N_("The two days differ in folds; part of the change may come from that.")),
    ("direction", N_("The two days differ in direction; part of the change may come from that.")),
    ("uv", N_("The two days differ in ultraviolet in the lamp; part of the change may come from that.")),
)
_FIRST_PREDICTED = N_(
    "The first day was read under another light or observer, and its colour here is predicted; part of the change may "
    "come from that."
)
_LATEST_PREDICTED = N_(
    "The latest day was read under another light or observer, and its colour here is predicted; part of the change may "
    "come from that."
)
_NOT_SAID = {"", "None", "unknown"}
_WHOLE_FROM = 1.95  # of a change in L* or C*: from there it is said in whole numbers


@dataclass(frozen=True, slots=True)
class ClothDrift:
    """One cloth then and now. baseline, latest: its first and its last day of readings.

    delta_e: the ΔE00 between the two. direction: in words. doubts: why part of the change may not be the cloth's.
    trend: None below three days of readings. washes: those since the baseline.
    """

    cloth: str
    baseline: ClothSummary
    latest: ClothSummary
    delta_e: float
    direction: str
    grade: GreyScaleGrade
    doubts: tuple[str, ...]
    trend: ColourTrend | None
    washes: tuple[Wash, ...]

    @property
    def has_drifted(self) -> bool:
        """Whether the cloth is to leave the tests, or to be read as what it is now."""
        return bool(self.delta_e >= DRIFTED_FROM)


def cloth_drifts(
    readings: Iterable[ClothReading], washes: Iterable[Wash] = (), since: str = ""
) -> tuple[ClothDrift, ...]:
    """Return what has become of each cloth that was read on two days or more, the most changed first.

    since: the day from which readings count, so that a cloth that was replaced has a new baseline; all when empty.

    Raises
    ------
    TenterError
        If the day is none, or a colour cannot be carried to D65/10°.
    """
    begin = day_from(since) if since else ""
    days: dict[str, list[ClothSummary]] = {}
    for one in cloth_summaries((r for r in readings if r.day >= begin), D65_10):
        days.setdefault(one.cloth, []).append(one)
    log = tuple(washes)
    found = [_drift(summaries, log) for summaries in days.values() if len(summaries) > 1]
    return tuple(sorted(found, key=lambda one: -one.delta_e))


def _drift(summaries: Sequence[ClothSummary], washes: Sequence[Wash]) -> ClothDrift:
    baseline, latest = summaries[0], summaries[-1]
    since = (wash for wash in washes if wash.cloth == baseline.cloth and wash.day >= baseline.day)
    return ClothDrift(
        cloth=baseline.cloth,
        baseline=baseline,
        latest=latest,
        delta_e=float(steady(delta_e_2000(baseline.lab, latest.lab))),
        direction=change_words(baseline, latest),
        grade=grey_scale_grade(baseline.lab, latest.lab),
        doubts=tuple(_doubts(baseline, latest)),
        trend=colour_trend(summaries),
        washes=tuple(sorted(since, key=lambda wash: wash.day)),
    )


def change_words(baseline: ClothSummary, latest: ClothSummary) -> str:
    """Return how a cloth has changed, in words, such as 'lost 5 chroma and yellowed'; summaries under one light."""
    before, after = np.array(baseline.lab), np.array(latest.lab)
    if steady(float(delta_e_2000(before, after))) < SAME_BELOW:
        return _("no change that an eye would see")
    lighter = _amount(abs(float(after[0] - before[0])))
    strength = _amount(abs(float(chroma(after) - chroma(before))))
    said = {
        "lighter": pgettext("of a cloth since a day", "got {by} lighter", by=lighter),
        "darker": pgettext("of a cloth since a day", "got {by} darker", by=lighter),
        "stronger": pgettext("of a cloth since a day", "gained {by} chroma", by=strength),
        "softer": pgettext("of a cloth since a day", "lost {by} chroma", by=strength),
        "redder": pgettext("of a cloth since a day", "reddened"),
        "yellower": pgettext("of a cloth since a day", "yellowed"),
        "greener": pgettext("of a cloth since a day", "turned greener"),
        "bluer": pgettext("of a cloth since a day", "turned bluer"),
    }
    parts = difference_parts(before, after)
    seen = [word for size, word in parts if size >= SAME_BELOW] or [parts[0][1]]
    return all_of([said[word] for word in seen])


def _amount(value: float) -> str:
    return local_number(value, 0 if value >= _WHOLE_FROM else 1)


def _doubts(baseline: ClothSummary, latest: ClothSummary) -> Iterable[str]:
    """Yield why part of a change may come from how the cloth was read."""
    by_camera = [{one.given_as is GivenAs.PHOTOGRAPH for one in day.readings} for day in (baseline, latest)]
    if by_camera[0] != by_camera[1]:
        yield _("One of the two days was read from a photograph; part of the change may come from that.")
    predicted = [ConversionBasis.PREDICTED in day.basis for day in (baseline, latest)]
    if predicted[0] != predicted[1]:
        yield _(_FIRST_PREDICTED if predicted[0] else _LATEST_PREDICTED)
    for name, said in _TAKEN_ALIKE:
        then, now = ({str(getattr(one.how, name)) for one in day.readings} for day in (baseline, latest))
        if then != now and not (_NOT_SAID & (then | now)):
            yield _(said)
    spread = max(one.mcdm or 0.0 for one in (baseline, latest))
    if SAME_BELOW <= delta_e_2000(baseline.lab, latest.lab) <= spread:
        yield _(
            "The change is within the spread of the readings (ΔE00 {spread}); read the cloth again.",
            spread=local_number(spread, 1),
        )
