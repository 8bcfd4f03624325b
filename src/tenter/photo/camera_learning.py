"""A camera from photographs of the classic card: each is judged as for a face, and the sound ones teach."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from tenter.errors import TenterError
from tenter.photo.calibration import Calibration
from tenter.photo.card import CardChoice, look_for_card
from tenter.photo.gate import Reason
from tenter.photo.learned_camera import LearnedCamera, learn_camera, require_name
from tenter.photo.loading import Photo
from tenter.photo.reference import CardValues


@dataclass(frozen=True, slots=True)
class CameraLesson:
    """What photographs taught: a camera, or why none; and of each, in order, what it was left out for."""

    camera: LearnedCamera | None
    problem: str
    left_out: tuple[tuple[Reason, ...], ...]


def lesson(name: str, photos: Iterable[Photo], today: date, values: CardValues = CardValues.MEAN_OF_30) -> CameraLesson:
    """Return what photographs of the classic card by one phone teach; none of them needs a face.

    values: which published figures the card has. Raises `TenterError` where no camera can have the name.
    """
    require_name(name)
    taught: list[Calibration] = []
    left_out = []
    for photo in photos:
        found = look_for_card(photo, CardChoice(values=values))
        refusing = tuple(reason for reason in found.reasons if reason.refuses)
        left_out.append(refusing)
        if found.calibration is not None and not refusing:
            taught.append(found.calibration)
    try:
        return CameraLesson(learn_camera(name, taught, today), "", tuple(left_out))
    except TenterError as problem:
        return CameraLesson(None, str(problem), tuple(left_out))
