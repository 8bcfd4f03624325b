"""A client's photographs against one of them that is chosen as the baseline: a flush, and each region."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.errors import TenterError
from tenter.language import all_of, local_signed
from tenter.measured.written_face import WrittenFace
from tenter.photo.together.baseline import BaselineChange, Flush, cheeks_of, flush_between
from tenter.photo.together.compare import RegionChange, region_changes
from tenter.report.pictures.face_colours import region_name
from tenter.report.words.wording import change_within
from tenter.web.models import Photograph
from tenter.web.papers.photo_together import compared_face
from tenter.web.pictures import measuring

_FEWEST = 2
_NONE = gettext_lazy("cannot tell")
_REDNESS = {
    BaselineChange.MORE: gettext_lazy("redder"),
    BaselineChange.LESS: gettext_lazy("less red"),
    BaselineChange.CANNOT_TELL: _NONE,
}
_LIGHTNESS = {
    BaselineChange.MORE: gettext_lazy("lighter"),
    BaselineChange.LESS: gettext_lazy("darker"),
    BaselineChange.CANNOT_TELL: _NONE,
}


@dataclass(frozen=True, slots=True)
class ChangeLine:
    """What has changed, by how much with its 90 % interval in words, and what may be said of it."""

    name: str
    values: tuple[str, ...]
    said: str


@dataclass(frozen=True, slots=True)
class Against:
    """One photograph against the baseline: by number, a flush, and the regions; `why` there is no flush."""

    number: int
    pk: int
    flush: tuple[ChangeLine, ...]
    regions: tuple[ChangeLine, ...]
    why: str = ""


def choices(rows: Sequence[Photograph]) -> list[Photograph]:
    """Return those of numbered photographs that may be a baseline, the first taken first; none where there is one."""
    found = [row for row in rows if compared_face(row) is not None]
    return found[::-1] if len(found) >= _FEWEST else []


def against(rows: Sequence[Photograph], baseline: Photograph) -> list[Against]:
    """Return what each of the others shows against the baseline, the first taken first."""
    return [_against(baseline, row) for row in rows if row.pk != baseline.pk]


def _against(baseline: Photograph, row: Photograph) -> Against:
    first, second = compared_face(baseline), compared_face(row)
    regions = tuple(map(_region, region_changes(first, second))) if first and second else ()
    try:
        flush = flush_between(*(cheeks_of(_face(photograph)) for photograph in (baseline, row)))
    except TenterError as error:
        return Against(row.number, row.pk, (), regions, str(error))
    return Against(row.number, row.pk, _flushed(flush), regions)


def _face(row: Photograph) -> WrittenFace | None:
    result = measuring.face_result_of(row)
    return result.face if result else None


def _flushed(flush: Flush) -> tuple[ChangeLine, ...]:
    redness, lightness = _within(flush.redness, *flush.redness_90), _within(flush.lightness, *flush.lightness_90)
    return (
        ChangeLine(_("Redness of the cheeks"), (redness,), str(_REDNESS[flush.redder])),
        ChangeLine(_("Lightness of the cheeks"), (lightness,), str(_LIGHTNESS[flush.lighter])),
    )


def _region(change: RegionChange) -> ChangeLine:
    ends = zip(change.delta_lab, change.half_width_90, strict=True)
    axes = [axis for axis, told in zip(("L*", "a*", "b*"), change.told, strict=True) if told]
    said = _("differs in %(axes)s") % {"axes": all_of(axes)} if axes else str(_NONE)
    values = tuple(change_within(d, h) for d, h in ends)
    return ChangeLine(region_name(change.region), values, said)


def _within(value: float, low: float, high: float) -> str:
    ends = {"value": local_signed(value), "low": local_signed(low), "high": local_signed(high)}
    return _("%(value)s (90\u00a0%%: %(low)s to %(high)s)") % ends
