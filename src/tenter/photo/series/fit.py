"""What drape B does to each region against drape A: a line over time and a step, fitted to the frames of a series.

Per region and coordinate

    Lab = level + drift · time + difference · (B: +½, A: −½)

is fitted by least squares. Four frames leave one residual a region, so the residuals' variance is drawn towards that of
all regions (as in G. K. Smyth 2004, Stat. Appl. Genet. Mol. Biol. 3(1), 3: moderated t; from memory).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import stdtrit

from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.intervals import chi_square_point
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.language import _, local_number
from tenter.measured.basis import CalibrationBasis
from tenter.measured.written_series import WrittenChange, WrittenFrameReadings
from tenter.photo.json_numbers import written_lab, written_within
from tenter.photo.patches.correction import D65_WHITE, Correction
from tenter.photo.regions.regions import Region, region_in_words
from tenter.photo.series.frames import READ, FrameOfSeries

MIN_OF_EACH = 2  # photographs of each drape: one shows no spread
_PRIOR_FREEDOM = 4.0  # how many residuals' worth the variance of all regions counts for one of them
# Per L*, a*, b*, set by `./run bench series`. Floor: what residuals do not show. Scale: a difference rests on the
# camera's tone curve and colours, and, as a cloth's light fades from the jaw upward, on where a region's outline runs.
_FLOOR = np.array([0.06, 0.07, 0.08])
_SCALE = {CalibrationBasis.CHART: np.array([0.33, 0.35, 0.33]), CalibrationBasis.RELATIVE: np.array([0.40, 0.40, 0.45])}
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

    delta_e_2000: the same as ΔE00. told: whether it is more than the photographs' own noise. least_lightness: the
    smallest ΔL* that would have been. reason: why there is none.
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
        name = region_in_words(self.region)
        if self.delta_lab is None or self.delta_e_interval_90 is None:
            return f"{name}: {self.reason}"
        return f"{name}: {self._told(*self.delta_e_interval_90)}"

    def _told(self, low: float, high: float) -> str:
        if not self.told:
            least = local_number(self.least_lightness or 0.0, 1)
            return _("cannot tell; anything below ΔL* {least} would be lost in the noise", least=least)
        return _(
            "a difference of ΔE00 {size} ({low} to {high})",
            size=local_number(self.delta_e_2000 or 0.0, 1),
            low=local_number(low, 1),
            high=local_number(high, 1),
        )

    @property
    def written(self) -> WrittenChange:
        """The same as it is written."""
        delta = interval = ends = None
        if self.delta_lab is not None and self.half_width_90 is not None:
            delta, interval = written_lab(self.delta_lab), written_within(self.delta_lab, self.half_width_90)
        if self.delta_e_interval_90 is not None:
            low, high = (round(end, 3) for end in self.delta_e_interval_90)
            ends = low, high
        size = None if self.delta_e_2000 is None else round(self.delta_e_2000, 3)
        return WrittenChange(delta, interval, size, ends, self.told, self.text)


@dataclass(frozen=True, slots=True)
class RegionFit:
    """One region: Lab under A and under B at mid-time (3,), sum of squared residuals (3,), its freedom and leverage.

    leverage: variance of the difference, in units of the residual variance.
    """

    lab_a: FloatArray
    lab_b: FloatArray
    residual: FloatArray
    freedom: int
    leverage: float

    @classmethod
    def of(cls, labs: FloatArray, times: FloatArray, letters: str) -> "RegionFit":
        """Return the fit of Lab (n, 3) at times (n,), by least squares: a line over time and a step from A to B."""
        drape = np.where([letter == "B" for letter in letters], 0.5, -0.5)
        design = np.column_stack([np.ones(len(labs)), times - times.mean(), drape])
        weights = np.linalg.lstsq(design, labs, rcond=None)[0]
        residual = ((labs - design @ weights) ** 2).sum(axis=0)
        leverage = float(np.linalg.inv(design.T @ design)[2, 2])
        return cls(weights[0] - weights[2] / 2, weights[0] + weights[2] / 2, residual, len(labs) - 3, leverage)


def series_differences(
    frames: Sequence[FrameOfSeries], times: FloatArray, ratio: FloatArray, correction: Correction
) -> tuple[SeriesDifference, ...]:
    """Return the difference of every region.

    times: (n,), the frames' places in the series. ratio: (n, 3), by what each frame's linear light is multiplied.
    """
    fits = {}
    for region in READ:
        seen = [i for i, frame in enumerate(frames) if frame.regions[region].reason is None]
        letters = "".join(frames[i].letter for i in seen)
        if min(letters.count("A"), letters.count("B")) >= MIN_OF_EACH:
            labs = np.stack([_lab(frames[i].regions[region].code, ratio[i], correction) for i in seen])
            fits[region] = RegionFit.of(labs, times[seen], letters)
    usual = _usual_variance(fits)
    return tuple(
        _difference(region, fits[region], usual * _RESTLESS.get(region, _CALM) ** 2, correction.basis)
        if region in fits
        else _none(region, frames)
        for region in READ
    )


@dataclass(frozen=True, eq=False)
class SeriesReadings:
    """What every frame reads of a face, for whoever measures a room by it.

    xyz: by region, shape (n, 3) for n frames under D65/2°, Y = 1 for a perfect white, NaN where a frame or a region is
    not read. lightness_floor: units of L* that the frames may be off by without showing it. relative_error_90: of a
    difference in lightness, as a share of it, above 0. drape: Y (n,) below the chin, NaN where it is not read.
    """

    xyz: Mapping[Region, FloatArray]
    lightness_floor: float
    relative_error_90: float
    drape: FloatArray

    @property
    def written(self) -> WrittenFrameReadings:
        """The same as it is written, with six decimals, None where a frame is not read."""
        rows = {
            str(region): tuple(None if np.isnan(v).any() else tuple(np.round(v, 6).tolist()) for v in xyz)
            for region, xyz in self.xyz.items()
        }
        drape = tuple(None if np.isnan(light) else round(float(light), 4) for light in self.drape)
        return WrittenFrameReadings(rows, self.lightness_floor, self.relative_error_90, drape)


def series_readings(
    frames: Sequence[FrameOfSeries], used: Sequence[int], ratio: FloatArray, correction: Correction
) -> SeriesReadings:
    """Return what n frames read of each region, shape (n, 3); `ratio` (m, 3) multiplies the light of the m used."""
    xyz = {region: np.full((len(frames), 3), np.nan) for region in READ}
    drape = np.full(len(frames), np.nan)
    for i, gain in zip(used, ratio, strict=True):
        below = frames[i].drape
        if below is not None:
            drape[i] = max(float(_xyz(below[None], gain, correction)[1]), 0.0)
        for region, read in frames[i].regions.items():
            if read.reason is None:
                xyz[region][i] = _xyz(read.code, gain, correction)
    return SeriesReadings(xyz, float(_FLOOR[0]), float(_SCALE[correction.basis][0]), drape)


def _usual_variance(fits: Mapping[Region, RegionFit]) -> FloatArray:
    """Return the residuals' variance (3,) that is usual in this series, by the median over regions."""
    found = [
        fit.residual / chi_square_point(0.5, fit.freedom) / _RESTLESS.get(region, _CALM) ** 2
        for region, fit in fits.items()
        if fit.freedom > 0
    ]
    return np.median(found, axis=0) if found else np.zeros(3)


