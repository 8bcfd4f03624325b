"""A photograph of cloths measured, in the background: what is asked for, and what is written down of it."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np
from django.db.models import QuerySet
from django.utils.translation import gettext as _

from tenter.photo.cloth.measure import ClothMeasurement, measure_cloth
from tenter.photo.cloth.rack import RackMeasurement, measure_rack
from tenter.photo.files.loading import Photo, photo_from_bytes
from tenter.photo.patches.corners import from_top_left
from tenter.report.pictures.cloth_picture import cloth_picture
from tenter.report.pictures.shares import Outline
from tenter.web.models import ClothPhotograph, Picture, ThingPhotograph
from tenter.web.pictures import pictures, tries
from tenter.web.pictures.measuring import card_choice_of


@dataclass(frozen=True, slots=True)
class Where:
    """Where the cloths are: corners in pixels of the picture as it is drawn; none where they are to be looked for.

    evenly_lit: the consultant has looked at the card and says that nothing shades or covers it.
    """

    outline: Outline = ()
    evenly_lit: bool = False


@dataclass(frozen=True, slots=True)
class ClothResult:
    """What is kept of a measurement, all of it sealed.

    document: the public JSON. picture: a `ClothPicture` as plain values, for the page. where: with which it was
    measured.
    """

    document: Mapping[str, Any]
    picture: Mapping[str, Any]
    where: Where


def cloth_result_of(row: Picture) -> ClothResult | None:
    """Return what was measured, or None before that; raises `Tampered` or `Locked`."""
    said = tries.result_of(row)
    return None if said is None else ClothResult(said["document"], said["picture"], _where_from(said["where"]))


def where_of(row: Picture) -> Where:
    """Return where the consultant says that the cloths are; raises as `cloth_result_of`."""
    said = tries.corrections_of(row)
    return _where_from(said) if said else Where()


def _where_from(said: Mapping[str, Any]) -> Where:
    return Where(tuple((float(x), float(y)) for x, y in said["outline"]), said.get("evenly_lit", False))


def measure_cloths(pk: int, turn: int, kind: type[ClothPhotograph] | type[ThingPhotograph] = ClothPhotograph) -> None:
    """Measure a photograph of cloths: try number `turn`."""
    tries.measure_try(kind, pk, turn, _measured)


def _measured(row: ClothPhotograph | ThingPhotograph, mine: QuerySet[Any]) -> ClothResult:
    where = where_of(row)
    photo = photo_from_bytes(pictures.shown_picture(row.name), _("the picture"))
    tries.note_progress(mine, tries.OPENED)
    measured = _read(row, photo, where)
    tries.note_progress(mine, tries.MEASURED)
    return ClothResult(measured.to_json(), asdict(cloth_picture(measured, photo)), where)


def _read(row: ClothPhotograph | ThingPhotograph, photo: Photo, where: Where) -> RackMeasurement | ClothMeasurement:
    card, drawn = card_choice_of(row, evenly_lit=where.evenly_lit), None
    if where.outline:
        drawn = np.array(where.outline) * photo.reduction
    if isinstance(row, ThingPhotograph) or row.shows != ClothPhotograph.Shows.RACK:
        # A kit has to know its cloths well; a garment is answered with what its interval allows.
        strong = isinstance(row, ThingPhotograph)
        return measure_cloth(photo, card, drawn, row.shows == ClothPhotograph.Shows.PRINT, strong)
    corners = None if drawn is None else from_top_left(drawn)
    return measure_rack(photo, row.rows, row.columns, None, card, corners)
