"""What a printer would make of colours, by its ICC profile: whether it reaches them, what it misses, and what is near.

Relative colorimetry takes the paper for white, as eyes do that see nothing else. Beside a cloth the paper's own tint
counts as well, which is said apart.
"""

from dataclasses import dataclass
from itertools import product

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.colorimetry.adaptation import Transform, adapt
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import SRGB_WHITE, lab_to_xyz, xyz_to_lab
from tenter.consultation.words.difference_words import SAME_BELOW
from tenter.report.printing.connection_space import D50_XYZ
from tenter.report.printing.nearest import searched
from tenter.report.printing.printer_profile import PrinterProfile

REACHED = SAME_BELOW  # ΔE00 up to which a colour counts as printable
_STARTS = 1  # nodes of the grid that a search begins at
_GRID_LEVELS = {2: 20, 3: 10, 4: 6, 5: 3}  # of each channel, by how many there are


@dataclass(frozen=True, slots=True)
class SoftProof:
    """One colour on one printer. Labs (3,) are D50/2°, relative to the paper.

    printed: what the printer makes of it by relative colorimetry, and miss, its ΔE00 from what was asked. beside: the
    ΔE00 with the paper's own colour counted. nearest: the nearest colour that paper and inks reach, and nearest_miss,
    its ΔE00.
    """

    asked: FloatArray
    printed: FloatArray
    miss: float
    beside: float
    nearest: FloatArray
    nearest_miss: float

    @property
    def printable(self) -> bool:
        """Whether paper and inks reach the colour."""
        return self.nearest_miss <= REACHED


def soft_proofs(profile: PrinterProfile, lab: FloatArray, sent: FloatArray | None = None) -> tuple[SoftProof, ...]:
    """Return what a printer makes of colours: CIELAB (n, 3) under D65/2°, carried to D50 as sRGB is (Bradford).

    sent (n, 3): the same of what is sent instead, where a file cannot say the colours as strong as they are.
    """
    asked = connection_lab(lab)
    device = profile.to_device.from_lab(asked if sent is None else connection_lab(sent))
    printed = profile.to_lab.to_lab(device)
    nearest = profile.to_lab.to_lab(_nearest(profile, asked, device))
    beside = delta_e_2000(with_paper(printed, profile), asked)
    misses, least = steady(delta_e_2000(printed, asked)), steady(delta_e_2000(nearest, asked))
    return tuple(
        SoftProof(asked[k], printed[k], float(misses[k]), float(beside[k]), nearest[k], float(least[k]))
        for k in range(len(asked))
    )


def connection_lab(lab: FloatArray) -> FloatArray:
    """Return CIELAB (n, 3) under D50/2° of CIELAB (n, 3) under D65/2°, by the Bradford transform."""
    xyz = adapt(lab_to_xyz(lab, SRGB_WHITE), SRGB_WHITE, D50_XYZ, Transform.BRADFORD)
    return xyz_to_lab(xyz, D50_XYZ)


def with_paper(lab: FloatArray, profile: PrinterProfile) -> FloatArray:
    """Return CIELAB (n, 3) relative to a perfect white of CIELAB (n, 3) relative to the paper (ICC-absolute)."""
    return xyz_to_lab(lab_to_xyz(lab, D50_XYZ) * (profile.white / D50_XYZ), D50_XYZ)


def printed_through(profile: PrinterProfile, lab: FloatArray) -> FloatArray:
    """Return what a printer makes of colours that are sent through its profile, beside a perfect white.

    CIELAB (n, 3) under D65/2° is sent, and CIELAB (n, 3) under D65/2° is returned, by relative colorimetry.
    """
    device = profile.to_device.from_lab(connection_lab(lab))
    printed = with_paper(profile.to_lab.to_lab(device), profile)
    return xyz_to_lab(adapt(lab_to_xyz(printed, D50_XYZ), D50_XYZ, SRGB_WHITE, Transform.BRADFORD), SRGB_WHITE)


def paper_lab(profile: PrinterProfile) -> FloatArray:
    """Return CIELAB (3,) of the paper, D50/2°, relative to a perfect white."""
    return xyz_to_lab(profile.white, D50_XYZ)


def _nearest(profile: PrinterProfile, asked: FloatArray, own: FloatArray) -> FloatArray:
    """Return the device values (n, channels) whose colour is nearest by ΔE00.

    The search begins at the profile's own answer and at the best of a coarse grid: far from what a printer reaches,
    one beginning may end in a hollow. There it may still stay a few per cent of the miss above the least.
    """
    starts = np.stack([own, *_of_grid(profile, asked)])
    many = np.tile(asked, (len(starts), 1))
    found, misses = searched(profile.to_lab.to_lab, many, starts.reshape(-1, profile.channels), profile.most_ink)
    best = np.argmin(misses.reshape(len(starts), -1), axis=0)
    nearest: FloatArray = found.reshape(starts.shape)[best, np.arange(len(asked))]
    return nearest


def _of_grid(profile: PrinterProfile, asked: FloatArray) -> list[FloatArray]:
    """Return the device values of a coarse grid that come nearest, the nearest first."""
    levels = [np.linspace(0, 1, _GRID_LEVELS[min(profile.channels, 5)])] * profile.channels
    grid = np.array(list(product(*levels)))
    grid = grid[grid.sum(axis=1) <= profile.most_ink]
    misses = steady(delta_e_2000(profile.to_lab.to_lab(grid), asked[:, None]))
    order = np.argsort(misses, axis=1, kind="stable")
    return [grid[order[:, k]] for k in range(_STARTS)]
