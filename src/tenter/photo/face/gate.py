"""Whether a photograph of a face may speak: each refusal says what is wrong and how to take the picture again."""

import cv2
import numpy as np

from tenter.arrays import ByteArray, FloatArray
from tenter.language import _, local_number
from tenter.measured.basis import CalibrationBasis
from tenter.numerals import whole_percent
from tenter.photo.advice import HOLD_THE_CARD, WIDER, WIDER_LIGHTNESS, then
from tenter.photo.patches.correction import Correction
from tenter.photo.reasons import Code, Reason
from tenter.photo.regions.landmarks import FaceSearch, face_width
from tenter.photo.regions.light_signs import LightSigns
from tenter.photo.regions.regions import SKIN, Region, RegionPixels

MIN_FACE_WIDTH_PX = 80.0  # of a face; set by judgement
MIN_DETAIL = 0.25  # about a Gaussian blur of 1.5 % of the face's width; sharp rendered faces have 0.40 to 0.60
# Part of the light that a wall loses between the middle of the picture and its corners. A room alone makes 0.17 of it.
MAX_CORNER_LOSS, NOTED_CORNER_LOSS = 0.4, 0.18
MAX_MIXED, NOTED_MIXED = 1.0, 0.5  # signs of two lamps; see light_signs.py
ROUGH_LEAVE_ONE_OUT = 3.0  # mean ΔE00 from which it is said that the intervals are wide; 3 in 100 exposures
NOTED_LOST_PATCHES = 7  # of 24, and as many in proportion of another card, with a channel at black; 5 in 100 exposures
UNEVEN_LIGHTNESS = 8.0  # L* between the cheeks from which side light is pointed out


def face_reasons(search: FaceSearch) -> list[Reason]:
    """Return what keeps a face from being measured: none, several, turned or too small."""
    if search.turned:
        return [
            Reason(
                Code.FACE_TURNED,
                _("The face is on its side or upside down. Turn the picture upright, save it and give it again."),
            )
        ]
    if len(search.faces) > 1:
        return [
            Reason(
                Code.SEVERAL_FACES,
                _(
                    "There are {count} faces in the picture and it is not clear whose colours to read. Take or crop it "
                    "with one person only. A face on a poster or in a mirror counts too.",
                    count=len(search.faces),
                ),
            )
        ]
    if search.mesh_px is None:
        return [
            Reason(
                Code.NO_FACE,
                _("No face was found. Photograph the face from the front, upright, with nothing in front of it."),
            )
        ]
    if search.width_px < MIN_FACE_WIDTH_PX:
        return [
            Reason(
                Code.FACE_SMALL,
                _(
                    "The face is {pixels} pixels wide and {needed} are needed. Come closer, until head and shoulders "
                    "fill the picture.",
                    pixels=local_number(search.width_px, 0),
                    needed=local_number(MIN_FACE_WIDTH_PX, 0),
                ),
            )
        ]
    return []


def picture_reasons(rgb: ByteArray, mesh_px: FloatArray, pixels: dict[Region, RegionPixels]) -> list[Reason]:
    """Return what is wrong with the picture of a face that was found: blur, overexposed skin.

    The picture is (height, width, 3), its mesh (478, 2).
    """
    reasons = blur_reasons(rgb, mesh_px)
    overexposed = [region for region in SKIN if pixels[region].overexposed]
    if len(overexposed) > len(SKIN) / 2:
        reasons.append(
            Reason(
                Code.FACE_CLIPPED,
                _(
                    "{count} of {regions} regions of the face are overexposed. Lower the exposure, or turn away from "
                    "the lamp or the sun.",
                    count=len(overexposed),
                    regions=len(SKIN),
                ),
            )
        )
    return reasons


def blur_reasons(rgb: ByteArray, mesh_px: FloatArray) -> list[Reason]:
    """Return whether the face in a picture (height, width, 3), its mesh (478, 2), is blurred."""
    if fine_detail(rgb, mesh_px) >= MIN_DETAIL:
        return []
    blurred = _("The face is blurred. Rest the camera on something, tap on the face to focus, and add light.")
    return [Reason(Code.BLURRED, blurred)]


