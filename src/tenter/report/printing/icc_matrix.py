"""An ICC profile of a matrix and three curves, which screens, colour spaces and photo labs have, as the two tables.

Source: ICC.1:2022, 8.3.3 and 8.4.3 (three-component matrix-based profiles), F.3 (the computation).
"""

import struct

import numpy as np

from tenter.arrays import FloatArray
from tenter.photo.decoders.profiles import UnusableProfile, curve_table
from tenter.report.printing.connection_space import LARGEST_XYZ, XYZ
from tenter.report.printing.icc_table import IccTable

MATRIX_TAGS = (b"rXYZ", b"gXYZ", b"bXYZ", b"rTRC", b"gTRC", b"bTRC")
_LEAST_VOLUME = 1e-3  # of the three colorants' matrix; less, and they are hardly three colours


def matrix_tables(tags: dict[bytes, bytes]) -> tuple[IccTable, IccTable]:
    """Return the tables from the device and to it; raises `UnusableProfile` where matrix or curves are none."""
    try:
        colorants = np.array([struct.unpack(">3i", tags[name][8:20]) for name in MATRIX_TAGS[:3]]).T / 65536
        curves = [curve_table(tags[name]) for name in MATRIX_TAGS[3:]]
    except (KeyError, struct.error, IndexError):
        raise UnusableProfile from None
    if abs(np.linalg.det(colorants)) < _LEAST_VOLUME or any(np.any(np.diff(curve) < 0) for curve in curves):
        raise UnusableProfile
    codes = np.linspace(0, 1, len(curves[0]))
    back = np.linalg.inv(colorants)

    def to_pcs(device: FloatArray) -> FloatArray:
        light = np.stack([np.interp(device[:, k], codes, curve) for k, curve in enumerate(curves)], axis=1)
        xyz: FloatArray = light @ colorants.T / LARGEST_XYZ
        return xyz

    def to_device(coded: FloatArray) -> FloatArray:
        light = np.clip(coded * LARGEST_XYZ @ back.T, 0, 1)
        return np.stack([np.interp(light[:, k], curve, codes) for k, curve in enumerate(curves)], axis=1)

    return IccTable(3, 3, (to_pcs,), XYZ), IccTable(3, 3, (to_device,), XYZ)
