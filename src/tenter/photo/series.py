"""A-B-A-B photographs of two drapes: what changes in the face, region by region, and whether that can be told at all.

Every frame is cut by its own mesh. A card in the pictures takes the camera's small changes out; what drifts over time
is a line that the order of the drapes tells from the drapes. Per region and coordinate

    Lab = level + drift · time + difference · (B: +½, A: −½)

is fitted by least squares. Four frames leave one residual a region, so the residuals' variance is drawn towards that of
all regions (as in G. K. Smyth 2004, Stat. Appl. Genet. Mol. Biol. 3(1), 3: moderated t; from memory).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from scipy.stats import chi2
from scipy.stats import t as student

from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.errors import TenterError
from tenter.photo.card import ChartKind, look_for_card
from tenter.photo.correction import D65_WHITE, TRUE_SRGB, Basis, Correction
from tenter.photo.loading import Photo, load_photo
from tenter.photo.regions import Region
from tenter.photo.series_frames import READ, Frame, Steadiness, gains, read_frame, settled_cards, with_regions

MIN_OF_EACH = 2
CHARTS = (ChartKind.CLASSIC24, ChartKind.NONE)
_MOST_CONFOUNDED = 0.8  # correlation of drape and time from which drift cannot be told from the drape: AABB has 0.89
_PRIOR_FREEDOM = 4.0  # how many residuals' worth the variance of all regions counts for one of them
# Per L*, a*, b*, set by `./run bench series`. Floor: what residuals do not show. Scale: a difference rests on the
# camera's tone curve and colours, and, as a cloth's light fades from the jaw upward, on where a region's outline runs.
_FLOOR = np.array([0.06, 0.07, 0.08])
_SCALE = {Basis.CHART: np.array([0.33, 0.35, 0.33]), Basis.RELATIVE: np.array([0.40, 0.40, 0.45])}
# How restless a region's readings are against most of them: shading is steep on a nose, and lips have a rim.
_RESTLESS = {
    Region.NOSE: np.array([2.0, 1.0, 1.0]),
    Region.CHIN: np.array([1.8, 1.0, 1.0]),
    Region.LIPS: np.array([1.7, 1.7, 1.7]),
}
_CALM = np.array([0.6, 0.9, 1.0])
_TOLD_AT = 0.95 ** (1 / 3)  # each of three coordinates, so that one series in twenty tells where there is nothing
_DRAWS, _SEED = 2000, 7


@dataclass(frozen=True, slots=True)
class SeriesDifference:
    """What B does to a region against A: Lab of B minus Lab of A (3,) with half-widths (3,) of its 90 % interval.

    told: whether it is more than the photographs' own noise. least_lightness: the smallest ΔL* that would have been.
    reason: why there is none.
    """

    region: Region
    delta_lab: FloatArray | None
    half_width_90: FloatArray | None
    delta_e_2000: float | None
    delta_e_interval_90: tuple[float, float] | None
    told: bool
    least_lightness: float | None
    reason: str | None

    @property
    def text(self) -> str:
        """The difference in plain words."""
        name = str(self.region).replace("_", " ")
        if self.delta_lab is None or self.delta_e_interval_90 is None:
            return f"{name}: {self.reason}"
        if not self.told:
            return f"{name}: cannot tell; anything below ΔL* {self.least_lightness:.1f} would be lost in the noise"
        low, high = self.delta_e_interval_90
        return f"{name}: a difference of ΔE00 {self.delta_e_2000:.1f} ({low:.1f} to {high:.1f})"

    def to_json(self) -> dict[str, Any]:
        delta = interval = None
        if self.delta_lab is not None and self.half_width_90 is not None:
            ends = np.stack([self.delta_lab - self.half_width_90, self.delta_lab + self.half_width_90], axis=1)
            delta, interval = np.round(self.delta_lab, 3).tolist(), np.round(ends, 3).tolist()
        ends_e = self.delta_e_interval_90
        return {
            "delta_lab": delta,
            "interval_90": interval,
            "delta_e_2000": None if self.delta_e_2000 is None else round(self.delta_e_2000, 3),
            "delta_e_2000_interval_90": None if ends_e is None else [round(end, 3) for end in ends_e],
            "can_tell": self.told,
            "text": self.text,
        }


@dataclass(frozen=True, slots=True)
class Series:
    """A whole series: its frames, what was wrong with it, and the differences; none where it is refused."""

    pattern: str
    frames: tuple[Frame, ...]
    refusals: tuple[str, ...]
    notes: tuple[str, ...]
    basis: Basis
    steadiness: Steadiness | None
    differences: tuple[SeriesDifference, ...]

    @property
    def accepted(self) -> bool:
        return not self.refusals

    def to_json(self) -> dict[str, Any]:
        """Return the object that `tenter face series --json` prints."""
        steady = self.steadiness
        return {
            "accepted": self.accepted,
            "refusals": list(self.refusals),
            "notes": list(self.notes),
            "pattern": self.pattern,
            "basis": str(self.basis),
            "illuminant": "D65",
            "observer": "2",
            "frames": [frame.to_json() for frame in self.frames],
            "exposure_change": None if steady is None else round(steady.exposure, 4),
            "white_balance_change": None if steady is None else round(steady.balance, 4),
            "from": "A",
            "to": "B",
            "regions": {str(d.region): d.to_json() for d in self.differences},
        }


def measure_series(paths: Sequence[Path], pattern: str, chart: ChartKind = ChartKind.CLASSIC24) -> Series:
    """Return what a series of photographs shows; `pattern` names the drape of each, as in "ABAB".

    Raises
    ------
    TenterError
        If the pattern does not fit the photographs.
    UnreadableInput
        If a file cannot be read.
    """
    require_pattern(pattern, len(paths), chart)
    return series_of([load_photo(path) for path in paths], [path.name for path in paths], pattern, chart)


def require_pattern(pattern: str, count: int, chart: ChartKind) -> None:
    """Raise `TenterError` for a pattern, number of photographs or chart that no series can be made of."""
    if chart not in CHARTS:
        raise TenterError(f"a series with chart {chart.value!r} is not supported; use classic24 or none")
    if set(pattern) - {"A", "B"}:
        raise TenterError(f"the pattern {pattern!r} came; it is written with A and B alone, as in ABAB")
    if len(pattern) != count:
        raise TenterError(
            f"the pattern {pattern!r} speaks of {len(pattern)} photographs and {count} came; give one letter for each, "
            "in the order they were taken"
        )
    if min(pattern.count("A"), pattern.count("B")) < MIN_OF_EACH:
        raise TenterError(f"the pattern {pattern!r} came; at least two photographs of each drape are needed: ABAB")
    if _confounded(pattern, range(count)) > _MOST_CONFOUNDED:
        raise TenterError(
            f"the pattern {pattern!r} shows one drape first and the other after it, so that a change of the light "
            "would look like the cloth. Photograph them in turn: ABAB or ABBA"
        )


def series_of(photos: Sequence[Photo], names: Sequence[str], pattern: str, chart: ChartKind) -> Series:
    """Return what photographs that are already read show; otherwise as `measure_series`."""
    require_pattern(pattern, len(photos), chart)
    with_card = chart is not ChartKind.NONE
    frames = [read_frame(p, n, d, with_card) for p, n, d in zip(photos, names, pattern, strict=True)]
    frames = with_regions(frames, photos)
    correction, refusals = _correction(photos, frames, chart)
    used = [i for i, frame in enumerate(frames) if frame.why is None]
    refusals += _too_few([frames[i] for i in used], used)
    anchors = settled_cards(frames) if with_card else [frame.background for frame in frames]
    ratio = gains([anchors[i] for i in used], correction)
    steadiness = None if ratio is None else Steadiness.of(ratio, [frames[i].name for i in used])
    wrong, notes = _lock(steadiness, with_card)
    refusals += wrong
    basis = correction.basis if correction else Basis.RELATIVE
    differences: tuple[SeriesDifference, ...] = ()
    if not refusals and correction is not None:
        applied = ratio if with_card and ratio is not None else np.ones((len(used), 3))
        differences = _differences([frames[i] for i in used], np.array(used, dtype=float), applied, correction)
    return Series(pattern, tuple(frames), tuple(refusals), tuple(notes), basis, steadiness, differences)


def _correction(
    photos: Sequence[Photo], frames: Sequence[Frame], chart: ChartKind
) -> tuple[Correction | None, list[str]]:
    """Return the correction that the first usable frame supports: one for all, as the camera is one."""
    if chart is ChartKind.NONE:
        return TRUE_SRGB, []
    told = ["No frame of the series can be read."]
    for photo, frame in zip(photos, frames, strict=True):
        if frame.why is None:
            card = look_for_card(photo, chart)
            wrong = [reason.text for reason in card.reasons if reason.refuses]
            if card.correction is not None and not wrong:
                return card.correction, []
            told = wrong or told
    return None, told[:1]


def _too_few(used: Sequence[Frame], places: Sequence[int]) -> list[str]:
    letters = "".join(frame.letter for frame in used)
    short = [letter for letter in "AB" if letters.count(letter) < MIN_OF_EACH]
    if short:
        found = " and ".join(f"{letters.count(letter)} of drape {letter}" for letter in short)
        return [
            f"Only {found} can be used, and two of each are needed. Take the series again from a stand, or take six "
            "photographs, ABABAB, so that one may fail."
        ]
    if _confounded(letters, places) > _MOST_CONFOUNDED:
        return [
            "In what is left of the series one drape comes first and the other after it, so that a change of the light "
            "would look like the cloth. Take it again, in turn: ABABAB."
        ]
    return []


def _confounded(letters: str, places: Sequence[int]) -> float:
    """Return the correlation of drape and time, without sign."""
    if len(set(letters)) < 2:
        return 1.0
    return abs(float(np.corrcoef([letter == "B" for letter in letters], list(places))[0, 1]))


def _lock(steadiness: Steadiness | None, with_card: bool) -> tuple[list[str], list[str]]:
    """Return refusals and notes about settings that moved between the frames."""
    if steadiness is None:
        what = "the card" if with_card else "the background beside the head"
        return [], [f"Too little of {what} can be compared between the frames to check that the settings were locked."]
    moved = (
        f"between {steadiness.frames[0]} and {steadiness.frames[1]} the exposure changed by {steadiness.exposure:.0%}, "
        f"and over the series the white balance by {steadiness.balance:.0%}"
    )
    if steadiness.loose if with_card else steadiness.unsteady_background:
        seen = "The card" if with_card else "The background"
        return [
            f"{seen} changes: {moved}. The camera's exposure and white balance were not locked, or the light changed. "
            "Lock both, close the blinds on a changing sky, and take the series again."
        ], []
    if with_card and steadiness.unsteady:
        return [], [f"The card changes a little: {moved}. The card takes it out; lock both settings all the same."]
    return [], []


@dataclass(frozen=True, slots=True)
class _Fit:
    """One region: Lab under A and under B at mid-time (3,), sum of squared residuals (3,), its freedom and leverage.

    leverage: variance of the difference for a residual variance of 1.
    """

    lab_a: FloatArray
    lab_b: FloatArray
    residual: FloatArray
    freedom: int
    leverage: float

    @classmethod
    def of(cls, labs: FloatArray, times: FloatArray, letters: str) -> "_Fit":
        drape = np.where([letter == "B" for letter in letters], 0.5, -0.5)
        design = np.column_stack([np.ones(len(labs)), times - times.mean(), drape])
        weights = np.linalg.lstsq(design, labs, rcond=None)[0]
        residual = ((labs - design @ weights) ** 2).sum(axis=0)
        leverage = float(np.linalg.inv(design.T @ design)[2, 2])
        return cls(weights[0] - weights[2] / 2, weights[0] + weights[2] / 2, residual, len(labs) - 3, leverage)


def _differences(
    frames: Sequence[Frame], times: FloatArray, ratio: FloatArray, correction: Correction
) -> tuple[SeriesDifference, ...]:
    """Return the difference of every region; `times` (frames,) are their places in the series."""
    fits = {}
    for region in READ:
        seen = [i for i, frame in enumerate(frames) if frame.regions[region].reason is None]
        letters = "".join(frames[i].letter for i in seen)
        if min(letters.count("A"), letters.count("B")) >= MIN_OF_EACH:
            labs = np.stack([_lab(frames[i].regions[region].code, ratio[i], correction) for i in seen])
            fits[region] = _Fit.of(labs, times[seen], letters)
    usual = _usual_variance(fits)
    return tuple(
        _difference(region, fits[region], usual * _RESTLESS.get(region, _CALM) ** 2, correction.basis)
        if region in fits
        else _none(region, frames)
        for region in READ
    )


def _usual_variance(fits: Mapping[Region, _Fit]) -> FloatArray:
    """Return the residuals' variance (3,) that is usual in this series, by the median over regions."""
    found = [
        fit.residual / chi2.median(fit.freedom) / _RESTLESS.get(region, _CALM) ** 2
        for region, fit in fits.items()
        if fit.freedom > 0
    ]
    return np.median(found, axis=0) if found else np.zeros(3)


