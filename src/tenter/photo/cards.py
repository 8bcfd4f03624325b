"""What stands in the picture to calibrate by, and what it makes of the picture: the one door to every kind of card."""

from dataclasses import dataclass, replace
from enum import StrEnum

from tenter.arrays import FloatArray
from tenter.errors import TenterError
from tenter.language import N_, _, as_typed, as_written, local_number
from tenter.photo import reasons as reasons_of_photo
from tenter.photo.card import gate
from tenter.photo.card.calibration import Calibration, calibrate, fit_error
from tenter.photo.card.copies import copy_reasons
from tenter.photo.card.evidence import card_evidence
from tenter.photo.card.finding import ChartFinding
from tenter.photo.card.learned_camera import LearnedCamera
from tenter.photo.card.neutral import (
    GREY_ERROR,
    PAPER_ERROR,
    PAPER_REFLECTANCE,
    corners_of,
    look_for_neutral,
    neutral_correction,
)
from tenter.photo.card.poor_light import poor_light
from tenter.photo.card.shadow import NO_SHADOW, ShadowFinding, look_for_shadow
from tenter.photo.files.loading import Photo
from tenter.photo.own_card.layout import serial_bits
from tenter.photo.own_card.search import look_for_own_card
from tenter.photo.own_card.values import OwnCardValues
from tenter.photo.patches.chart import find_chart
from tenter.photo.patches.correction import TRUE_SRGB, Correction
from tenter.photo.patches.reference import CardValues, classic24
from tenter.photo.places import Box

GREY_REFLECTANCE = 0.18  # of the usual grey card
# How much nearer another set must fit to be pointed out. On 100 rendered cards, 20 of each set, none came nearer than
# 0.93 times and 0.16 when the card's own set was chosen.
_CLEARLY_NEARER, _CLEARLY_NEARER_DELTA_E = 0.85, 0.2


class ChartKind(StrEnum):
    """What stands in the picture to calibrate by."""

    CLASSIC24 = "classic24"
    OWN = "own"
    GREY = "grey"
    PAPER = "paper"
    NONE = "none"


_OF_PATCHES = frozenset({ChartKind.CLASSIC24, ChartKind.OWN})
_NEUTRAL_NAMES = {ChartKind.GREY: N_("grey card"), ChartKind.PAPER: N_("sheet of white paper")}


@dataclass(frozen=True, slots=True)
class CardChoice:
    """What is said of the card beforehand.

    values: which published figures the classic card has. grey: reflectance of a grey card, 0.03 to 1. at_px: where a
    grey card or a paper lies, in pixels of the upright original: left, top, width, height. own: the true values of a
    card of ours; without them, those kept for the serial on it. evenly_lit: a person has looked at the card of patches
    and says that no shadow, finger or glare lies on it. serial: the number that our own card is said to have; another
    one in the picture is refused. camera: the phone that took the picture, where it was learned; it serves the classic
    card.

    Raises `TenterError` for what does not serve a card of this kind, or is out of its range.
    """

    kind: ChartKind = ChartKind.CLASSIC24
    values: CardValues = CardValues.MEAN_OF_30
    grey: float = GREY_REFLECTANCE
    at_px: Box | None = None
    own: OwnCardValues | None = None
    evenly_lit: bool = False
    serial: int | None = None
    camera: LearnedCamera | None = None

    def __post_init__(self) -> None:
        if not 0.03 <= self.grey <= 1:
            raise TenterError(
                _(
                    "a grey card with a reflectance of {grey} came; 0.03 to 1 will do, and 0.18 is the usual one",
                    grey=as_written(f"{self.grey:g}"),
                )
            )
        if self.at_px is not None and self.kind not in _NEUTRAL_NAMES:
            raise TenterError(
                _(
                    "the place of the card was given with chart {kind}; it serves grey and paper",
                    kind=as_typed(self.kind.value),
                )
            )
        if self.own is not None and self.kind is not ChartKind.OWN:
            raise TenterError(
                _(
                    "a card's own values were given with chart {kind}; they serve chart own",
                    kind=as_typed(self.kind.value),
                )
            )
        if self.evenly_lit and self.kind not in _OF_PATCHES:
            raise TenterError(
                _(
                    "chart {kind} was called evenly lit; that is asked of charts classic24 and own only",
                    kind=as_typed(self.kind.value),
                )
            )
        if self.serial is not None:
            self._require_own_serial(self.serial)
        if self.camera is not None and self.kind is not ChartKind.CLASSIC24:
            raise TenterError(
                _(
                    "a learned camera was named with chart {kind}; it serves chart classic24. Leave one of them out",
                    kind=as_typed(self.kind.value),
                )
            )
        if self.at_px is not None and min(self.at_px[2:]) <= 0:
            raise TenterError(
                _("the place of the card has no width or height; give left, top, width and height in pixels")
            )

    def _require_own_serial(self, serial: int) -> None:
        if self.kind is not ChartKind.OWN:
            raise TenterError(
                _("a card's number was given with chart {kind}; it serves chart own", kind=as_typed(self.kind.value))
            )
        if self.own is not None:
            raise TenterError(_("a card's number and a card's values were given; give one of them"))
        serial_bits(serial)


