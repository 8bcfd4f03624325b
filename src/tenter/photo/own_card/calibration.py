"""The true values of printed cards, each from one photograph of it beside a reference chart, or from several."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import cv2
import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.intervals import DEVIATIONS_TO_90
from tenter.colorimetry.measurement import D65_2
from tenter.colorimetry.reflectance import reflectance_to_xyz
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.errors import TenterError, UnreadableInput
from tenter.language import N_, _, as_written, ngettext
from tenter.photo import reasons as reasons_of_photo
from tenter.photo.camera.estimate import camera_answer
from tenter.photo.card import gate
from tenter.photo.card.calibration import Calibration, calibrate
from tenter.photo.files.loading import Photo, load_photo
from tenter.photo.own_card.gate import own_card_reasons
from tenter.photo.own_card.light_on_both import light_on_both
from tenter.photo.own_card.printed import PrintView, print_estimate
from tenter.photo.own_card.sighting import find_own_card
from tenter.photo.own_card.values import OwnCardValues, nominal_card
from tenter.photo.patches.chart import ChartReading, find_chart
from tenter.photo.patches.correction import D65_WHITE
from tenter.photo.patches.reference import CardReference, classic24

# 90 % half-widths in L*, a*, b*, set on rendered calibration photographs (own_card_scene.py), beside what print
# and camera leave open: a floor, and a part that grows with the reference chart's leave-one-out error.
_FLOOR = np.array([0.6, 0.8, 1.0])
_PER_LEAVE_ONE_OUT = np.array([0.55, 0.9, 0.5])
_CUT_OFF = 6 / 255  # mean code value of a channel up to which noise may have been cut off at black
MAX_REFERENCE_ERROR = 3.5  # mean leave-one-out ΔE00 of the reference chart: worse light makes worse values for months
_NO_REFERENCE = N_(
    "Our card is in the picture, and no 24-patch chart beside it. A card is measured once beside such a "
    "chart; a borrowed one will do. Lay both flat side by side in the same light, and take the picture "
    "again with both whole in it."
)
_UNNUMBERED = N_(
    "The card's number cannot be read from its strip of squares: it is smudged, shaded or blurred. Take the "
    "picture again, or name the photographs of this card alone with the number printed on it: --serial."
)
UNLIKE_ITS_DESIGN = 25.0  # median ΔE00 of the patches from what the sheet asked for: this is not our card, or not flat


@dataclass(frozen=True, slots=True)
class CardPhotograph:
    """What became of one photograph: whose card it shows, where that can be told, and what is wrong with it."""

    serial: int | None
    reasons: tuple[reasons_of_photo.Reason, ...]


@dataclass(frozen=True, slots=True)
class CardCalibration:
    """The values of the cards that photographs give, by their serials, and what became of each photograph, in order.

    A photograph with reasons was left out.
    """

    values: tuple[OwnCardValues, ...]
    photographs: tuple[CardPhotograph, ...]


@dataclass(frozen=True, slots=True)
class _Look:
    """What one photograph shows: the card's patches and the number on its strip, or what is wrong."""

    reasons: tuple[reasons_of_photo.Reason, ...]
    serial: int | None = None
    view: PrintView | None = None
    error: float = 0.0  # mean leave-one-out ΔE00 of the reference chart

    @property
    def unreadable(self) -> bool:
        return any(reason.code is reasons_of_photo.Code.UNREADABLE for reason in self.reasons)


def calibrate_own_cards(
    photos: Iterable[Photo], today: date, serial: int | None = None, chart: CardReference | None = None
) -> CardCalibration:
    """Return the values of the own cards in photographs, each of which shows one card beside a reference chart.

    One photograph of a card will do. More, each in another light, tell its inks better; a refused one is left out.
    serial: of the one card that all of them show, where its strip cannot be read; it must not contradict the strip.
    chart: the classic card by default.
    """
    reference = chart or classic24()
    return _calibrated([_look(photo, serial, reference) for photo in photos], today, reference)


def calibrate_from_files(files: Sequence[Path], today: date, serial: int | None = None) -> CardCalibration:
    """Return what `calibrate_own_cards` does, from files, one open at a time; one that cannot be read is left out.

    Raises
    ------
    TenterError
        If none of them can be read.
    """
    reference = classic24()
    looks = [_look_into(file, serial, reference) for file in files]
    if looks and all(look.unreadable for look in looks):
        said = [f"{file.name}: {look.reasons[0].text}" for file, look in zip(files, looks, strict=True)]
        raise TenterError(_("none of the photographs can be read. {reasons}", reasons=" ".join(said)))
    return _calibrated(looks, today, reference)


def _calibrated(looks: Sequence[_Look], today: date, reference: CardReference) -> CardCalibration:
    by_serial: dict[int, list[_Look]] = {}
    for look in looks:
        if look.view is not None and look.serial is not None:
            by_serial.setdefault(look.serial, []).append(look)
    values = tuple(_values(used, number, today, reference) for number, used in sorted(by_serial.items()))
    return CardCalibration(values, tuple(CardPhotograph(look.serial, look.reasons) for look in looks))


def _look_into(file: Path, serial: int | None, chart: CardReference) -> _Look:
    try:
        photo = load_photo(file)
    except UnreadableInput as unread:
        return _Look((reasons_of_photo.unreadable(unread),))
    return _look(photo, serial, chart)


