"""The two ways in which an ICC profile writes colours between its tables: as CIELAB or as XYZ, each from 0 to 1.

Source: ICC.1:2022, 6.3.4 (encodings of the profile connection space) and 7.2.16 (its white).
"""

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.spaces import lab_to_xyz, xyz_to_lab

# White of the profile connection space, ICC.1:2022, 7.2.16 (number from memory).
D50_XYZ = np.array([0.9642, 1.0, 0.8249])
LARGEST_XYZ = 1 + 32767 / 32768  # what 1 stands for: a u1Fixed15Number
_OFFSET = np.array([0.0, -128.0, -128.0])  # of encoded L*, a* and b*, ICC.1:2022, 6.3.4.2 (number from memory)


class Connection(Protocol):
    """How CIELAB (n, 3), D50/2° and relative to the medium, is written as numbers from 0 to 1, and read again."""

    def coded(self, lab: FloatArray) -> FloatArray:
        """Return the numbers (n, 3) of colours (n, 3); beyond 0 to 1 where the encoding has no place for a colour."""

    def lab(self, coded: FloatArray) -> FloatArray:
        """Return the colours (n, 3) of numbers (n, 3)."""


@dataclass(frozen=True, slots=True, eq=False)
class LabConnection:
    """CIELAB, D50/2° and relative to the medium: scale (3,) is what 1 is more than 0."""

    scale: FloatArray

    def coded(self, lab: FloatArray) -> FloatArray:
        """Return the numbers (n, 3), 0 to 1, of colours (n, 3)."""
        coded: FloatArray = (lab - _OFFSET) / self.scale
        return coded

    def lab(self, coded: FloatArray) -> FloatArray:
        """Return the colours (n, 3) of numbers (n, 3)."""
        lab: FloatArray = coded * self.scale + _OFFSET
        return lab


class XyzConnection:
    """XYZ with Y 1 for the medium's white."""

    def coded(self, lab: FloatArray) -> FloatArray:
        """Return the numbers (n, 3), 0 to 1, of CIELAB (n, 3), D50/2°."""
        return lab_to_xyz(lab, D50_XYZ) / LARGEST_XYZ

    def lab(self, coded: FloatArray) -> FloatArray:
        """Return CIELAB (n, 3), D50/2°, of numbers (n, 3)."""
        return xyz_to_lab(coded * LARGEST_XYZ, D50_XYZ)


LAB = LabConnection(np.array([100.0, 255.0, 255.0]))  # span of encoded L*, a* and b*, likewise
OLD_LAB = LabConnection(np.array([100.0 * 65535 / 65280, 65535 / 256, 65535 / 256]))  # of lut16Type, in every version
XYZ = XyzConnection()
