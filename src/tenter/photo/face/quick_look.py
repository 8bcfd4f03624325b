"""A first look at a photograph, while whoever took it still stands there: card whole, face sharp, phone level.

It asks what `measure_face` asks first, and nothing of the colours: about a second, where the whole takes several. What
it passes may still be refused.
"""

from dataclasses import dataclass

import numpy as np

from tenter.language import N_, _, local_number
from tenter.photo.cards import CardChoice, CardSearch, look_for_card
from tenter.photo.face import gate
from tenter.photo.face_light.pose import Facing, card_facing, head_facing
from tenter.photo.face_light.same_light import NOTED_TILT, tilt_reasons
from tenter.photo.files.loading import Photo
from tenter.photo.regions.landmarks import FaceSearch, find_face

ASLANT = 20.0  # degrees by which face and card are both seen from the same side; set by judgement
_BLANK = 64  # pixels of a picture in which there is no face
_CAMERA = Facing(np.array([0.0, 0.0, -1.0]))  # a plane that faces the camera
_HELD_ASLANT = N_(
    "The phone is held aslant: face and card are seen from the side by {degrees}°. Hold it upright, at the height "
    "of the face, and straight before it."
)


@dataclass(frozen=True, slots=True)
class QuickLook:
    """What a first look says, each in a sentence or two. faults: the photograph will be refused. advice: it may not."""

    faults: tuple[str, ...] = ()
    advice: tuple[str, ...] = ()


def quick_look(photo: Photo, choice: CardChoice) -> QuickLook:
    """Return what a first look at a photograph says.

    Raises `UnreadableInput` if the values kept for the number of our own card cannot be read, and `MissingPart` if the
    part that finds faces is not installed.
    """
    card, search = look_for_card(photo, choice), find_face(photo.rgb)
    reasons = [*card.reasons, *gate.face_reasons(search)]
    if search.mesh_px is not None:
        reasons += gate.blur_reasons(photo.rgb, search.mesh_px)
    reasons += tilt_reasons(photo, card.calibration, search)
    faults = tuple(reason.text for reason in reasons if reason.refuses)
    advice = tuple(reason.text for reason in reasons if not reason.refuses)
    return QuickLook(faults, (*advice, *_aslant(photo, card, search)))


def get_ready() -> None:
    """Load what a first look needs, so that the first one takes no longer than the next.

    Raises `MissingPart` if the part that finds faces is not installed.
    """
    find_face(np.zeros((_BLANK, _BLANK, 3), dtype=np.uint8))


def _aslant(photo: Photo, card: CardSearch, search: FaceSearch) -> tuple[str, ...]:
    """Return what is said where face and card are turned from the camera alike, so that it is the camera's turn."""
    head = head_facing(search)
    if card.calibration is None or head is None:
        return ()
    reading, grid = card.calibration.reading, card.calibration.card.grid
    held = card_facing(photo, reading.centres_px, grid)
    degrees = min(held.degrees_from(_CAMERA), head.degrees_from(_CAMERA))
    if degrees <= ASLANT or held.degrees_from(head) > NOTED_TILT:
        return ()
    return (_(_HELD_ASLANT, degrees=local_number(degrees, 0)),)