def _look(photo: Photo, serial: int | None, chart: CardReference) -> _Look:
    sighting = find_own_card(photo, serial)
    reasons = own_card_reasons(sighting, serial)
    number = sighting.serial or serial
    if sighting.reading is None:
        return _Look(tuple(reasons))
    if number is None:
        reasons.append(reasons_of_photo.Reason(reasons_of_photo.Code.CARD_UNNUMBERED, _(_UNNUMBERED)))
    found = find_chart(_without(photo, sighting.reading))
    calibration = None if found is None else calibrate(chart, (found, found.turned_half()))
    reasons += [reason for reason in _chart_reasons(found, calibration) if reason not in reasons]
    if calibration is not None and not any(reason.refuses for reason in reasons):
        reasons += _quality_reasons(calibration, sighting.reading)
    if calibration is None or reasons:
        return _Look(tuple(reasons), number)
    view = _view(photo, calibration, sighting.reading)
    return _Look((), number, view, calibration.leave_one_out.mean)


def _chart_reasons(found: ChartReading | None, calibration: Calibration | None) -> list[reasons_of_photo.Reason]:
    """Return what is wrong with the reference chart; that there is none is said in words that name it."""
    reasons = gate.chart_reasons(found, calibration)
    if any(reason.code is reasons_of_photo.Code.CHART_NOT_FOUND for reason in reasons):
        return [reasons_of_photo.Reason(reasons_of_photo.Code.CHART_NOT_FOUND, _(_NO_REFERENCE))]
    return reasons


def _values(looks: Sequence[_Look], serial: int, today: date, chart: CardReference) -> OwnCardValues:
    found = print_estimate([look.view for look in looks if look.view is not None])
    xyz = reflectance_to_xyz(found.reflectances, D65_2.illuminant, D65_2.observer)
    error = float(np.mean([look.error for look in looks]))
    by_light = np.hypot(_FLOOR, _PER_LEAVE_ONE_OUT * error) / np.sqrt(len(looks))
    half = np.hypot(by_light, _half_width_90(xyz, found.xyz_covariance))
    return OwnCardValues(serial, today, xyz, half, found.reflectances, chart.title, round(error, 3), len(looks))


def _half_width_90(xyz: FloatArray, covariance: FloatArray) -> FloatArray:
    """Return 90 % half-widths (m, 3) in Lab of colours (m, 3) with covariances (m, 3, 3) in XYZ."""
    step = 1e-4
    lab = xyz_to_lab(xyz, D65_WHITE)
    slopes = np.stack([(xyz_to_lab(xyz + step * one, D65_WHITE) - lab) / step for one in np.eye(3)], axis=-1)
    variance = np.einsum("mij,mjk,mik->mi", slopes, covariance, slopes)
    half: FloatArray = DEVIATIONS_TO_90 * np.sqrt(np.maximum(variance, 0))
    return half


def _view(photo: Photo, calibration: Calibration, own: ChartReading) -> PrintView:
    """Return the own card's patches as if they stood where the chart's white does, and what the camera answers to."""
    light, chart, used = light_on_both(photo, calibration, own), calibration.reading, calibration.used

    def at_white(reading: ChartReading) -> FloatArray:
        found: FloatArray = calibration.tone.linear(reading.code) * light.to_white(reading.centres_px)
        return found

    cut_off = own.crushed | (own.code <= _CUT_OFF)
    return PrintView(at_white(own), camera_answer(at_white(chart)[used], calibration.card, used), cut_off)


def _quality_reasons(calibration: Calibration, own: ChartReading) -> list[reasons_of_photo.Reason]:
    lost = int((own.clipped | own.outside).sum())
    if lost:
        return [
            reasons_of_photo.Reason(
                reasons_of_photo.Code.CHART_CLIPPED,
                ngettext(
                    "{count} patch of the own card is overexposed or cut. Take the picture again, a little darker, "
                    "with both cards whole.",
                    "{count} patches of the own card are overexposed or cut. Take the picture again, a little darker, "
                    "with both cards whole.",
                    lost,
                ),
            )
        ]
    error = calibration.leave_one_out.mean
    if error > MAX_REFERENCE_ERROR:
        return [
            reasons_of_photo.Reason(
                reasons_of_photo.Code.CALIBRATION_POOR,
                _(
                    "The reference chart is read with a mean error of ΔE00 {error}, and {most} "
                    "is the limit for values that will serve for months. Take the picture in daylight, in even "
                    "light, with a camera that changes nothing on its own.",
                    error=as_written(f"{error:.1f}"),
                    most=as_written(str(MAX_REFERENCE_ERROR)),
                ),
            )
        ]
    asked = xyz_to_lab(nominal_card().xyz / 0.9, D65_WHITE)
    read = xyz_to_lab(calibration.for_dyes.xyz(calibration.tone.linear(own.code)), D65_WHITE)
    if float(np.median(delta_e_2000(read, asked))) > UNLIKE_ITS_DESIGN:
        return [
            reasons_of_photo.Reason(
                reasons_of_photo.Code.CHART_COVERED,
                _(
                    "The own card's patches are nothing like its design. Check that it is printed in colour, "
                    "lies flat and unshaded, and that nothing covers it."
                ),
            )
        ]
    return []


def _without(photo: Photo, own: ChartReading) -> Photo:
    """Return the photograph with the own card painted grey, so that its squares are not taken for the chart's."""
    rgb = photo.rgb.copy()
    cv2.fillConvexPoly(rgb, np.round(own.corners_px).astype(np.int32), (128, 128, 128))
    return Photo(rgb, photo.reduction, photo.fine)
