"""Black or white on a colour: the one that can be read, at a contrast of at least 4.5 to 1 on any colour."""

from enum import StrEnum

import numpy as np

from tenter.colorimetry.spaces import decode_srgb

# Relative luminance on which black and white are read alike: (L + 0.05)² = 0.05 · 1.05, WCAG 2.2, contrast ratio.
_ALIKE = (0.05 * 1.05) ** 0.5 - 0.05
_LUMINANCE = np.array([0.2126, 0.7152, 0.0722])  # of red, green and blue: WCAG 2.2, relative luminance


class Ink(StrEnum):
    """What is written with."""

    DARK = "dark"
    LIGHT = "light"


def ink_on(shown: str) -> Ink:
    """Return the ink for a colour '#rrggbb': the one of higher contrast by WCAG 2.2."""
    codes = np.array([int(shown[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    return Ink.DARK if float(_LUMINANCE @ decode_srgb(codes)) >= _ALIKE else Ink.LIGHT