def fine_detail(rgb: ByteArray, mesh_px: FloatArray) -> float:
    """Return the strength of fine against coarse detail of a face, at a width of 192 pixels: less when blurred.

    A ratio of two difference-of-Gaussian bands (1-2 and 3-6 pixels), so that contrast and exposure cancel; ours. The
    picture is (height, width, 3), the mesh (478, 2).
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
                _(
                    "Two lights of different colour fall on the picture, as from a window and a lamp. The card gets "
                    "another mixture of them than the face. Turn the lamp off or draw the curtain, so that one light "
                    "is left, and {hold_the_card}.",
                    hold_the_card=then(_(HOLD_THE_CARD)),
                ),
            )
        ]
    if mixed >= NOTED_MIXED:
        return [
            Reason(
                Code.LIGHT_CHANGES,
                _(
                    "The light changes colour across the picture, as where a second lamp or a coloured wall adds to "
                    "it. {wider} Leave one light on, and {hold_the_card}.",
                    wider=_(WIDER),
                    hold_the_card=then(_(HOLD_THE_CARD)),
                ),
            )
        ]
    return []


def _corner_reasons(darkening: float) -> list[Reason]:
    loss = 1 - float(np.exp(-darkening))
    if loss >= MAX_CORNER_LOSS:
        return [
            Reason(
                Code.VIGNETTE,
                _(
                    "The picture darkens towards its corners by {percent}, so the card seems darker than the face. "
                    "Step back and zoom in, {hold_the_card}, or turn off the effect in the camera app.",
                    percent=whole_percent(loss),
                    hold_the_card=then(_(HOLD_THE_CARD)),
                ),
            )
        ]
    if loss >= NOTED_CORNER_LOSS:
        return [
            Reason(
                Code.CORNERS_DARK,
                _(
                    "The picture darkens towards its corners by {percent}. {wider} Step back and zoom in, and "
                    "{hold_the_card}.",
                    percent=whole_percent(loss),
                    wider=_(WIDER_LIGHTNESS),
                    hold_the_card=then(_(HOLD_THE_CARD)),
                ),
            )
        ]
    return []


def _rough_reasons(correction: Correction) -> list[Reason]:
    reasons = []
    if correction.basis is CalibrationBasis.CHART and correction.error >= ROUGH_LEAVE_ONE_OUT:
        reasons.append(
            Reason(
                Code.CALIBRATION_ROUGH,
                _(
                    "The card's patches agree only roughly: its colours are predicted to within ΔE00 {error} on "
                    "average. {wider} Use daylight, or a lamp that renders colours well.",
                    error=local_number(correction.error, 1),
                    wider=_(WIDER),
                ),
            )
        )
    lost = round(correction.patches * correction.lost)
    if lost and 24 * lost >= NOTED_LOST_PATCHES * correction.patches:
        reasons.append(
            Reason(
                Code.CHANNEL_LOST,
                _(
                    "{lost} of the card's {patches} patches lack a colour channel altogether. The light is far from "
                    "what the camera was set to. {wider} Set the white balance to automatic or to this light, or use "
                    "daylight.",
                    lost=lost,
                    patches=correction.patches,
                    wider=_(WIDER),
                ),
            )
        )
    return reasons


def light_reasons(lightness: dict[Region, float]) -> list[Reason]:
    """Return a note when the two cheeks are lit unequally; `lightness` is L* per region."""
    left, right = lightness.get(Region.CHEEK_LEFT), lightness.get(Region.CHEEK_RIGHT)
    if left is None or right is None or abs(left - right) < UNEVEN_LIGHTNESS:
        return []
    by = local_number(abs(left - right), 0)
    side = (
        _("The light comes from the side: the left cheek is L* {by} lighter than the right one.", by=by)
        if left > right
        else _("The light comes from the side: the right cheek is L* {by} lighter than the left one.", by=by)
    )
    advice = _("Read both with that in mind, or turn towards the light for the next picture.")
    return [Reason(Code.UNEVEN_LIGHT, f"{side} {advice}")]
