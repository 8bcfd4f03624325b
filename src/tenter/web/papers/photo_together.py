"""A client's photographs beside one another: whether they agree, and what that means for a reading by them alone."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from tenter import language
from tenter.consultation.client.consent import Purpose
from tenter.errors import TenterError
from tenter.photo.advice import HOLD_THE_CARD
from tenter.photo.together.compare import ComparedFace, Comparison, compare_faces
from tenter.web.models import Photograph
from tenter.web.pictures import measuring
from tenter.web.rules import consents

_FEWEST = 2
_OPEN = gettext_noop(
    "As long as they disagree, a reading by these photographs alone stays open between neighbours. Come to the studio, "
    "or repeat them by a window: face it, with no lamp on and no filter."
)
_LEANING = gettext_noop("A reading by photographs alone is at most leaning. Cloth in the studio's light decides.")


@dataclass(frozen=True, slots=True)
class PhotographsTogether:
    """What photographs come to together, in words. members: the rows' numbers."""

    agree: bool
    title: str
    lines: tuple[str, ...]
    details: tuple[str, ...]
    members: frozenset[int]


def numbered(rows: Iterable[Photograph]) -> list[Photograph]:
    """Return photographs as given, each with its number among them: the oldest is the first."""
    found = list(rows)
    for number, row in enumerate(sorted(found, key=lambda row: (row.taken_at, row.pk)), start=1):
        row.number = number
    return found


def photographs_together(rows: Iterable[Photograph]) -> PhotographsTogether | None:
    """Return what those photographs come to together that may be laid side by side; None for fewer than two."""
    faces = {row.pk: face for row in numbered(rows) if (face := compared_face(row)) is not None}
    if len(faces) < _FEWEST:
        return None
    in_order = sorted(faces, key=lambda pk: faces[pk].name)
    return _told(compare_faces([faces[pk] for pk in in_order]), frozenset(faces))


def with_others(row: Photograph, seen: QuerySet[Photograph]) -> PhotographsTogether | None:
    """Return the same for one photograph and the others of its client that a user may see, if it is among them."""
    found = photographs_together(seen.filter(client=row.client_id))
    return found if found is not None and row.pk in found.members else None


def compared_face(row: Photograph) -> ComparedFace | None:
    """Return the colours of a numbered photograph; None where it has none, or may not be laid beside others."""
    if row.state != Photograph.State.DONE or not consents.may_use(row, Purpose.COMPARE):
        return None
    try:
        result = measuring.face_result_of(row)
        found = (
            ComparedFace.of_written(result.face, _("photograph %(number)s") % {"number": row.number})
            if result
            else None
        )
    except TenterError:
        return None  # its own page says why
    return found if found is not None and found.regions else None


def _told(compared: Comparison, members: frozenset[int]) -> PhotographsTogether:
    agree, disagree = _("The photographs agree"), _("The photographs disagree: open between neighbours")
    title = f"✓ {agree}" if compared.agree else f"▲ {disagree}"
    means = _(_LEANING) if compared.agree else f"{_(_OPEN)} {language._(HOLD_THE_CARD)}."
    details = tuple(found.text for found in compared.disagreements)
    return PhotographsTogether(compared.agree, title, (compared.text, means), details, members)
