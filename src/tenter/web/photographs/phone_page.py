"""What pages say of a phone: what was learned of it, which photographs taught it, and whether one was read by it."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from tenter.errors import UnreadableInput
from tenter.measured.written_face import WrittenFace
from tenter.photo.card.finding import ChartFinding
from tenter.photo.card.learned_camera import LearnedCamera
from tenter.photo.cards import ChartKind
from tenter.photo.reasons import Code
from tenter.report.words.tone_words import tone_words
from tenter.web.models import LearnedPhone, Photograph
from tenter.web.pictures import phone_learning


@dataclass(frozen=True, slots=True)
class PhoneTold:
    """A phone on a page: its row, what was learned if anything was, in words, and what was left out and why."""

    row: LearnedPhone
    camera: LearnedCamera | None
    words: str
    left_out: tuple[tuple[str, str], ...]
    problem: str


def told_phone(row: LearnedPhone) -> PhoneTold:
    """Return what a page says of a phone."""
    left_out = tuple(row.photographs.exclude(problem="").values_list("file", "problem"))
    camera, problem = None, ""
    if row.state == LearnedPhone.State.DONE:
        try:
            camera = phone_learning.learned(row)
        except UnreadableInput as error:
            problem = str(error)
    return PhoneTold(row, camera, tone_words(camera.tone) if camera else "", left_out, problem)


def offered_phones(row: Photograph) -> list[str]:
    """Return the names of the phones that a client's photograph may be read by."""
    return sorted(phone_learning.by_name(row.client.owner)) if row.chart == ChartKind.CLASSIC24 else []


def read_by(row: Photograph, face: WrittenFace) -> str:
    """Return by which phone a measured photograph was read, in words; nothing where no phone was named."""
    if not row.phone:
        return ""
    if ChartFinding.method_in(face.chart).endswith(f"read as camera {row.phone}"):
        said = _("Measured with what was learned about the phone %(phone)s.")
    elif Code.CAMERA_CHANGED in face.codes:
        said = _("Measured without what was learned about the phone %(phone)s.")
    elif face.accepted:
        said = _("The phone %(phone)s was not known when this was measured, so nothing learned about it was used.")
    else:
        return ""
    return said % {"phone": row.phone}
