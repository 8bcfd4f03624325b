"""A-B-A-B photographs of two drapes: what changes in the face, region by region, and whether that can be told at all.

Every frame is cut by its own mesh. A card in the pictures takes the camera's small changes out; what drifts over time
is a line that the order of the drapes tells from the drapes (`fit.py`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from tenter.colorimetry.measurement import D65_2
from tenter.errors import TenterError
from tenter.language import _, all_of, as_typed
from tenter.measured.basis import CalibrationBasis
from tenter.measured.written_series import WrittenSeries
from tenter.numerals import whole_percent
from tenter.photo.cards import ChartKind, look_for_card
from tenter.photo.files.loading import Photo, load_photo
from tenter.photo.patches.correction import TRUE_SRGB, Correction
from tenter.photo.series.fit import (
    MIN_OF_EACH,
    SeriesDifference,
    SeriesReadings,
    series_differences,
    series_readings,
)
from tenter.photo.series.frames import FrameOfSeries, Steadiness, gains, read_frame, settled_cards, with_regions

CHARTS = (ChartKind.CLASSIC24, ChartKind.NONE)
_MOST_CONFOUNDED = 0.8  # correlation of drape and time from which drift cannot be told from the drape: AABB has 0.89


@dataclass(frozen=True, slots=True)
class Series:
    """A whole series: its frames, what was wrong with it, and the differences; none where it is refused.

    readings: what each frame reads of the face, or None where the series is refused.
    """

    pattern: str
    frames: tuple[FrameOfSeries, ...]
    refusals: tuple[str, ...]
    notes: tuple[str, ...]
    basis: CalibrationBasis
    steadiness: Steadiness | None
    differences: tuple[SeriesDifference, ...]
    readings: SeriesReadings | None = None

    @property
    def accepted(self) -> bool:
        """Whether nothing refuses the series."""
        return not self.refusals

    def written(self) -> WrittenSeries:
        """Return what is said of the series."""
        steady = self.steadiness
        return WrittenSeries(
            refusals=self.refusals,
            notes=self.notes,
            pattern=self.pattern,
            basis=self.basis,
            conditions=D65_2,
            frames=tuple(frame.written for frame in self.frames),
            exposure_change=None if steady is None else round(steady.exposure, 4),
            white_balance_change=None if steady is None else round(steady.balance, 4),
            regions={str(difference.region): difference.written for difference in self.differences},
            for_room=None if self.readings is None else self.readings.written,
        )

    def to_json(self) -> dict[str, Any]:
        """Return the object that `tenter face series --json` prints."""
        return self.written().to_json()


def measure_series(paths: Sequence[Path], pattern: str, chart: ChartKind = ChartKind.CLASSIC24) -> Series:
    """Return what a series of photographs shows; `pattern` names the drape of each, as in "ABAB".

    Raises
    ------
    TenterError
        If the pattern does not fit the photographs, or one of them came twice.
    UnreadableInput
        If a file cannot be read.
    MissingPart
        If the part that finds faces is not installed.
    """
    require_pattern(pattern, len(paths), chart)
    _require_each_once(paths)
    return series_of([load_photo(path) for path in paths], [path.name for path in paths], pattern, chart)


def _require_each_once(paths: Sequence[Path]) -> None:
    """Raise `TenterError` where two files are one photograph, whose difference would be nothing, and no measurement."""
    seen: dict[bytes, Path] = {}
    for path in paths:
        content = path.read_bytes() if path.is_file() else b""  # what is no file is said where it is opened
        if content and content in seen:
            raise TenterError(
                _(
                    "{first} and {second} are the same photograph; give each photograph once",
                    first=seen[content],
                    second=path,
                )
            )
        seen[content] = path


def require_pattern(pattern: str, count: int, chart: ChartKind) -> None:
    """Raise `TenterError` for a pattern, number of photographs or chart that no series can be made of."""
    if chart not in CHARTS:
        raise TenterError(
            _("a series with chart {chart} is not supported; use classic24 or none", chart=as_typed(chart.value))
        )
    if set(pattern) - {"A", "B"}:
        raise TenterError(
            _("the pattern {pattern} came; it is written with A and B alone, as in ABAB", pattern=as_typed(pattern))
        )
    if len(pattern) != count:
        raise TenterError(
            _(
                "the pattern {pattern} has {count} letters for {photographs} photographs; give one letter for each, "
                "in the order they were taken",
                pattern=as_typed(pattern),
                count=len(pattern),
                photographs=count,
            )
        )
    if min(pattern.count("A"), pattern.count("B")) < MIN_OF_EACH:
        raise TenterError(
            _(
                "the pattern {pattern} came; at least two photographs of each drape are needed: ABAB",
                pattern=as_typed(pattern),
            )
        )
    if _confounded(pattern, range(count)) > _MOST_CONFOUNDED:
        raise TenterError(
            _(
                "the pattern {pattern} shows one drape first and the other after it, so that a change of the "
                "light would look like the cloth. Photograph them in turn: ABAB or ABBA",
                pattern=as_typed(pattern),
            )
        )


def series_of(photos: Sequence[Photo], names: Sequence[str], pattern: str, chart: ChartKind) -> Series:
    """Return what photographs that are already read show; otherwise as `measure_series`, also in what it raises."""
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
    basis = correction.basis if correction else CalibrationBasis.RELATIVE
    differences: tuple[SeriesDifference, ...] = ()
    readings = None
    if not refusals and correction is not None:
        applied = ratio if with_card and ratio is not None else np.ones((len(used), 3))
        differences = series_differences([frames[i] for i in used], np.array(used, dtype=float), applied, correction)
        readings = series_readings(frames, used, applied, correction)
    return Series(pattern, tuple(frames), tuple(refusals), tuple(notes), basis, steadiness, differences, readings)


def _correction(
    photos: Sequence[Photo], frames: Sequence[FrameOfSeries], chart: ChartKind
) -> tuple[Correction | None, list[str]]:
    """Return the correction that the first usable frame supports: one for all, as the camera is one."""
    if chart is ChartKind.NONE:
        return TRUE_SRGB, []
    told = [_("No frame of the series can be read.")]
    for photo, frame in zip(photos, frames, strict=True):
        if frame.why is None:
            card = look_for_card(photo, chart)
            wrong = [reason.text for reason in card.reasons if reason.refuses]
            if card.correction is not None and not wrong:
                return card.correction, []
            told = wrong or told
    return None, told[:1]


def _too_few(used: Sequence[FrameOfSeries], places: Sequence[int]) -> list[str]:
    letters = "".join(frame.letter for frame in used)
    short = [letter for letter in "AB" if letters.count(letter) < MIN_OF_EACH]
    if short:
        found = [_("{count} of drape {letter}", count=letters.count(letter), letter=letter) for letter in short]
        few = _(
            "Only {found} can be used, and two of each are needed. Take the series again from a stand, or take six "
            "photographs, ABABAB, so that one may fail.",
            found=all_of(found),
        )
        return [few]
    if _confounded(letters, places) > _MOST_CONFOUNDED:
        confounded = _(
            "In what is left of the series one drape comes first and the other after it, so that a change of the light "
            "would look like the cloth. Take it again, in turn: ABABAB."
        )
        return [confounded]
    return []


def _confounded(letters: str, places: Sequence[int]) -> float:
    """Return the correlation of drape and time, without sign."""
    if len(set(letters)) < 2:
        return 1.0
    return abs(float(np.corrcoef([letter == "B" for letter in letters], list(places))[0, 1]))


def _lock(steadiness: Steadiness | None, with_card: bool) -> tuple[list[str], list[str]]:
    """Return refusals and notes about settings that moved between the frames."""
    if steadiness is None:
        return [], [_unchecked(with_card)]
    moved = _(
        "between {one} and {other} the exposure changed by {exposure}, and over the series the white balance by "
        "{balance}",
        one=steadiness.frames[0],
        other=steadiness.frames[1],
        exposure=whole_percent(steadiness.exposure),
        balance=whole_percent(steadiness.balance),
    )
    if steadiness.loose if with_card else steadiness.unsteady_background:
        return [_loose(with_card, moved)], []
    if with_card and steadiness.unsteady:
        little = _(
            "The card changes a little: {moved}. The card takes it out; lock both settings all the same.", moved=moved
        )
        return [], [little]
    return [], []


def _unchecked(with_card: bool) -> str:
    if with_card:
        return _("Too little of the card can be compared between the frames to check that the settings were locked.")
    return _(
        "Too little of the background beside the head can be compared between the frames to check that the settings "
        "were locked."
    )


def _loose(with_card: bool, moved: str) -> str:
    changes = (
        _("The card changes: {moved}.", moved=moved)
        if with_card
        else _("The background changes: {moved}.", moved=moved)
    )
    lock = _(
        "The camera's exposure and white balance were not locked, or the light changed. Lock both, close the blinds on "
        "a changing sky, and take the series again."
    )
    return f"{changes} {lock}"