@dataclass(frozen=True, slots=True)
class CardSearch:
    """What was found, what is wrong with it, and the correction it supports: none, where it supports none.

    calibration: of a card of patches, what the correction was made from.
    """

    finding: ChartFinding
    reasons: tuple[reasons_of_photo.Reason, ...]
    correction: Correction | None
    calibration: Calibration | None = None


def choice_of(chart: ChartKind | CardChoice) -> CardChoice:
    """Return the choice that a kind of card by itself stands for, or the choice as it came."""
    return CardChoice(chart) if isinstance(chart, ChartKind) else chart


def look_for_card(photo: Photo, chart: ChartKind | CardChoice) -> CardSearch:
    """Return what the card in a photograph supports.

    Raises
    ------
    UnreadableInput
        If our own card is looked for, and the values kept for its serial cannot be read.
    """
    choice = choice_of(chart)
    if choice.kind is ChartKind.NONE:
        return CardSearch(ChartFinding(), (), TRUE_SRGB)
    found = _found(photo, choice)
    if found.correction is None:
        return found
    return replace(found, correction=replace(found.correction, jpeg_step=photo.jpeg_step))


def _found(photo: Photo, choice: CardChoice) -> CardSearch:
    if choice.kind in _NEUTRAL_NAMES:
        return _neutral(photo, choice)
    if choice.kind is ChartKind.OWN:
        return _own(photo, choice)
    return _classic24(photo, choice)


def _own(photo: Photo, choice: CardChoice) -> CardSearch:
    found = look_for_own_card(photo, choice.own, serial=choice.serial, evenly_lit=choice.evenly_lit)
    corners = None if found.reading is None else (found.reading.corners_px + 0.5) * photo.reduction
    errors = found.calibration.leave_one_out if found.calibration else None
    edge = _edge_px(found.calibration, found.shadow, photo)
    finding = ChartFinding(corners, errors, method="own card by its corner marks", suspected_edge_px=edge)
    return CardSearch(finding, found.reasons, found.correction, found.calibration)


def _neutral(photo: Photo, choice: CardChoice) -> CardSearch:
    at = None if choice.at_px is None else corners_of(choice.at_px, photo.reduction)
    reading, reasons = look_for_neutral(photo, _(_NEUTRAL_NAMES[choice.kind]), at)
    if reading is None:
        return CardSearch(ChartFinding(), tuple(reasons), None)
    corners = (reading.corners_px + 0.5) * photo.reduction
    finding = ChartFinding(corners, method=f"{choice.kind} by {'its place' if at is not None else 'its outline'}")
    grey = choice.kind is ChartKind.GREY
    reflectance, error = (choice.grey, GREY_ERROR) if grey else (PAPER_REFLECTANCE, PAPER_ERROR)
    return CardSearch(finding, tuple(reasons), neutral_correction(reading, reflectance, error))


