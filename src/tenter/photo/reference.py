"""What a card's patches are: their reflectances, and the colours they have under D65.

Cards differ: two of one make by about 1 ΔE00, and by more once they have faded. The classic card's figures here are the
mean of many.
"""

from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.measurement import D65_2
from tenter.colorimetry.reflectance import reflectance_to_xyz, resample
from tenter.errors import TenterError

PATCH_COUNT = 24  # of the classic card
WHITE_PATCH = 18
GREY_PATCHES = range(18, 24)


@dataclass(frozen=True, slots=True)
class CardReference:
    """The patches of a card: names (n,), reflectances (n, 81) on `WAVELENGTHS_NM`, and which of them is the white.

    xyz: (n, 3) under D65, 2° observer, Y = 1 for a perfect white; follows from the reflectances.
    """

    title: str
    names: tuple[str, ...]
    reflectances: FloatArray
    white: int
    xyz: FloatArray = field(init=False)

    def __post_init__(self) -> None:
        if self.reflectances.shape[0] != len(self.names) or not 0 <= self.white < len(self.names):
            raise TenterError(
                f"a card of {len(self.names)} patches came with {self.reflectances.shape[0]} reflectances and patch "
                f"{self.white} for its white; give one reflectance a patch, and the white among them"
            )
        xyz = reflectance_to_xyz(self.reflectances, D65_2.illuminant, D65_2.observer)
        xyz.setflags(write=False)
        object.__setattr__(self, "xyz", xyz)


def spectra_table(file: str) -> tuple[tuple[str, ...], FloatArray]:
    """Return the row names and the spectra (n, 81) on `WAVELENGTHS_NM` of one of the tables in data/."""
    text = (files("tenter.photo") / "data" / file).read_text(encoding="utf-8")
    rows = [line.split(",") for line in text.splitlines() if not line.startswith("#")]
    wavelengths_nm = np.array(rows[0][1:], dtype=float)
    values = resample(np.array([row[1:] for row in rows[1:]], dtype=float), wavelengths_nm)
    values.setflags(write=False)
    return tuple(row[0] for row in rows[1:]), values


@cache
def classic24() -> CardReference:
    """Return the classic 24-patch card in its own order, dark skin first and black last."""
    names, reflectances = spectra_table("classic24_reflectances_380-730nm_10nm.csv")
    return CardReference("classic 24-patch card, mean of 30", names, reflectances, WHITE_PATCH)
