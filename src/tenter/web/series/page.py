"""What the page of two cloths in turn says of a series that was measured."""

from dataclasses import dataclass
from typing import Any

from tenter.language import in_a_row
from tenter.measured.basis import CalibrationBasis
from tenter.measured.written_series import WrittenChange, WrittenSeries
from tenter.report.pictures.face_colours import region_name
from tenter.report.words.wording import change_within
from tenter.web.models import Photograph, PhotoSeries


@dataclass(frozen=True, slots=True)
class RegionTold:
    """What B does to a region against A, in words: by how much, or why it cannot be told."""

    name: str
    said: str
    values: tuple[str, ...]
    told: bool


@dataclass(frozen=True, slots=True)
class FrameTold:
    """One photograph of a series: its row, its cloth, and why it was left out, if it was."""

    row: Photograph
    letter: str
    cloth: str
    left_out: str


def series_page_content(row: PhotoSeries, series: WrittenSeries) -> dict[str, Any]:
    """Return what a measured series' page shows."""
    regions = [_region(name, change) for name, change in series.regions.items()]
    return {
        "regions": regions,
        "told": in_a_row([region.name for region in regions if region.told]),
        "refusals": series.refusals,
        "notes": series.notes,
        "with_card": series.basis is CalibrationBasis.CHART,
        "frames": frames(row, series),
    }


def frames(row: PhotoSeries, series: WrittenSeries | None = None) -> list[FrameTold]:
    """Return the photographs of a series in their order."""
    cloths = {"A": row.cloth_a, "B": row.cloth_b}
    told = [frame.reason or "" for frame in series.frames] if series else [""] * len(row.pattern)
    rows = [frame.photograph for frame in row.frames.select_related("photograph__sitting")]
    return [
        FrameTold(photograph, letter, cloths[letter], left_out)
        for photograph, letter, left_out in zip(rows, row.pattern, told, strict=True)
    ]


def _region(name: str, change: WrittenChange) -> RegionTold:
    values: tuple[str, ...] = ()
    if change.delta_lab is not None and change.interval_90 is not None:
        spread = zip(change.delta_lab, change.interval_90, strict=True)
        values = tuple(change_within(delta, (high - low) / 2) for delta, (low, high) in spread)
    return RegionTold(region_name(name), change.said, values, change.can_tell)
