"""The true values of a printed card, from one photograph of it beside a reference chart."""

from dataclasses import dataclass
from datetime import date

import cv2
import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.errors import UnreadableInput
from tenter.photo import gate
from tenter.photo.calibration import Calibration, calibrate
from tenter.photo.chart import ChartReading, find_chart
from tenter.photo.correction import D65_WHITE
from tenter.photo.loading import Photo
from tenter.photo.own_card import find_own_card
from tenter.photo.own_card_gate import own_card_reasons
from tenter.photo.own_card_values import OwnCardValues, nominal_card
from tenter.photo.printed import guessed_reflectances, printed_xyz
from tenter.photo.reference import CardReference, classic24

# 90 % half-widths in L*, a*, b*, set on 40 rendered calibration photographs (bench/own_card_scene.py): a floor, and a
# part that grows with the reference chart's leave-one-out error.
_FLOOR = np.array([1.0, 1.3, 1.3])
_PER_LEAVE_ONE_OUT = np.array([0.55, 0.9, 0.5])
MAX_REFERENCE_ERROR = 3.5  # mean leave-one-out ΔE00 of the reference chart: worse light makes worse values for months
UNLIKE_ITS_DESIGN = 25.0  # median ΔE00 of the patches from what the sheet asked for: this is not our card, or not flat


@dataclass(frozen=True, slots=True)
class CardCalibration:
    """The values of a card, or the reasons why the photograph gives none."""

    values: OwnCardValues | None
    reasons: tuple[gate.Reason, ...]


def calibrate_own_card(
    photo: Photo, today: date, serial: int | None = None, chart: CardReference | None = None
) -> CardCalibration:
    """Return the values of the own card in a photograph that shows it beside a reference chart.

    serial: of the card, where the strip cannot be read; it must not contradict the strip. chart: the classic card by
    default.

    Raises
    ------
    UnreadableInput
        If the serial is neither on the strip nor given.
    """
    chart = chart or classic24()
    sighting = find_own_card(photo)
    reasons = own_card_reasons(sighting, serial)
    if sighting.reading is None:
        return CardCalibration(None, tuple(reasons))
    found = find_chart(_without(photo, sighting.reading))
    calibration = None if found is None else calibrate(chart, (found, found.turned_half()))
    reasons += [reason for reason in gate.chart_reasons(found, calibration) if reason not in reasons]
    if calibration is None or any(reason.refuses for reason in reasons):
        return CardCalibration(None, tuple(reasons))
    reasons += _quality_reasons(calibration, sighting.reading)
    number = serial if serial is not None else sighting.serial
    if number is None:
        raise UnreadableInput(
            "card", "its serial cannot be read from the strip of squares", "Give the number printed beside it: --serial"
        )
    if reasons:
        return CardCalibration(None, tuple(reasons))
    return CardCalibration(_values(calibration, sighting.reading, number, today), ())


def _values(calibration: Calibration, own: ChartReading, serial: int, today: date) -> OwnCardValues:
    reading, used = calibration.reading, calibration.used
    seen = _at_white(calibration, own)
    xyz = printed_xyz(seen, _at_white(calibration, reading)[used], calibration.card, used)
    error = calibration.leave_one_out.mean
    half = np.hypot(_FLOOR, _PER_LEAVE_ONE_OUT * error)
    reflectances = np.clip(guessed_reflectances(xyz), 0, None)
    return OwnCardValues(
        serial, today, xyz, np.tile(half, (len(xyz), 1)), reflectances, calibration.card.title, round(error, 3)
    )


def _at_white(calibration: Calibration, reading: ChartReading) -> FloatArray:
    """Return the linear camera values of patches, had they stood where the reference chart's white patch stands."""
    chart = calibration.reading
    half_diagonal = np.linalg.norm(chart.corners_px[0] - chart.corners_px[2]) / 2
    positions = (reading.centres_px - chart.centres_px[calibration.card.white]) / half_diagonal
    found: FloatArray = calibration.tone.linear(reading.code) * np.exp(-positions @ calibration.gradient)[:, None]
    return found


def _quality_reasons(calibration: Calibration, own: ChartReading) -> list[gate.Reason]:
    if own.clipped.any() or own.outside.any():
        return [
            gate.Reason(
                gate.Code.CHART_CLIPPED,
                f"{int((own.clipped | own.outside).sum())} patches of the own card are overexposed or cut. Take the "
                "picture again, a little darker, with both cards whole.",
            )
        ]
    error = calibration.leave_one_out.mean
    if error > MAX_REFERENCE_ERROR:
        return [
            gate.Reason(
                gate.Code.CALIBRATION_POOR,
                f"The reference chart is read with a mean error of ΔE00 {error:.1f}, and {MAX_REFERENCE_ERROR} is the "
                "limit for values that will serve for months. Take the picture in daylight, in even light, with a "
                "camera that changes nothing on its own.",
            )
        ]
    asked = xyz_to_lab(nominal_card().xyz / 0.9, D65_WHITE)
    read = xyz_to_lab(calibration.for_dyes.xyz(_at_white(calibration, own)), D65_WHITE)
    if float(np.median(delta_e_2000(read, asked))) > UNLIKE_ITS_DESIGN:
        return [
            gate.Reason(
                gate.Code.CHART_COVERED,
                "The own card's patches are nothing like its design. Check that it is printed in colour, lies flat and "
                "unshaded, and that nothing covers it.",
            )
        ]
    return []


def _without(photo: Photo, own: ChartReading) -> Photo:
    """Return the photograph with the own card painted grey, so that its squares are not taken for the chart's."""
    rgb = photo.rgb.copy()
    cv2.fillConvexPoly(rgb, np.round(own.corners_px).astype(np.int32), (128, 128, 128))
    return Photo(rgb, photo.reduction, photo.fine)
