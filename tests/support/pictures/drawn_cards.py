"""The classic card drawn under a light that is known."""

import numpy as np

from tenter.colorimetry.spaces import XYZ_TO_SRGB, encode_srgb
from tenter.photo.files.loading import Photo
from tenter.photo.patches.chart import read_patches
from tenter.photo.patches.reference import classic24

PITCH, PATCH, MARGIN = 40, 34, 20
COLUMN, ROW = np.arange(24) % 6, np.arange(24) // 6
FRAME_REFLECTANCE = 0.03


def places():
    """Where each pixel of the picture lies, in pitches from the card's corner."""
    y, x = np.mgrid[: 4 * PITCH + 2 * MARGIN, : 6 * PITCH + 2 * MARGIN]
    return (x + 0.5 - MARGIN) / PITCH, (y + 0.5 - MARGIN) / PITCH


def card_under(log_light, noise=0.01, sheen=None):
    """A picture of the card under a light, a function of the place in pitches, and its reading.

    sheen: what the frame throws back beside its own reflectance, likewise a function of the place.
    """
    x, y = places()
    linear = np.full((*x.shape, 3), 0.4)
    on_card = (x > -0.1) & (x < 6.1) & (y > -0.1) & (y < 4.1)
    linear[on_card] = FRAME_REFLECTANCE
    if sheen is not None:
        linear[on_card] += sheen(x, y)[on_card][:, None]
    half = PATCH / PITCH / 2
    for k, colour in enumerate(np.maximum(classic24().xyz @ XYZ_TO_SRGB.T, 0.002)):
        linear[(abs(x - COLUMN[k] - 0.5) < half) & (abs(y - ROW[k] - 0.5) < half)] = colour
    linear *= np.exp(log_light(x, y) - 0.3)[..., None]
    linear *= 1 + noise * np.random.default_rng(3).normal(size=linear.shape)
    photo = Photo((np.clip(encode_srgb(np.clip(linear, 0, 1)), 0, 1) * 255 + 0.5).astype(np.uint8))
    square = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * PATCH / 2
    centres = np.stack([COLUMN + 0.5, ROW + 0.5], axis=1) * PITCH + MARGIN - 0.5
    corners = np.array([(0, 0), (6, 0), (6, 4), (0, 4)]) * PITCH + MARGIN - 0.5
    return photo, read_patches(photo, corners, centres[:, None] + square)