def _classic24(photo: Photo, choice: CardChoice) -> CardSearch:
    found = find_chart(photo)
    calibration = None if found is None else calibrate(classic24(choice.values), (found, found.turned_half()), photo)
    reasons = gate.chart_reasons(found, calibration)
    if any(reason.code is reasons_of_photo.Code.CHART_NOT_FOUND for reason in reasons):
        found = calibration = None
    shadow, evidence = NO_SHADOW, None
    if calibration and not any(reason.refuses for reason in reasons):
        shadow = look_for_shadow(calibration, choice.evenly_lit)
        evidence = card_evidence(calibration)
        reasons += [*shadow.reasons, *_other_values(calibration, choice.values)]
        if not any(reason.refuses for reason in shadow.reasons):  # what lies on a card changes its colours as well
            reasons += copy_reasons(calibration, evidence)
    reading = calibration.reading if calibration else found
    corners = None if reading is None else (reading.corners_px + 0.5) * photo.reduction
    finding = ChartFinding(corners, suspected_edge_px=_edge_px(calibration, shadow, photo))
    if calibration is None:
        return CardSearch(finding, tuple(reasons), None)
    learned, changed = _as_learned(calibration, choice.camera)
    reasons += changed
    finding = replace(finding, leave_one_out=learned.leave_one_out)
    if choice.camera is not None and not changed:
        finding = replace(finding, method=f"{finding.method}, read as camera {choice.camera.name}")
    # A learned phone's smaller error makes no interval narrower: that has not been tried on enough photographs.
    error = max(learned.correction.error, calibration.correction.error)
    correction = replace(learned.correction, error=error, light_doubt=shadow.doubt, poor_light=poor_light(evidence))
    return CardSearch(finding, tuple(reasons), correction, calibration)


def _as_learned(
    calibration: Calibration, camera: LearnedCamera | None
) -> tuple[Calibration, list[reasons_of_photo.Reason]]:
    """Return the calibration to read colours by, and a note where the camera is not as it was learned.

    What is said of card and light rests on the calibration without it: the limits were set on such ones.
    """
    if camera is None:
        return calibration, []
    if camera.has_changed(calibration):
        return calibration, [reasons_of_photo.camera_changed(camera.name, camera.learned_on)]
    return camera.reads(calibration), []


def _edge_px(calibration: Calibration | None, shadow: ShadowFinding, photo: Photo) -> FloatArray | None:
    """Return the outline (n, 2) of an edge of light in pixels of the upright original, if one is suspected."""
    if calibration is None or shadow.edge is None:
        return None
    outline: FloatArray = (shadow.edge.in_picture(calibration) + 0.5) * photo.reduction
    return outline


def _other_values(calibration: Calibration, chosen: CardValues) -> list[reasons_of_photo.Reason]:
    """Return a note when another set of the classic card's figures fits clearly better than the chosen one."""
    errors = {values: fit_error(classic24(values), calibration.reading, calibration.light) for values in CardValues}
    nearest = min(errors, key=lambda values: errors[values])
    if not errors[nearest] < min(_CLEARLY_NEARER * errors[chosen], errors[chosen] - _CLEARLY_NEARER_DELTA_E):
        return []
    return [
        reasons_of_photo.Reason(
            reasons_of_photo.Code.OTHER_CARD_VALUES,
            _(
                "The card fits the figures {nearest} clearly better (ΔE00 {error}) than the chosen ones, {chosen} "
                "({chosen_error}). Look on the card for the year it was made, and choose its figures.",
                nearest=nearest,
                error=local_number(errors[nearest], 1),
                chosen=chosen,
                chosen_error=local_number(errors[chosen], 1),
            ),
        )
    ]
