"""A camera from photographs of the classic card: each is judged as for a face, and the sound ones teach."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date

from tenter.errors import TenterError, UnreadableInput
from tenter.photo.card.calibration import Calibration
from tenter.photo.card.learned_camera import LearnedCamera, learn_camera, require_name
from tenter.photo.cards import CardChoice, look_for_card
from tenter.photo.files.loading import Photo
from tenter.photo.patches.reference import CardValues
from tenter.photo.reasons import Code, Reason, unreadable


@dataclass(frozen=True, slots=True)
class CameraLesson:
    """What photographs taught: a camera, or why none; and of each, in order, what it was left out for."""

    camera: LearnedCamera | None
    problem: str
    left_out: tuple[tuple[Reason, ...], ...]

    @property
    def nothing_readable(self) -> bool:
        """Whether there were photographs, and none of them could be read."""
        said = [reason.code for reasons in self.left_out for reason in reasons]
        return bool(said) and said == [Code.UNREADABLE] * len(self.left_out)


def lesson(
    name: str,
    photos: Iterable[Callable[[], Photo]],
    today: date,
    values: CardValues = CardValues.MEAN_OF_30,
) -> CameraLesson:
    """Return what photographs of the classic card by one phone teach; none of them needs a face.

    photos: each opens one photograph, and only one is open at a time; one that cannot be read is left out, with the
    reason. values: which published figures the card has. Raises `TenterError` where no camera can have the name.
    """
    require_name(name)
    looks = [_look(opened, values) for opened in photos]
    taught = [calibration for calibration, _reasons in looks if calibration is not None]
    left_out = tuple(reasons for _calibration, reasons in looks)
    try:
        return CameraLesson(learn_camera(name, taught, today), "", left_out)
    except TenterError as problem:
        return CameraLesson(None, str(problem), left_out)


def _look(opened: Callable[[], Photo], values: CardValues) -> tuple[Calibration | None, tuple[Reason, ...]]:
    """Return what one photograph may teach, or why it is left out."""
    try:
        photo = opened()
    except UnreadableInput as error:
        return None, (unreadable(error),)
    found = look_for_card(photo, CardChoice(values=values))
    refusing = tuple(reason for reason in found.reasons if reason.refuses)
    return (None if refusing else found.calibration), refusing