def _lab(code: FloatArray, ratio: FloatArray, correction: Correction) -> FloatArray:
    linear = correction.tone.linear(code).mean(axis=0) * ratio
    return xyz_to_lab(correction.for_skin.xyz(linear), D65_WHITE)


def _difference(region: Region, fit: _Fit, usual: FloatArray, basis: Basis) -> SeriesDifference:
    freedom = _PRIOR_FREEDOM + fit.freedom
    variance = (_PRIOR_FREEDOM * usual + fit.residual) / freedom
    error = np.sqrt(variance * fit.leverage + _FLOOR**2)
    delta = fit.lab_b - fit.lab_a
    half = np.hypot(student.ppf(0.95, freedom) * error, _SCALE[basis] * np.abs(delta))
    least = student.ppf((1 + _TOLD_AT) / 2, freedom) * error
    told = bool((np.abs(delta) > least).any())
    rng = np.random.default_rng(_SEED)
    drawn = fit.lab_b + half / student.ppf(0.95, freedom) * student.rvs(freedom, size=(_DRAWS, 3), random_state=rng)
    low, high = np.percentile(delta_e_2000(np.broadcast_to(fit.lab_a, drawn.shape), drawn), [5, 95])
    return SeriesDifference(
        region,
        delta,
        half,
        float(delta_e_2000(fit.lab_a, fit.lab_b)),
        (float(low) if told else 0.0, float(high)),
        told,
        float(least[0]),
        None,
    )


def _none(region: Region, frames: Sequence[Frame]) -> SeriesDifference:
    why = next((frame.regions[region].reason for frame in frames if frame.regions[region].reason), "it cannot be read")
    return SeriesDifference(region, None, None, None, None, False, None, f"not read, as {why}")
