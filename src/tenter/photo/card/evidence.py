"""What the patches of the classic card say of themselves and of the lamp: how well each account of them foretells them.

Two accounts are weighed, each under every lamp of the program and by all the cameras there may be (camera/prior.py):

    genuine   the card's paints, every patch a little off its figures
    copy      one of many invented prints of the card (data/, made by write_copies.py), a little off likewise

The evidence is that of camera/estimate.py; each channel is scaled by the lightest patch, so the white balance is free.
"""

from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.reflectance import resample
from tenter.photo.camera.estimate import PatchErrors, log_evidence
from tenter.photo.camera.prior import lamp_priors
from tenter.photo.card.calibration import Calibration, patches_at_white
from tenter.photo.card.patch_fit import MIN_PATCHES
from tenter.photo.patches.reference import classic24

# Errors of the patches as in camera/estimate.py, wider: real cards age, and a phone's curve is more than two numbers.
_OWN, _SHARED, _NOISE = 0.04, 0.08, 0.004


@dataclass(frozen=True, slots=True)
class CardEvidence:
    """Log evidence under each lamp (k,), but for a constant, that a card is genuine, and that it is a copy.

    lamps: CIE names, and "any" for a lamp that is none of them.
    """

    lamps: tuple[str, ...]
    genuine: FloatArray
    copied: FloatArray

    @property
    def log_odds_of_copy(self) -> float:
        """The logarithm of the evidence for a copy over that for the genuine card, whatever the lamp."""
        return float(np.logaddexp.reduce(self.copied) - np.logaddexp.reduce(self.genuine))

    @property
    def lamp_probabilities(self) -> dict[str, float]:
        """The probability of each lamp, if the card is genuine and all were alike before; they sum to 1."""
        probabilities = np.exp(self.genuine - np.logaddexp.reduce(self.genuine))
        return {lamp: float(p) for lamp, p in zip(self.lamps, probabilities, strict=True)}


@dataclass(frozen=True, slots=True)
class _Account:
    """Under one lamp, what the 24 patches show, (24, 3), and by how much the unknowns move them, (k, 24, 3).

    prints: (m, 24, 3), what the invented copies show.
    """

    mean: FloatArray
    modes: FloatArray
    prints: FloatArray


def card_evidence(calibration: Calibration) -> CardEvidence | None:
    """Return what a card's patches say; None with too few patches."""
    clean = calibration.used & ~calibration.reading.crushed.any(axis=1)
    if np.count_nonzero(clean) < MIN_PATCHES:
        return None
    linear = patches_at_white(calibration)[clean[calibration.used]]
    lightest = int(classic24().reflectances[clean].mean(axis=1).argmax())
    seen = linear / linear[lightest]  # whatever the white balance: each channel alone
    errors = PatchErrors.of(seen, _OWN, _SHARED, _NOISE)
    genuine, copied = zip(*(_evidence(account, clean, seen, lightest, errors) for account in _accounts()), strict=True)
    lamps = tuple(prior.lamp for prior in lamp_priors())
    return CardEvidence(lamps, np.array(genuine), np.array(copied))


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
    """Return reflectances, 0-1, (k, 24, 81) of invented prints of the classic card, on `WAVELENGTHS_NM`."""
    with (files("tenter.photo") / "data" / "classic24_invented_copies.npz").open("rb") as file, np.load(file) as kept:
        found = resample(kept["reflectance"].astype(float) / kept["steps"], kept["wavelengths_nm"].astype(float))
    found.setflags(write=False)
    return found
