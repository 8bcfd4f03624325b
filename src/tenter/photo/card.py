"""What stands in the picture to calibrate by, and what it makes of the picture: the one door to every kind of card."""

from dataclasses import dataclass
from enum import StrEnum

from tenter.errors import TenterError
from tenter.photo import gate
from tenter.photo.calibration import calibrate
from tenter.photo.chart import find_chart
from tenter.photo.correction import TRUE_SRGB, Correction
from tenter.photo.loading import Photo
from tenter.photo.reference import classic24
from tenter.photo.result import ChartFinding


class ChartKind(StrEnum):
    """What stands in the picture to calibrate by."""

    CLASSIC24 = "classic24"
    OWN = "own"
    GREY = "grey"
    PAPER = "paper"
    NONE = "none"


SUPPORTED = (ChartKind.CLASSIC24, ChartKind.NONE)


@dataclass(frozen=True, slots=True)
class CardSearch:
    """What was found, what is wrong with it, and the correction it supports: none, where it supports none."""

    finding: ChartFinding
    reasons: tuple[gate.Reason, ...]
    correction: Correction | None


def require_supported(kind: ChartKind) -> None:
    """Raise `TenterError` for a kind of card that cannot be used."""
    if kind not in SUPPORTED:
        known = " or ".join(k.value for k in SUPPORTED)
        raise TenterError(f"a photograph with chart {kind.value!r} is not supported yet; use {known}")


def look_for_card(photo: Photo, kind: ChartKind) -> CardSearch:
    """Return what the card in a photograph supports; raises as `require_supported`."""
    require_supported(kind)
    if kind is ChartKind.NONE:
        return CardSearch(ChartFinding(), (), TRUE_SRGB)
    return _classic24(photo)


def _classic24(photo: Photo) -> CardSearch:
    found = find_chart(photo)
    calibration = None if found is None else calibrate(classic24(), (found, found.turned_half()))
    reasons = tuple(gate.chart_reasons(found, calibration))
    if any(reason.code is gate.Code.CHART_NOT_FOUND for reason in reasons):
        found = calibration = None
    reading = calibration.reading if calibration else found
    corners = None if reading is None else (reading.corners_px + 0.5) * photo.reduction
    finding = ChartFinding(corners, calibration.leave_one_out if calibration else None)
    return CardSearch(finding, reasons, calibration.correction if calibration else None)
