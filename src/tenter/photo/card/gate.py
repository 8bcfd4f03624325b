"""What is wrong with the card in a photograph, in plain words."""

from tenter.colorimetry.spaces import decode_srgb
from tenter.language import _, local_number
from tenter.numerals import whole_percent
from tenter.photo.advice import HOLD_THE_CARD_BESIDE
from tenter.photo.card.calibration import Calibration
from tenter.photo.card.patch_fit import MIN_PATCHES
from tenter.photo.patches.chart import ChartReading
from tenter.photo.reasons import Code, Reason

MIN_PATCH_SIDE_PX = 8.0  # of a patch; set by judgement
MAX_LEAVE_ONE_OUT = 7.0  # mean ΔE00; good exposures of the calibration set stay below 5.5
NO_CHART_LEAVE_ONE_OUT = 20.0  # what was found is not the card
MIN_WHITE = 0.12  # linear: the white patch is at least this bright, or noise and rounding decide
MAX_CLIPPED_PATCHES = 7  # of 24; set by judgement


def chart_reasons(reading: ChartReading | None, calibration: Calibration | None) -> list[Reason]:
    """Return what is wrong with the card."""
    if reading is None or (calibration and calibration.leave_one_out.mean > NO_CHART_LEAVE_ONE_OUT):
        return [
            Reason(
                Code.CHART_NOT_FOUND,
                _(
                    "No 24-patch card was found. {hold_it}. All of it has to be in the picture, sharp and out of the "
                    "shade, and at least an eighth as long as the picture's longer side.",
                    hold_it=_(HOLD_THE_CARD_BESIDE),
                ),
            )
        ]
    reasons = []
    if reading.outside.any():
        reasons.append(
            Reason(
                Code.CHART_CUT,
                _(
                    "The card leaves the picture: {cut} of its {patches} patches are cut. Step back until the whole "
                    "card with its frame is in the picture.",
                    cut=reading.outside.sum(),
                    patches=len(reading.outside),
                ),
            )
        )
    if reading.mirrored:
        reasons.append(
            Reason(
                Code.MIRRORED,
                _(
                    "The picture is mirrored, so that left and right of the face would be exchanged. Turn off "
                    "mirroring in the camera app, or flip the picture back, and give it again."
                ),
            )
        )
    if reading.patch_side_px < MIN_PATCH_SIDE_PX:
        reasons.append(
            Reason(
                Code.CHART_SMALL,
                _(
                    "The card is small: a patch is {pixels} pixels wide and {needed} are needed. Come closer, or zoom "
                    "in. {hold_it}.",
                    pixels=local_number(reading.patch_side_px, 0),
                    needed=local_number(MIN_PATCH_SIDE_PX, 0),
                    hold_it=_(HOLD_THE_CARD_BESIDE),
                ),
            )
        )
    return reasons + _exposure_reasons(reading, calibration)


def _exposure_reasons(reading: ChartReading, calibration: Calibration | None) -> list[Reason]:
    clipped = int(reading.clipped.sum())
    if clipped > MAX_CLIPPED_PATCHES or (calibration is None and clipped > len(reading.clipped) - MIN_PATCHES):
        return [
            Reason(
                Code.CHART_CLIPPED,
                _(
                    "The picture is overexposed: {clipped} patches of the card have run into white. Lower the exposure "
                    "by about one stop, until the white patch is light grey on the screen.",
                    clipped=clipped,
                ),
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
                _(
                    "The picture is underexposed: the card's white patch reaches {percent} of full light. Add light or "
                    "raise the exposure until it is light grey on the screen.",
                    percent=whole_percent(white),
                ),
            )
        ]
    return _agreement_reasons(calibration)


def _agreement_reasons(calibration: Calibration) -> list[Reason]:
    error = calibration.leave_one_out.mean
    if error > MAX_LEAVE_ONE_OUT:
        return [
            Reason(
                Code.CALIBRATION_POOR,
                _(
                    "The card's patches do not agree with one another: its colours are predicted only to within ΔE00 "
                    "{error} on average. The limit is {limit}. Look for two different lamps, a lamp that lacks "
                    "colours, a faded card, or a filter in the camera app.",
                    error=local_number(error, 1),
                    limit=local_number(MAX_LEAVE_ONE_OUT, 0),
                ),
            )
        ]
    return []
