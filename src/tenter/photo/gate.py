"""Whether a photograph may speak: each refusal says what is wrong and how to take the picture again."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

import cv2
import numpy as np

from tenter.arrays import ByteArray, FloatArray
from tenter.colorimetry.spaces import decode_srgb
from tenter.errors import UnreadableInput
from tenter.photo.advice import HOLD_THE_CARD, HOLD_THE_CARD_BESIDE, WIDER, WIDER_LIGHTNESS, then
from tenter.photo.calibration import Calibration
from tenter.photo.chart import ChartReading
from tenter.photo.correction import CalibrationBasis, Correction
from tenter.photo.landmarks import FaceSearch, face_width
from tenter.photo.light_signs import LightSigns
from tenter.photo.patch_fit import MIN_PATCHES
from tenter.photo.regions import SKIN, Region, RegionPixels

MIN_PATCH_SIDE_PX = 8.0  # of a patch; set by judgement
MIN_FACE_WIDTH_PX = 80.0  # of a face; set by judgement
MAX_LEAVE_ONE_OUT = 7.0  # mean ΔE00; good exposures of the calibration set stay below 5.5
NO_CHART_LEAVE_ONE_OUT = 20.0  # what was found is not the card
MIN_WHITE = 0.12  # linear: the white patch is at least this bright, or noise and rounding decide
MAX_CLIPPED_PATCHES = 7  # of 24; set by judgement
MIN_DETAIL = 0.25  # about a Gaussian blur of 1.5 % of the face's width; sharp rendered faces have 0.40 to 0.60
# Part of the light that a wall loses between the middle of the picture and its corners. A room alone makes 0.17 of it.
MAX_CORNER_LOSS, NOTED_CORNER_LOSS = 0.4, 0.18
MAX_MIXED, NOTED_MIXED = 1.0, 0.5  # signs of two lamps; see light_signs.py
ROUGH_LEAVE_ONE_OUT = 3.0  # mean ΔE00 from which it is said that the intervals are wide; 3 in 100 exposures
NOTED_LOST_PATCHES = 7  # of 24, and as many in proportion of another card, with a channel at black; 5 in 100 exposures
UNEVEN_LIGHTNESS = 8.0  # L* between the cheeks from which side light is pointed out


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
    def refuses(self) -> bool:
        return self.severe or self.code not in NOTES

    @property
    def widens(self) -> bool:
        return self.code in WIDENING and not self.severe


def camera_changed(name: str, learned_on: date) -> Reason:
    """Return the note that a photograph is unlike those that its camera was learned from."""
    return Reason(
        Code.CAMERA_CHANGED,
        f"The tone of this photograph is not what phone {name!r} had when it was learned on {learned_on.isoformat()}. "
        "It was taken by another phone, lens or mode, or the phone was updated. So what was learned is not used "
        "here. If this comes with later photographs too, learn the phone again.",
    )


def unreadable(error: UnreadableInput) -> Reason:
    """Return why a file among several was left out: it cannot be read."""
    return Reason(Code.UNREADABLE, f"{error.problem}. {error.remedy}.")


def file_reasons(notes: Sequence[str]) -> list[Reason]:
    """Return what was odd about the file, which was read all the same."""
    return [Reason(Code.FILE_NOTE, note) for note in notes]


def chart_reasons(reading: ChartReading | None, calibration: Calibration | None) -> list[Reason]:
    """Return what is wrong with the card."""
    if reading is None or (calibration and calibration.leave_one_out.mean > NO_CHART_LEAVE_ONE_OUT):
        return [
            Reason(
                Code.CHART_NOT_FOUND,
                f"No 24-patch card was found. {HOLD_THE_CARD_BESIDE}. All of it has to be in the picture, sharp and "
                "out of the shade, and at least an eighth as long as the picture's longer side.",
            )
        ]
    reasons = []
    if reading.outside.any():
        reasons.append(
            Reason(
                Code.CHART_CUT,
                f"The card leaves the picture: {reading.outside.sum()} of its {len(reading.outside)} patches are cut. "
                "Step back until the whole card with its frame is in the picture.",
            )
        )
    if reading.mirrored:
        reasons.append(
            Reason(
                Code.MIRRORED,
                "The picture is mirrored, so that left and right of the face would be exchanged. Turn off mirroring in "
                "the camera app, or flip the picture back, and give it again.",
            )
        )
    if reading.patch_side_px < MIN_PATCH_SIDE_PX:
        reasons.append(
            Reason(
                Code.CHART_SMALL,
                f"The card is small: a patch is {reading.patch_side_px:.0f} pixels wide and {MIN_PATCH_SIDE_PX:.0f} "
                f"are needed. Come closer, or zoom in. {HOLD_THE_CARD_BESIDE}.",
            )
        )
    return reasons + _exposure_reasons(reading, calibration)


def _exposure_reasons(reading: ChartReading, calibration: Calibration | None) -> list[Reason]:
    clipped = int(reading.clipped.sum())
    if clipped > MAX_CLIPPED_PATCHES or (calibration is None and clipped > len(reading.clipped) - MIN_PATCHES):
        return [
            Reason(
                Code.CHART_CLIPPED,
                f"The picture is overexposed: {clipped} patches of the card have run into white. Lower the exposure "
                "by about one stop, until the white patch is light grey on the screen.",
            )
        ]
    if calibration is None or reading.outside.any():
        return []
    patch = calibration.card.white
    white = decode_srgb(calibration.reading.code[patch]).max()
    if white < MIN_WHITE and not calibration.reading.clipped[patch]:
        return [
            Reason(
                Code.TOO_DARK,
                f"The picture is underexposed: the card's white patch reaches {white:.0%} of full light. Add light or "
                "raise the exposure until it is light grey on the screen.",
            )
        ]
    return _agreement_reasons(calibration)


def _agreement_reasons(calibration: Calibration) -> list[Reason]:
    error = calibration.leave_one_out.mean
    if error > MAX_LEAVE_ONE_OUT:
        return [
            Reason(
                Code.CALIBRATION_POOR,
                "The card's patches do not agree with one another: its colours are predicted only to within ΔE00 "
                f"{error:.1f} on average. The limit is {MAX_LEAVE_ONE_OUT:.0f}. Look for two different lamps, a lamp "
                "that lacks colours, a faded card, or a filter in the camera app.",
            )
        ]
    return []


def face_reasons(search: FaceSearch) -> list[Reason]:
    """Return what keeps a face from being measured: none, several, turned or too small."""
    if search.turned:
        return [
            Reason(
                Code.FACE_TURNED,
                "The face is on its side or upside down. Turn the picture upright, save it and give it again.",
            )
        ]
    if len(search.faces) > 1:
        return [
            Reason(
                Code.SEVERAL_FACES,
                f"There are {len(search.faces)} faces in the picture and it is not clear whose colours to read. Take "
                "or crop it with one person only. A face on a poster or in a mirror counts too.",
            )
        ]
    if search.mesh_px is None:
        return [
            Reason(
                Code.NO_FACE,
                "No face was found. Photograph the face from the front, upright, with nothing in front of it.",
            )
        ]
    if search.width_px < MIN_FACE_WIDTH_PX:
        return [
            Reason(
                Code.FACE_SMALL,
                f"The face is {search.width_px:.0f} pixels wide and {MIN_FACE_WIDTH_PX:.0f} are needed. Come closer, "
                "until head and shoulders fill the picture.",
            )
        ]
    return []


def picture_reasons(rgb: ByteArray, mesh_px: FloatArray, pixels: dict[Region, RegionPixels]) -> list[Reason]:
    """Return what is wrong with the picture of a face that was found: blur, overexposed skin."""
    reasons = []
    if fine_detail(rgb, mesh_px) < MIN_DETAIL:
        reasons.append(
            Reason(
                Code.BLURRED,
                "The face is blurred. Rest the camera on something, tap on the face to focus, and add light.",
            )
        )
    overexposed = [region for region in SKIN if pixels[region].overexposed]
    if len(overexposed) > len(SKIN) / 2:
        reasons.append(
            Reason(
                Code.FACE_CLIPPED,
                f"{len(overexposed)} of {len(SKIN)} regions of the face are overexposed. Lower the exposure, or turn "
                "away from the lamp or the sun.",
            )
        )
    return reasons


def fine_detail(rgb: ByteArray, mesh_px: FloatArray) -> float:
    """Return the strength of fine against coarse detail of a face, at a width of 192 pixels: less when blurred.

    A ratio of two difference-of-Gaussian bands (1-2 and 3-6 pixels), so that contrast and exposure cancel.
    """
    start = np.maximum(np.floor(mesh_px.min(axis=0)), 0).astype(int)
    stop = np.ceil(mesh_px.max(axis=0)).astype(int)
    grey = cv2.cvtColor(rgb[start[1] : stop[1], start[0] : stop[0]], cv2.COLOR_RGB2GRAY)
    scale = 192 / face_width(mesh_px)
    interpolation = cv2.INTER_AREA if scale < 1 else cv2.INTER_LINEAR
    face = cv2.resize(grey, None, fx=scale, fy=scale, interpolation=interpolation).astype(float)
    blurred = {sigma: cv2.GaussianBlur(face, (0, 0), sigma) for sigma in (1, 2, 3, 6)}
    coarse = float((blurred[3] - blurred[6]).std())
    return float((blurred[1] - blurred[2]).std()) / max(coarse, 1e-6)


def same_light_reasons(signs: LightSigns, correction: Correction) -> list[Reason]:
    """Return what speaks against the light on the card being that on the face, and what else makes intervals wide."""
    return [*_mixed_reasons(signs.mixed), *_corner_reasons(signs.corner_darkening), *_rough_reasons(correction)]


def _mixed_reasons(mixed: float) -> list[Reason]:
    if mixed >= MAX_MIXED:
        return [
            Reason(
                Code.MIXED_LIGHT,
                "Two lights of different colour fall on the picture, as from a window and a lamp. The card gets "
                "another mixture of them than the face. Turn the lamp off or draw the curtain, so that one light is "
                f"left, and {then(HOLD_THE_CARD)}.",
            )
        ]
    if mixed >= NOTED_MIXED:
        return [
            Reason(
                Code.LIGHT_CHANGES,
                "The light changes colour across the picture, as where a second lamp or a coloured wall adds to it. "
                f"{WIDER} Leave one light on, and {then(HOLD_THE_CARD)}.",
            )
        ]
    return []


def _corner_reasons(darkening: float) -> list[Reason]:
    loss = 1 - float(np.exp(-darkening))
    if loss >= MAX_CORNER_LOSS:
        return [
            Reason(
                Code.VIGNETTE,
                f"The picture darkens towards its corners by {loss:.0%}, so the card seems darker than the face. "
                f"Step back and zoom in, {then(HOLD_THE_CARD)}, or turn off the effect in the camera app.",
            )
        ]
    if loss >= NOTED_CORNER_LOSS:
        return [
            Reason(
                Code.CORNERS_DARK,
                f"The picture darkens towards its corners by {loss:.0%}. {WIDER_LIGHTNESS} "
                f"Step back and zoom in, and {then(HOLD_THE_CARD)}.",
            )
        ]
    return []


def _rough_reasons(correction: Correction) -> list[Reason]:
    reasons = []
    if correction.basis is CalibrationBasis.CHART and correction.error >= ROUGH_LEAVE_ONE_OUT:
        reasons.append(
            Reason(
                Code.CALIBRATION_ROUGH,
                "The card's patches agree only roughly: its colours are predicted to within ΔE00 "
                f"{correction.error:.1f} on average. {WIDER} Use daylight, or a lamp that renders colours well.",
            )
        )
    lost = round(correction.patches * correction.lost)
    if lost and 24 * lost >= NOTED_LOST_PATCHES * correction.patches:
        reasons.append(
            Reason(
                Code.CHANNEL_LOST,
                f"{lost} of the card's {correction.patches} patches lack a colour channel altogether. The light "
                f"is far from what the camera was set to. {WIDER} "
                "Set the white balance to automatic or to this light, or use daylight.",
            )
        )
    return reasons


def light_reasons(lightness: dict[Region, float]) -> list[Reason]:
    """Return a note when the two cheeks are lit unequally; `lightness` is L* per region."""
    left, right = lightness.get(Region.CHEEK_LEFT), lightness.get(Region.CHEEK_RIGHT)
    if left is None or right is None or abs(left - right) < UNEVEN_LIGHTNESS:
        return []
    brighter, other = ("left", "right") if left > right else ("right", "left")
    return [
        Reason(
            Code.UNEVEN_LIGHT,
            f"The light comes from the side: the {brighter} cheek is L* {abs(left - right):.0f} lighter than the "
            f"{other} one. Read both with that in mind, or turn towards the light for the next picture.",
        )
    ]
