"""The 3 × 3 matrix from camera to XYZ that is right for skin, learned from a card that holds no skin.

A matrix fitted to the card's dyes is off for skin, because a camera does not see as the eye does (metamerism): on
noise-free pictures that is nearly the whole error. But what the camera would have said to a *measured* skin spectrum
can be predicted: the spectrum is written as a sum of the card's own spectra, and the same sum of the card's camera
values is its camera value. The sum that errs least, over all lights and cameras that may have been used, is a Wiener
estimate. Then the matrix is fitted to card and skin together.

A card printed with four inks spans skin too poorly for that: there each lamp is judged for itself, and each channel
too (estimate.py). On the classic card's paints both do equally well, and the sum asks less.

The prior over lights and cameras: every CIE illuminant of the program but the high-pressure lamps, times bell-shaped
sensors of many centres and widths. No camera is named or assumed.

References
----------
W. K. Pratt, C. E. Mancill (1976), "Spectral estimation techniques for the spectral calibration of a color image
scanner", Applied Optics 15(1), 73-75: Wiener estimation from a few spectra.
"""

from functools import cache
from itertools import product

import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.illuminants import WAVELENGTHS_NM, illuminant_names, illuminant_power
from tenter.photo.camera.estimate import camera_answer
from tenter.photo.camera.skin import skin_to_fit, skin_to_fit_xyz
from tenter.photo.patches.reference import CardReference

_SENSOR_CENTRES_NM = ((440, 450, 460, 470), (525, 532, 540, 547), (585, 595, 605, 615))
_SENSOR_WIDTHS_NM = (20, 28, 36, 46)
_BLOCKED_NM = (405, 675)  # the ultraviolet and infrared filters of cameras
# A card differs from the printed figures, and a patch is read with noise: 3 % of its value, which also keeps the sum
# from leaning on small differences between large numbers. 1 % to 3 % do equally well; 10 % loses a third of the gain.
_PATCH_ERROR = 0.03
_CARD_WEIGHT = 0.3  # of the card against the skin spectra in the matrix fit; 0.15 to 0.7 differ by less than 0.1 ΔE00


@cache
def _response_covariance() -> FloatArray:
    """Return the sum of s sᵀ, shape (81, 81), over all s = light × sensor, each scaled to a sum of 1."""
    nm = WAVELENGTHS_NM
    window = 1 / (1 + np.exp((_BLOCKED_NM[0] - nm) / 6)) / (1 + np.exp((nm - _BLOCKED_NM[1]) / 7))
    centres = [centre for band in _SENSOR_CENTRES_NM for centre in band]
    bells: list[FloatArray] = [
        np.exp(-0.5 * ((nm - centre) / width) ** 2) for centre, width in product(centres, _SENSOR_WIDTHS_NM)
    ]
    lights = [illuminant_power(name) for name in illuminant_names() if not name.startswith("HP")]
    response: FloatArray = np.array([light * bell * window for light, bell in product(lights, bells)], dtype=np.float64)
    response /= response.sum(axis=1, keepdims=True)
    covariance: FloatArray = response.T @ response
    return covariance


def _weights_from_patches(spectra: FloatArray, card: CardReference, used: BoolArray) -> FloatArray:
    """Return the weights (m, n) that predict the camera's view of spectra (m, 81) from that of the n patches used."""
    patches, covariance = card.reflectances[used], _response_covariance()
    among = patches @ covariance @ patches.T
    across = spectra @ covariance @ patches.T
    with_noise: FloatArray = among * (1 + _PATCH_ERROR**2 * np.eye(len(among)))
    return np.asarray(np.linalg.solve(with_noise, across.T), dtype=np.float64).T


def _seen_of_skin(linear: FloatArray, card: CardReference, used: BoolArray) -> FloatArray:
    """Return what the camera would have said (m, 3) to the m skin spectra, by what it said to the patches used."""
    if card.four_inks:
        return skin_to_fit() @ camera_answer(linear, card, used)
    return _weights_from_patches(skin_to_fit(), card, used) @ linear


def skin_matrix(linear: FloatArray, card: CardReference, used: BoolArray) -> FloatArray:
    """Return the matrix M (3, 3) with XYZ under D65 = linear camera RGB @ M, fitted to the card and to skin.

    linear: (n, 3), linear camera values of the patches used, as if all stood where the white patch stands.
    used: (k,), which of the k patches of the card those are.
    """
    groups = (
        (_seen_of_skin(linear, card, used), skin_to_fit_xyz(), 1.0),
        (linear, card.xyz[used], _CARD_WEIGHT * (1.0 if card.skin_weights is None else card.skin_weights[used, None])),
    )
    # Equal steps of Lab are about equal steps of XYZ / Y^(2/3).
    scales = [weight / (xyz[:, 1:2] ** (2 / 3) + 0.01) / np.sqrt(len(xyz)) for _, xyz, weight in groups]
    camera = np.concatenate([rgb * scale for (rgb, _, _), scale in zip(groups, scales, strict=True)])
    target = np.concatenate([xyz * scale for (_, xyz, _), scale in zip(groups, scales, strict=True)])
    matrix: FloatArray = np.linalg.lstsq(camera, target, rcond=None)[0]
    return matrix
