"""The measured face that a sitting's sheet speaks of: given by hand, and taken out by hand."""

import json
from datetime import datetime

from django.contrib.auth.models import User
from django.utils import timezone
from django.utils.translation import gettext as _

from tenter.consultation.client.consent import Purpose
from tenter.consultation.client.face import Face
from tenter.measured.written_face import WrittenFace
from tenter.web.models import MeasuredFace, Photograph, Sitting
from tenter.web.rules import consents


def given_face_text(row: Sitting) -> str:
    """Return the colours that were given to a sitting, as one text that names them.

    It is `null` for none, and where the client does not agree any more that papers speak of them.
    """
    given = MeasuredFace.objects.filter(sitting=row).values_list("colours", flat=True).first()
    return json.dumps(given if given and consents.may(row.client, Purpose.SHEET) else None, sort_keys=True)


def face_in(text: str) -> Face | None:
    """Return the face of such a text."""
    document = json.loads(text)
    return Face.from_json(document) if document else None


def given_face_of(row: Sitting, by: datetime | None = None) -> Face | None:
    """Return the face that was given to a sitting, or None; `by`: None too for one that was given later."""
    return None if by is not None and given_since(row, by) else face_in(given_face_text(row))


def given_since(row: Sitting, at: datetime) -> bool:
    """Whether a face was given to a sitting since then, so that papers of then were without it."""
    return MeasuredFace.objects.filter(sitting=row, given_at__gt=at).exists()


def give_face(row: Sitting, photograph: Photograph | None, face: WrittenFace, user: User) -> MeasuredFace:
    """Let a sitting's sheet speak of a measured face: of its colours alone, which lend no prior.

    photograph: the one that was measured; None for several, whose names are kept beside the colours.

    Raises `UnreadableInput` for a photograph that gave no absolute colours.
    """
    Face.of_written(face, _("this photograph"))
    colours = face.colours_alone.to_json()
    said = {"photograph": photograph, "by": user, "colours": colours, "given_at": timezone.now()}
    return MeasuredFace.objects.update_or_create(sitting=row, defaults=said)[0]


def take_out(row: Sitting) -> bool:
    """Take a sitting's face out again; return whether there was one."""
    return bool(MeasuredFace.objects.filter(sitting=row).delete()[0])