def _lab(code: FloatArray, ratio: FloatArray, correction: Correction) -> FloatArray:
    return xyz_to_lab(_xyz(code, ratio, correction), D65_WHITE)


def _xyz(code: FloatArray, ratio: FloatArray, correction: Correction) -> FloatArray:
    linear = correction.tone.linear(code).mean(axis=0) * ratio
    return correction.for_skin.xyz(linear)


def _difference(region: Region, fit: RegionFit, usual: FloatArray, basis: CalibrationBasis) -> SeriesDifference:
    freedom = _PRIOR_FREEDOM + fit.freedom
    variance = (_PRIOR_FREEDOM * usual + fit.residual) / freedom
    error = np.sqrt(variance * fit.leverage + _FLOOR**2)
    delta = fit.lab_b - fit.lab_a
    half = np.hypot(stdtrit(freedom, 0.95) * error, _SCALE[basis] * np.abs(delta))
    least = stdtrit(freedom, (1 + _TOLD_AT) / 2) * error
    told = bool((np.abs(delta) > least).any())
    rng = np.random.default_rng(_SEED)
    drawn = fit.lab_b + half / stdtrit(freedom, 0.95) * rng.standard_t(freedom, size=(_DRAWS, 3))
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


def _none(region: Region, frames: Sequence[FrameOfSeries]) -> SeriesDifference:
    found = (frame.regions[region].reason for frame in frames if frame.regions[region].reason)
    why = _("not read, as {why}", why=next(found, None) or _("it cannot be read"))
    return SeriesDifference(region, None, None, None, None, False, None, why)
