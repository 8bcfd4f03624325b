"""From a photograph with our own card in it to a correction: by its true values, or relative only without them."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from tenter.measured.basis import CalibrationBasis
from tenter.photo import reasons as reasons_of_photo
from tenter.photo.card import gate
from tenter.photo.card.calibration import Calibration, calibrate
from tenter.photo.card.shadow import NO_SHADOW, ShadowFinding, look_for_shadow
from tenter.photo.files.loading import Photo
from tenter.photo.own_card.gate import own_card_reasons, value_notes
from tenter.photo.own_card.kept import kept_values
from tenter.photo.own_card.sighting import find_own_card
from tenter.photo.own_card.values import OwnCardValues, nominal_card
from tenter.photo.patches.chart import ChartReading
from tenter.photo.patches.correction import Correction

# 90 % half-widths in L*, a*, b*: what four inks cannot tell a camera of skin. Set on 120 rendered exposures with eight
# prints (studies/scenes/own_card_scene.py).
_INKS_ARE_NOT_SKIN = (0.0, 0.4, 0.6)


@dataclass(frozen=True, slots=True)
class OwnCardFinding:
    """What our own card in a photograph supports: its reading and fit, what is wrong, and the correction if any.

    shadow: what speaks against an even light on it; asked only of a card whose values are known.
    """

    reading: ChartReading | None
    calibration: Calibration | None
    reasons: tuple[reasons_of_photo.Reason, ...]
    correction: Correction | None
    shadow: ShadowFinding = NO_SHADOW


def look_for_own_card(
    photo: Photo,
    values: OwnCardValues | None,
    today: date | None = None,
    serial: int | None = None,
    evenly_lit: bool = False,
) -> OwnCardFinding:
    """Return what our own card supports; without values those kept for its serial are used, if there are any.

    serial: the number that a person named, if any; it must not contradict the card, and stands in for a strip that
    cannot be read. evenly_lit: a person has looked and says that no shadow, finger or glare lies on the card.

    Raises
    ------
    UnreadableInput
        If the values kept for the serial cannot be read.
    """
    named = serial if values is None else values.serial
    sighting = find_own_card(photo, named)
    reasons = own_card_reasons(sighting, named)
    if sighting.reading is None:
        return OwnCardFinding(None, None, tuple(reasons), None)
    number = sighting.serial or named
    if values is None and number is not None:
        values = kept_values(number)
    calibration = calibrate(nominal_card() if values is None else values.card, (sighting.reading,), photo)
    told = {reason.code for reason in reasons}
    reasons += [reason for reason in gate.chart_reasons(sighting.reading, calibration) if reason.code not in told]
    reasons += value_notes(values, number, today or date.today())
    shadow = _shadow(calibration, reasons, values, evenly_lit)
    reasons += shadow.reasons
    correction = None if calibration is None else _correction(calibration, values, shadow.doubt)
    return OwnCardFinding(sighting.reading, calibration, tuple(reasons), correction, shadow)


def _shadow(
    calibration: Calibration | None,
    reasons: Sequence[reasons_of_photo.Reason],
    values: OwnCardValues | None,
    evenly_lit: bool,
) -> ShadowFinding:
    """Return what speaks against an even light; asked of known patches alone, as wrong colours look like shadows."""
    if calibration is None or values is None or any(reason.refuses for reason in reasons):
        return NO_SHADOW
    return look_for_shadow(calibration, evenly_lit)


def _correction(calibration: Calibration, values: OwnCardValues | None, light_doubt: float) -> Correction:
    """Return the correction; what the card's values and its inks leave open is not seen by the fit, and is added."""
    if values is None:
        return replace(calibration.correction, basis=CalibrationBasis.RELATIVE)
    lightness, a, b = np.hypot(values.typical_half_width_90, _INKS_ARE_NOT_SKIN)
    doubt = float(lightness), float(a), float(b)
    return replace(calibration.correction, doubt=doubt, light_doubt=light_doubt)
