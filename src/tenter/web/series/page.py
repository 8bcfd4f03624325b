"""What the page of two cloths in turn says of a series that was measured."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tenter.numerals import signed
from tenter.report.pictures.face_colours import region_name
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


def series_page_content(row: PhotoSeries, document: Mapping[str, Any]) -> dict[str, Any]:
    """Return what a measured series' page shows."""
    regions = [_region(name, found) for name, found in document["regions"].items()]
    return {
        "regions": regions,
        "told": [region.name for region in regions if region.told],
        "refusals": document["refusals"],
        "notes": document["notes"],
        "with_card": document["basis"] == "chart",
        "frames": frames(row, document),
    }


def frames(row: PhotoSeries, document: Mapping[str, Any] | None = None) -> list[FrameTold]:
    """Return the photographs of a series in their order."""
    cloths = {"A": row.cloth_a, "B": row.cloth_b}
    told = document["frames"] if document else [{"reason": ""}] * len(row.pattern)
    rows = [frame.photograph for frame in row.frames.select_related("photograph__sitting")]
    return [
        FrameTold(photograph, letter, cloths[letter], found["reason"] or "")
        for photograph, letter, found in zip(rows, row.pattern, told, strict=True)
    ]


def _region(name: str, found: Mapping[str, Any]) -> RegionTold:
    words = found["text"].split(": ", 1)[1]
    values: tuple[str, ...] = ()
    if found["delta_lab"] is not None:
        spread = zip(found["delta_lab"], found["interval_90"], strict=True)
        values = tuple(f"{signed(delta)} ±\u00a0{(high - low) / 2:.1f}" for delta, (low, high) in spread)
    return RegionTold(region_name(name), words, values, found["can_tell"])
