"""What the pages of the studio's own room say of it: place by place, and where it differs from the default."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from tenter.consultation.cloths.reflection_factors import ShadedSide, default_factors
from tenter.consultation.reflected.room import (
    MeasuredRoom,
    RoomShare,
    factors_of_room,
    measure_room,
    measured_shares,
    room_photographs,
)
from tenter.errors import Refused
from tenter.language import all_of, local_number
from tenter.photo.cards import ChartKind
from tenter.report.pictures.face_colours import region_name
from tenter.report.words.wording import sentence
from tenter.web.models import PhotoSeries
from tenter.web.pictures.series_measuring import SeriesResult
from tenter.web.store.asked_surface import KnownCloths


@dataclass(frozen=True, slots=True)
class RoomPlace:
    """One place of the face: what was measured and its 90 % interval, and what is used, in percent; whose that is."""

    name: str
    measured: str
    interval: str
    used: str
    whose: str


def room_of_series(cloths: KnownCloths, row: PhotoSeries, result: SeriesResult) -> MeasuredRoom:
    """Return the room that a series of photographs shows.

    Raises
    ------
    Refused
        If the series has no card, its two drapes are too alike or mixed up, or its face cannot be read.
    TenterError
        If a drape's light is not known.
    """
    if row.chart != ChartKind.CLASSIC24:
        raise Refused(_("The series was measured without a card. Take it again with the 24-patch card beside the jaw."))
    first, other = cloths.surface(row.cloth_a), cloths.surface(row.cloth_b)
    return measure_room(room_photographs(result.document, _("The photographs")), first, other)


def room_page_content(document: Mapping[str, Any]) -> dict[str, Any]:
    """Return what a room's page shows of its document: every place, where it differs, and which side was shaded."""
    factors, shares = factors_of_room(document, _("the room")), measured_shares(document, _("the room"))
    places = [_place(name, factor.value, shares.get(name)) for name, factor in factors.items()]
    differs = [name for name, share in shares.items() if not share.kept_default]
    shaded = document.get("shaded_side")
    return {
        "places": places,
        "measured": bool(shares),
        "differs": [_difference(name, shares[name], factors[name].value, shaded) for name in differs],
        "differs_at": sentence(all_of([region_name(name) for name in differs])) if differs else "",
        "shaded": shaded if shaded in ("left", "right") else "",
        "drapes": all_of([str(name) for name in document.get("cloths", ())]),
    }


def _place(name: str, used: float, share: RoomShare | None) -> RoomPlace:
    if share is None:
        return RoomPlace(region_name(name), "", "", _percent(used), _("default"))
    whose = _("default") if share.kept_default else _("yours")
    interval = _("%(low)s to %(high)s") % {"low": _percent(share.low), "high": _percent(share.high)}
    return RoomPlace(region_name(name), _percent(share.estimate), interval, _percent(used), whose)


def _difference(name: str, share: RoomShare, used: float, shaded: object) -> str:
    """Return how one place differs from the default room, in words."""
    usual = default_factors(ShadedSide(str(shaded)))[name].value
    told = (
        _(
            "%(place)s: more light than by default, %(used)s %% in place of %(usual)s %% (90 %% interval %(low)s to "
            "%(high)s %%)."
        )
        if used > usual
        else _(
            "%(place)s: less light than by default, %(used)s %% in place of %(usual)s %% (90 %% interval %(low)s to "
            "%(high)s %%)."
        )
    )
    shares = {"used": used, "usual": usual, "low": share.low, "high": share.high}
    return told % {"place": sentence(region_name(name)), **{of: _percent(one) for of, one in shares.items()}}


def _percent(share: float) -> str:
    return local_number(100 * share, 1)
