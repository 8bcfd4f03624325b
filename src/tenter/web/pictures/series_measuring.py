"""A series of a client's photographs measured, in the background: what one cloth does to the face beside another."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from tenter.errors import TenterError
from tenter.measured.written_series import WrittenSeries
from tenter.photo.cards import ChartKind
from tenter.photo.files.loading import Photo, photo_from_bytes
from tenter.photo.series.measure import series_of
from tenter.web.models import PhotoSeries
from tenter.web.pictures import pictures, tries


@dataclass(frozen=True, slots=True)
class SeriesResult:
    """What is kept of a series, sealed: the public JSON, which `series` reads."""

    document: Mapping[str, Any]

    @property
    def series(self) -> WrittenSeries:
        """What was measured."""
        return WrittenSeries.from_json(self.document)


def series_result_of(row: PhotoSeries) -> SeriesResult | None:
    """Return what was measured, or None before that; raises `Tampered` or `Locked`."""
    said = tries.result_of(row)
    return None if said is None else SeriesResult(said["document"])


def frame_name(place: int, letter: str) -> str:
    """Return what a photograph of a series is called: its place, from 0, and its cloth."""
    return _("photograph %(number)s (%(letter)s)") % {"number": place + 1, "letter": letter}


def measure_series_row(pk: int, turn: int) -> None:
    """Measure a series: try number `turn`."""
    tries.measure_try(PhotoSeries, pk, turn, _measured)


def _measured(row: PhotoSeries, mine: QuerySet[PhotoSeries]) -> SeriesResult:
    photos: list[Photo] = []
    frames = list(row.frames.select_related("photograph"))
    seen: dict[bytes, int] = {}  # and in which place
    for frame in frames:
        content = pictures.shown_picture(frame.photograph.name)
        if content in seen:  # their difference would be nothing, and no measurement
            said = _(
                "photographs %(one)s and %(other)s are the same one; take the series again, and choose each photograph "
                "once"
            )
            raise TenterError(said % {"one": seen[content] + 1, "other": frame.place + 1})
        seen[content] = frame.place
        photos.append(photo_from_bytes(content, _("photograph %(number)s") % {"number": frame.place + 1}))
        tries.note_progress(mine, tries.OPENED + len(photos) * (tries.MEASURED - tries.OPENED) // (2 * len(frames)))
    names = [frame_name(place, letter) for place, letter in enumerate(row.pattern)]
    found = series_of(photos, names, row.pattern, ChartKind(row.chart))
    tries.note_progress(mine, tries.MEASURED)
    return SeriesResult(found.to_json())
