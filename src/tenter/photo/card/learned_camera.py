"""What stays the same in one phone, learned from photographs of the card that it took in several lights.

A phone's tone curve is the same in every light, or nearly so, while one photograph tells it only as well as its patches
are read. Also learned is how much of the curve works on luminance, so that colours keep their ratios: by one photograph
alone that is told badly. The next photograph's fit expects what the earlier ones had.

The matrix is fitted anew in every photograph. A learned sensor or matrix, which was tried, gained nothing that held on
other phones (docs/studies/photo-study.md), and so it is neither kept nor used.

Spreads from three to six photographs are themselves unsure: each is drawn towards what phones do as a rule, as if some
photographs more had shown that (a scaled inverse chi-square prior; A. Gelman et al. 2013, "Bayesian Data Analysis", 3rd
edition, section 2.6, from memory).
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from tenter.arrays import FloatArray
from tenter.errors import TenterError, UnreadableInput
from tenter.language import N_, _, as_typed, ngettext
from tenter.photo.camera.tone_prior import ANY_PHONE, TonePrior
from tenter.photo.card.calibration import Calibration, calibrated_as

MIN_PHOTOGRAPHS, MAX_PHOTOGRAPHS = 3, 6  # pictures that a phone is learned from
_NAME = re.compile(r"[a-z0-9][a-z0-9_-]{0,39}")
# Spreads of one phone's curves from light to light, of contrast, lift and the part by luminance: over 32 invented
# phones .05, .08 and .15 in the mean of plain and processed pictures; they count as so many photographs.
_AS_A_RULE, _COUNTS_AS = (0.1, 0.1, 0.1), 4
_SEEN_AS_A_RULE = (0.06, 0.06)  # of contrast and lift where nothing is known of the phone: sharper, to notice a change
_AGREE = 0.3  # contrast or lift by which one photograph may leave the mean of the others that it is learned with
# Squared distance in standard deviations from which a phone has changed: above it lay 2 of 362 photographs of unchanged
# phones, and 42 of 43 by phones with another tone curve.
_CHANGED = 12.0
_REMEDY = N_("Learn the phone again")


@dataclass(frozen=True, slots=True)
class LearnedCamera:
    """A phone by its name: the tone curve that its next photograph is expected to have.

    tone: of the fit in which a part may work on luminance. alone: contrast and lift as they are fitted without all
    that; by it a change is noticed. photographs: how many it was learned from.

    Raises `TenterError` for a name that no file can have, and `UnreadableInput` for a curve that is not finite numbers
    or for fewer or more photographs than are learned from.
    """

    name: str
    learned_on: date
    photographs: int
    tone: TonePrior
    alone: TonePrior

    def __post_init__(self) -> None:
        require_name(self.name)
        numbers = (*self.tone.mean, *self.tone.sd, *self.alone.mean, *self.alone.sd)
        if not np.isfinite(numbers).all() or not self.tone.by_luminance or self.alone.by_luminance:
            raise UnreadableInput(
                _("camera {name}", name=self.name), _("its tone curve is not described by numbers"), _(_REMEDY)
            )
        if not MIN_PHOTOGRAPHS <= self.photographs <= MAX_PHOTOGRAPHS:
            raise UnreadableInput(
                _("camera {name}", name=self.name),
                _(
                    "it says that it was learned from {photographs} photographs; {least} to {most} will do",
                    photographs=self.photographs,
                    least=MIN_PHOTOGRAPHS,
                    most=MAX_PHOTOGRAPHS,
                ),
                _(_REMEDY),
            )

    def has_changed(self, calibration: Calibration) -> bool:
        """Return whether a photograph, calibrated as by any camera, is unlike those that were learned from."""
        missed = self.alone.missed((calibration.tone.contrast, calibration.tone.lift))
        return float(missed @ missed) > _CHANGED

    def reads(self, calibration: Calibration) -> Calibration:
        """Return the calibration drawn to what was learned."""
        return calibrated_as(calibration, self.tone)


def require_name(name: str) -> None:
    """Raise `TenterError` unless a camera may have a name: it is the name of a file as well."""
    if not _NAME.fullmatch(name):
        raise TenterError(
            _(
                "{name} cannot be the name of a phone; use small letters a to z, digits, - and _, at most 40 of "
                "them and a letter or digit first, as in my-phone",
                name=as_typed(name),
            )
        )


def learn_camera(name: str, calibrations: Sequence[Calibration], today: date) -> LearnedCamera:
    """Return what photographs of the card by one phone teach, each calibrated as by any camera.

    Raises
    ------
    TenterError
        If there are fewer than three or more than six, two are the same, or their tone curves disagree.
    """
    _require_some(calibrations)
    alone = np.array([(one.tone.contrast, one.tone.lift) for one in calibrations])
    _require_agreement(alone)
    n = len(calibrations)
    share = TonePrior(ANY_PHONE.mean, tuple(sd * n**0.5 for sd in ANY_PHONE.sd))  # once for all n, not n times
    tones = [calibrated_as(one, share).tone for one in calibrations]
    curves = np.array([(tone.contrast, tone.lift, tone.by_luminance) for tone in tones])
    return LearnedCamera(name, today, n, _expected(curves, _AS_A_RULE), _expected(alone, _SEEN_AS_A_RULE))


def _require_some(calibrations: Sequence[Calibration]) -> None:
    n = len(calibrations)
    if not MIN_PHOTOGRAPHS <= n <= MAX_PHOTOGRAPHS:
        raise TenterError(
            ngettext(
                "{count} photograph of the card can be used; {least} to {most} will do. Photograph the card with this "
                "phone by a window, in the shade, and by the lamps that you work by",
                "{count} photographs of the card can be used; {least} to {most} will do. Photograph the card with this "
                "phone by a window, in the shade, and by the lamps that you work by",
                n,
                least=MIN_PHOTOGRAPHS,
                most=MAX_PHOTOGRAPHS,
            )
        )
    if len({one.reading.code.tobytes() for one in calibrations}) < n:
        raise TenterError(_("the same photograph came twice; name each of them once, and take each in another light"))


def _require_agreement(curves: FloatArray) -> None:
    others = (curves.sum(axis=0) - curves) / (len(curves) - 1)
    if np.abs(curves - others).max() > _AGREE:
        raise TenterError(
            _(
                "the photographs have different tone curves, so they teach nothing that stays the same. Take "
                "all of them with one phone, one lens and the same app in plain photo mode, without HDR or "
                "filters"
            )
        )


def _expected(curves: FloatArray, as_a_rule: tuple[float, ...]) -> TonePrior:
    """Return what to expect of a further photograph's curve: it varies as those did, and their mean is unsure."""
    n, mean = len(curves), curves.mean(axis=0)
    squares = _COUNTS_AS * np.square(as_a_rule) + ((curves - mean) ** 2).sum(axis=0)
    sd = np.sqrt(squares / (_COUNTS_AS + n - 1) * (1 + 1 / n))
    return TonePrior(tuple(map(float, mean)), tuple(map(float, sd)))
