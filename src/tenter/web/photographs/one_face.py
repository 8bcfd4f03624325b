"""Photographs of a client measured together: which may be, what they come to, and which sheets speak of them.

Nothing more is kept than of each of them alone: what they come to together follows from that each time it is asked
for, so that a photograph that is erased takes its part with it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from tenter.consultation.client.consent import Purpose
from tenter.errors import TenterError
from tenter.language import local_signed
from tenter.measured.written_face import WrittenFace
from tenter.photo.together.measure import FaceTogether, NotForTogether, OneOfSeveral, measure_together
from tenter.web.models import MeasuredFace, Photograph, Sitting
from tenter.web.papers.photo_together import compared_face
from tenter.web.pictures import measuring
from tenter.web.rules import consents

FEWEST_OF_ONE_FACE = 2


@dataclass(frozen=True, slots=True)
class PhotographsOffered:
    """Photographs to choose from, the first taken first; `chosen`: rows' numbers. outdated: to be measured again."""

    able: tuple[Photograph, ...]
    chosen: frozenset[int]
    outdated: tuple[Photograph, ...]

    @property
    def offered(self) -> bool:
        """Whether there are enough to be taken together."""
        return len(self.able) + len(self.outdated) >= FEWEST_OF_ONE_FACE


@dataclass(frozen=True, slots=True)
class Member:
    """One of the photographs in its row, and what its skin shows against that of all; none where it was left out."""

    row: Photograph
    used: bool
    shift: tuple[str, ...]
    odd: bool


def offer(rows: Sequence[Photograph]) -> PhotographsOffered:
    """Return which of numbered photographs may be measured together; chosen are those of the latest one's sitting."""
    seen = sorted((row for row in rows if compared_face(row) is not None), key=lambda row: (row.taken_at, row.pk))
    outdated = tuple(row for row in seen if _said(row) is None)
    able = tuple(row for row in seen if row not in outdated)
    chosen = [row for row in able if _goes_with(row, able[-1])]
    return PhotographsOffered(
        able, frozenset(row.pk for row in (chosen if len(chosen) >= FEWEST_OF_ONE_FACE else able)), outdated
    )


def come_to(rows: Sequence[Photograph]) -> FaceTogether:
    """Return what photographs that may be measured together come to."""
    said = [one for row in rows if (one := _said(row)) is not None]
    return measure_together(said)


def members(rows: Sequence[Photograph], found: FaceTogether) -> list[Member]:
    """Return each photograph with what it has to do with the result."""
    shifts = iter(() if found.agreement is None else found.agreement.shifts)
    odd = None if found.agreement is None or found.agreement.odd is None else found.rests_on[found.agreement.odd].file
    return [
        Member(row, used, _shift(next(shifts, None)) if used else (), row.name == odd)
        for row, used in zip(rows, found.used, strict=True)
    ]


def to_give(rows: Sequence[Photograph], found: FaceTogether, sitting: Sitting) -> WrittenFace:
    """Return the face that a sitting is given; raises `TenterError` where it may not be."""
    consents.require(sitting.client, Purpose.SHEET)
    if not all(consents.narrowed(row, Purpose.SHEET) for row in rows):
        raise TenterError(
            _(
                "the client has not agreed that the colours of all of these photographs appear on the sheet; leave out "
                "those without consent"
            )
        )
    if sitting.closed:
        raise TenterError(_("the sitting has ended; open it again to use a face in it"))
    return found.written()


def sheets_of(photographs: Sequence[Photograph], sittings: QuerySet[Sitting]) -> list[MeasuredFace]:
    """Return the faces given to some sittings that rest on all of these photographs, alone or with others."""
    given = MeasuredFace.objects.filter(sitting__in=sittings).select_related("sitting")
    names = {row.name for row in photographs}
    return [
        face for face in given if names <= WrittenFace.from_json(face.colours).files_used or _alone(face, photographs)
    ]


def _alone(face: MeasuredFace, photographs: Sequence[Photograph]) -> bool:
    return len(photographs) == 1 and face.photograph_id == photographs[0].pk


def _goes_with(row: Photograph, latest: Photograph) -> bool:
    if latest.sitting_id is not None:
        return bool(row.sitting_id == latest.sitting_id)
    return row.sitting_id is None and timezone.localdate(row.taken_at) == timezone.localdate(latest.taken_at)


def _said(row: Photograph) -> OneOfSeveral | None:
    """Return what a numbered photograph says; None where an earlier version of the program measured it."""
    result = measuring.face_result_of(row)
    if result is None:
        return None
    try:
        return OneOfSeveral.of(result.face, row.name, _("Photograph %(number)s") % {"number": row.number})
    except NotForTogether:
        return None


def _shift(shift: Sequence[float] | None) -> tuple[str, ...]:
    if shift is None:
        return ()
    return tuple(f"{axis} {local_signed(by)}" for axis, by in zip(("L*", "a*", "b*"), shift, strict=True))
