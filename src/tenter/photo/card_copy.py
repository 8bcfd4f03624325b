"""Whether what was found is the classic card, or a print or another make that only looks like it.

A copy has the card's colours to the eye, but other dyes. A camera sees it otherwise, and skin is read wrong by it. The
mean error does not tell: genuine cards under fluorescent light miss by as much as copies in daylight. The pattern does.
Two accounts of the patches are compared, each over all lamps and the cameras there may be (camera_prior.py):

    genuine   the card's paints, every patch a little off its figures
    copy      one of many invented prints of the card (data/, made by bench/write_copies.py), a little off likewise

What is compared is the evidence for each, as in camera_estimate.py. No real copy was used to make the prints.
"""

from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.reflectance import resample
from tenter.photo.calibration import MIN_PATCHES, Calibration, patches_at_white
from tenter.photo.camera_estimate import PatchErrors, log_evidence
from tenter.photo.camera_prior import lamp_priors
from tenter.photo.gate import Code, Reason
from tenter.photo.reference import classic24

# Errors of the patches as in camera_estimate.py, wider: real cards age, and a phone's curve is more than two numbers.
_OWN, _SHARED, _NOISE = 0.04, 0.08, 0.004
# Log odds from which it is a copy; less will do where the patches agree badly as well (mean ΔE00, each left out). Of
# ten clear real photographs of genuine cards the worst have 23 at 3.5 and 20 at 3.0, simulated genuine ones under seven
# lamps 12 at 3.3; the one real print has 89 at 4.4. Of 98 simulated prints, ΔE00 9.6 off on average, 96 are refused.
_COPY, _DOUBTFUL, _ROUGH_LEAVE_ONE_OUT = 35.0, 8.0, 3.8


@dataclass(frozen=True, slots=True)
class _Account:
    """Under one lamp, what the 24 patches show, (24, 3), and by how much the unknowns move them, (k, 24, 3).

    prints: (m, 24, 3), what the invented copies show.
    """

    mean: FloatArray
    modes: FloatArray
    prints: FloatArray


def copy_reasons(calibration: Calibration) -> list[Reason]:
    """Return a refusal where a card's patches are rather those of a copy."""
    odds = log_odds_of_copy(calibration)
    rough = calibration.leave_one_out.mean > _ROUGH_LEAVE_ONE_OUT
    if odds is None or odds < (_DOUBTFUL if rough else _COPY):
        return []
    return [
        Reason(
            Code.CARD_OTHER,
            "This is not the 24-patch card itself. Its colours look the same to the eye but not to the camera, so it "
            "is a print or a copy, or it has faded badly, or the camera app recoloured the picture. Skin would be "
            "read wrong by it. Use an original card; for a card that Tenter printed, choose our own card.",
        )
    ]


def log_odds_of_copy(calibration: Calibration) -> float | None:
    """Return the logarithm of the evidence for a copy over that for the genuine card; None with too few patches."""
    clean = calibration.used & ~calibration.reading.crushed.any(axis=1)
    if np.count_nonzero(clean) < MIN_PATCHES:
        return None
    linear = patches_at_white(calibration)[clean[calibration.used]]
    lightest = int(classic24().reflectances[clean].mean(axis=1).argmax())
    seen = linear / linear[lightest]  # whatever the white balance: each channel alone
    errors = PatchErrors.of(seen, _OWN, _SHARED, _NOISE)
    genuine, copied = zip(*(_evidence(account, clean, seen, lightest, errors) for account in _accounts()), strict=True)
    return float(np.logaddexp.reduce(copied) - np.logaddexp.reduce(genuine))


def _evidence(
    account: _Account, clean: BoolArray, seen: FloatArray, lightest: int, errors: PatchErrors
) -> tuple[float, float]:
    """Return the log evidence, under one lamp, for the genuine card and for a copy of it."""

    def scaled(patches: FloatArray) -> FloatArray:
        used = patches[..., clean, :]
        found: FloatArray = used / used[..., lightest : lightest + 1, :]
        return found

    modes, mean = account.modes[:, clean] / account.mean[clean][lightest], scaled(account.mean)
    prints = scaled(account.prints)
    around = prints.mean(axis=0)
    prints_apart = (prints - around) / np.sqrt(len(prints))
    genuine, _ = log_evidence(seen - mean, modes, errors)
    copied, _ = log_evidence(seen - around, np.concatenate([modes, prints_apart]), errors)
    return genuine, copied


@cache
def _accounts() -> tuple[_Account, ...]:
    paints, prints = classic24().reflectances, invented_copies()
    return tuple(
        _Account(
            paints @ prior.mean,
            np.tensordot(prior.modes, paints, axes=(1, 1)).transpose(0, 2, 1),
            prints @ prior.mean,
        )
        for prior in lamp_priors()
    )


@cache
def invented_copies() -> FloatArray:
    """Return reflectances (copies, 24, 81) of invented prints of the classic card."""
    with (files("tenter.photo") / "data" / "classic24_invented_copies.npz").open("rb") as file, np.load(file) as kept:
        found = resample(kept["reflectance"].astype(float) / kept["steps"], kept["wavelengths_nm"].astype(float))
    found.setflags(write=False)
    return found
