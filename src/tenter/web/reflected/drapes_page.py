"""Two drapes on a client's own photograph, as the model has it: made in memory, and never written anywhere."""

from collections.abc import Mapping
from dataclasses import dataclass

from django.utils.translation import gettext as _

from tenter import Face
from tenter.consultation.client.consent import Purpose
from tenter.consultation.cloths.reflection_factors import ReflectionFactor
from tenter.consultation.reflected.effect import ThrowingSurface
from tenter.consultation.reflected.on_face import FacePrediction, predict_on_face
from tenter.errors import Refused
from tenter.photo.files.loading import photo_from_bytes
from tenter.photo.together.portrait import portrait_parts
from tenter.report.handing_over.just_drawn import JustDrawn
from tenter.report.pictures.reflected_photo import marked_panel
from tenter.report.words.wording import sentence
from tenter.web.models import Photograph
from tenter.web.pictures import measuring, pictures
from tenter.web.rules import consents

# The pictures of the page that was opened last, for as long as a browser takes to ask for them.
_DRAWN: JustDrawn[tuple[bytes, ...]] = JustDrawn(most=2, seconds=60.0)


@dataclass(frozen=True, eq=False)
class TwoDrapes:
    """Two drapes beside one face: what each does to it, in the order asked for, and the second beside the first."""

    face: Face
    each: tuple[FacePrediction, FacePrediction]
    between: FacePrediction


def why_not_shown(row: Photograph) -> str:
    """Return why no drape can be shown on a photograph, in words; nothing where one can."""
    if row.waits:
        return _("The photograph is still being measured. Come back when it is done.")
    if row.past_its_day:
        return f"{sentence(str(pictures.PastItsDay()))}."
    if row.state != Photograph.State.DONE:
        return _("The photograph was not accepted, so its colours cannot be used. Take another one.")
    if row.chart not in measuring.WITH_PATCHES:
        return _("The photograph has no colour card to correct its colours by. Take another one beside a card.")
    if not consents.narrowed(row, Purpose.COMPARE):
        return _("The client did not agree to comparing this photograph. Choose another one.")
    return ""


def two_drapes(
    row: Photograph, drapes: tuple[ThrowingSurface, ThrowingSurface], room: Mapping[str, ReflectionFactor] | None
) -> TwoDrapes:
    """Return what two drapes do to the face of a photograph.

    Raises `TenterError` for a photograph that cannot be opened, and `Refused` for one without a colour where light is
    predicted.
    """
    result = measuring.face_result_of(row)
    if result is None:
        raise Refused(_("The photograph was not measured. Have it measured again."))
    face = Face.of_written(result.face, _("this photograph"))
    first, second = (predict_on_face(face, drape, room=room) for drape in drapes)
    between = predict_on_face(face, drapes[1], against=drapes[0], room=room)
    return TwoDrapes(face, (first, second), between)


def drawn_drapes(row: Photograph, shown: TwoDrapes) -> tuple[bytes, ...]:
    """Return the photograph beside each drape as PNG, marked as a model; those of the last page are at hand.

    Raises `TenterError` for a photograph that cannot be opened, and `Refused` for one with too little cloth.
    """
    factors = [[f.value, f.low, f.high] for f in (effect.factor for effect in shown.between.effects.values())]
    drapes = [[found.surface.name, *map(float, found.surface.reflectance)] for found in shown.each]
    return _DRAWN.of([row.name, row.turn, drapes, factors], lambda: _draw(row, shown))


def _draw(row: Photograph, shown: TwoDrapes) -> tuple[bytes, ...]:
    photo = photo_from_bytes(pictures.opened_picture(row), _("the picture"))
    request = measuring.request_of(measuring.face_corrections_of(row), photo.reduction)
    parts = portrait_parts(photo, measuring.face_card_of(row), request)
    return tuple(marked_panel(parts, shown.face, found) for found in shown.each)
