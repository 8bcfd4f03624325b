"""Why a photograph is refused, or what it is accepted with; each reason says how to take the picture again."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from tenter.errors import UnreadableInput
from tenter.language import _, as_typed, long_date
from tenter.measured.face_parts import WrittenReason
from tenter.measured.written_face import WrittenFace


class Code(StrEnum):
    """Why a photograph is refused, or what it is accepted with."""

    CHART_NOT_FOUND = "chart_not_found"
    CHART_SMALL = "chart_too_small"
    CHART_CUT = "chart_cut"
    CHART_COVERED = "chart_covered"
    CARD_SHINES = "card_shines"
    CARD_CALLED_EVEN = "card_called_even"
    CHART_CLIPPED = "chart_clipped"
    CALIBRATION_POOR = "calibration_poor"
    MIRRORED = "mirrored"
    TOO_DARK = "too_dark"
    FACE_CLIPPED = "face_clipped"
    BLURRED = "blurred"
    FACE_SMALL = "face_too_small"
    FACE_TURNED = "face_turned"
    NO_FACE = "no_face"
    SEVERAL_FACES = "several_faces"
    UNEVEN_LIGHT = "uneven_light"
    MIXED_LIGHT = "mixed_light"
    LIGHT_CHANGES = "light_changes_colour"
    VIGNETTE = "vignette"
    CORNERS_DARK = "corners_darker"
    CALIBRATION_ROUGH = "calibration_rough"
    CHANNEL_LOST = "channel_lost"
    CARD_OTHER = "card_other"
    CARD_SEVERAL = "several_cards"
    CARD_BENT = "card_bent"
    CARD_UNNUMBERED = "card_number_unread"
    CARD_UNCALIBRATED = "card_uncalibrated"
    CARD_OLD = "card_values_old"
    NEUTRAL_NOT_FOUND = "neutral_not_found"
    NEUTRAL_SEVERAL = "neutral_several"
    NEUTRAL_CLIPPED = "neutral_clipped"
    NEUTRAL_UNEVEN = "neutral_uneven"
    OTHER_CARD_VALUES = "other_card_values"
    CAMERA_CHANGED = "camera_changed"
    FILTER_SUSPECTED = "filter_suspected"
    FILTER_UNKNOWN = "filter_cannot_be_judged"
    FACE_RECOLOURED = "face_recoloured"
    FACE_BRIGHTENED = "face_brightened"
    CARD_TILTED = "card_tilted"
    CARD_VEILED = "card_veiled"
    CARD_TINTED = "card_tinted"
    CARD_LIGHT_DOUBTED = "card_light_doubted"
    FILE_NOTE = "file_note"
    UNREADABLE = "unreadable"
    ONE_PHOTOGRAPH = "one_photograph"
    PHOTOGRAPHS_DISAGREE = "photographs_disagree"


# Signs that the card does not get the light that the face gets; where they are strong, the picture is refused.
_OTHER_LIGHT = frozenset(
    {Code.FACE_BRIGHTENED, Code.CARD_TILTED, Code.CARD_VEILED, Code.CARD_TINTED, Code.CARD_LIGHT_DOUBTED}
)
# The picture is accepted with these, and the intervals are wider for what they say.
WIDENING = _OTHER_LIGHT | frozenset(
    {
        Code.LIGHT_CHANGES,
        Code.CORNERS_DARK,
        Code.CALIBRATION_ROUGH,
        Code.CHANNEL_LOST,
        Code.CARD_SHINES,
        Code.CARD_CALLED_EVEN,
        Code.FACE_RECOLOURED,
        Code.PHOTOGRAPHS_DISAGREE,
    }
)
# The picture is accepted with these; they are said all the same.
NOTES = WIDENING | frozenset(
    {
        Code.UNEVEN_LIGHT,
        Code.OTHER_CARD_VALUES,
        Code.CAMERA_CHANGED,
        Code.FILTER_SUSPECTED,
        Code.FILTER_UNKNOWN,
        Code.CARD_UNCALIBRATED,
        Code.CARD_OLD,
        Code.FILE_NOTE,
        Code.ONE_PHOTOGRAPH,
    }
)
OF_SEVERAL = frozenset({Code.ONE_PHOTOGRAPH, Code.PHOTOGRAPHS_DISAGREE})  # said of photographs measured together


@dataclass(frozen=True, slots=True)
class Reason:
    """One thing about a photograph, in plain words, and how to do better.

    severe: refuses although its code is mostly a note.
    """

    code: Code
    text: str
    severe: bool = False

    @property
    def written(self) -> WrittenReason:
        """The same as it is written, without its severity: that a photograph is refused is said beside the reasons."""
        return WrittenReason(str(self.code), self.text)

    @property
    def refuses(self) -> bool:
        """Whether the photograph is refused for it."""
        return self.severe or self.code not in NOTES

    @property
    def widens(self) -> bool:
        """Whether intervals are wider for it."""
        return self.code in WIDENING and not self.severe


def written_reasons(face: WrittenFace) -> tuple[Reason, ...]:
    """Return the reasons of a face as it was written.

    Severity is not written. Where a photograph was refused and every one of its codes is mostly a note, those that
    refuse where they are strong are what refused it.
    """
    found = tuple(Reason(Code(reason.code), reason.text) for reason in face.reasons or ())
    if face.accepted or any(reason.refuses for reason in found):
        return found
    return tuple(replace(reason, severe=reason.code in _OTHER_LIGHT) for reason in found)


def camera_changed(name: str, learned_on: date) -> Reason:
    """Return the note that a photograph is unlike those that its camera was learned from."""
    return Reason(
        Code.CAMERA_CHANGED,
        _(
            "The tone of this photograph is not what phone {phone} had when it was learned on {day}. It was taken by "
            "another phone, lens or mode, or the phone was updated. So what was learned is not used here. If this "
            "comes with later photographs too, learn the phone again.",
            phone=as_typed(name),
            day=long_date(learned_on.isoformat()),
        ),
    )


def unreadable(error: UnreadableInput) -> Reason:
    """Return why a file among several was left out: it cannot be read."""
    return Reason(Code.UNREADABLE, f"{error.problem}. {error.remedy}.")


def file_reasons(notes: Sequence[str]) -> list[Reason]:
    """Return what was odd about the file, which was read all the same."""
    return [Reason(Code.FILE_NOTE, note) for note in notes]
