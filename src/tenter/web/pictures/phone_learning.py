"""A phone learned in the background, from photographs of the card: what they taught, and when it serves.

The photographs are kept, sealed, until they have been looked at, and no longer. A phone that is learned takes the place
of an earlier one by its name; one that is not leaves it as it was.
"""

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from typing import Any

from django.contrib.auth.models import User
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from tenter.errors import TenterError, UnreadableInput
from tenter.kept_words import without_marks
from tenter.photo.card.learned_camera import LearnedCamera
from tenter.photo.files.loading import Photo, photo_from_bytes
from tenter.photo.patches.reference import CardValues
from tenter.photo.phones.kept import camera_json, camera_of
from tenter.photo.phones.learning import lesson
from tenter.web.models import LearnedPhone, PhonePhotograph
from tenter.web.pictures import pictures, tries


@dataclass(frozen=True, slots=True)
class PhoneResult:
    """What is kept of a try, sealed: whether the phone was learned, and what spoke against it."""

    document: Mapping[str, Any]


def phone_result_of(row: LearnedPhone) -> PhoneResult | None:
    """Return what came of a try, or None before that; raises `Tampered` or `Locked`."""
    said = tries.result_of(row)
    return None if said is None else PhoneResult(said["document"])


def learned(row: LearnedPhone) -> LearnedCamera:
    """Return what was learned of a phone; raises `UnreadableInput` where that is no phone's."""
    return camera_of(row.camera, _("phone %(phone)s") % {"phone": row.phone})


def by_name(owner: User) -> dict[str, LearnedCamera]:
    """Return the phones of a studio that were learned, by name; of two by one name the later."""
    found = {}
    for row in LearnedPhone.objects.filter(owner=owner, state=LearnedPhone.State.DONE).order_by("phone", "pk"):
        with suppress(UnreadableInput):  # its page says so
            found[row.phone] = learned(row)
    return found


def learn_phone(pk: int, turn: int) -> None:
    """Learn a phone: try number `turn`."""
    try:
        tries.measure_try(LearnedPhone, pk, turn, _learned)
    finally:
        _tidy(pk)


def _learned(row: LearnedPhone, mine: QuerySet[LearnedPhone]) -> PhoneResult:
    photographs = list(row.photographs.filter(problem=""))
    opened = [partial(_opened, photograph, mine, k / len(photographs)) for k, photograph in enumerate(photographs)]
    found = lesson(row.phone, opened, timezone.localdate(), CardValues(row.card))
    for photograph, reasons in zip(photographs, found.left_out, strict=True):
        photograph.problem = without_marks(" ".join(reason.text for reason in reasons))
        photograph.save()
    if found.camera is not None:
        mine.update(camera=camera_json(found.camera))
    return PhoneResult({"accepted": found.camera is not None, "problem": found.problem})


def _opened(photograph: PhonePhotograph, mine: QuerySet[LearnedPhone], done: float) -> Photo:
    tries.note_progress(mine, round(done * tries.MEASURED))
    try:
        content = pictures.shown_picture(photograph.name)
    except pictures.MissingPicture:
        raise TenterError(_("its photographs are no longer here; send them again")) from None
    return photo_from_bytes(content, photograph.file)


def _tidy(pk: int) -> None:
    """Let go of the photographs of a phone that waits no more, and of what it takes the place of."""
    row = LearnedPhone.objects.filter(pk=pk).first()
    if row is None or row.waits:
        return
    for photograph in row.photographs.all():
        pictures.remove_picture(photograph.name)
    if row.state == LearnedPhone.State.DONE:
        LearnedPhone.objects.filter(owner=row.owner, phone=row.phone, pk__lt=pk).delete()
