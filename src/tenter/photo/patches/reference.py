"""What a card's patches are: their reflectances, and the colours they have under D65.

Cards differ: two of one make by about 1 ΔE00, and by more once they have faded. The classic card's figures are the mean
of many, or one of the sets that were published as colours under one light. Colours alone do not say what a patch looks
like under another light: there each patch gets the spectrum of the mean card's patch, changed as smoothly as gives
exactly the published colour, and its colour under D65 follows from that.
"""

from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache
from importlib.resources import files

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.illuminants import Observer, white_point
from tenter.colorimetry.measurement import D65_2
from tenter.colorimetry.reflectance import recoloured, reflectance_to_xyz, resample
from tenter.colorimetry.spaces import lab_to_xyz
from tenter.errors import TenterError
from tenter.photo.patches.grid import CardGrid, full_grid

PATCH_COUNT = 24  # of the classic card
WHITE_PATCH = 18  # of 24, counted from 0 along the rows
GREY_PATCHES = range(18, 24)  # the last row, from white to black
CLASSIC_GRID = full_grid(6, 4)  # the classic card's, dark skin first and black last


class CardValues(StrEnum):
    """The published sets of figures of the classic card, by when they were published or which cards they are of."""

    MEAN_OF_30 = "mean-of-30"
    OF_1976 = "1976"
    OF_2005 = "2005"
    BEFORE_2014_11 = "before-2014-11"
    FROM_2014_11 = "from-2014-11"


# Those published as colours: the table in data/ and the illuminant; all under the 2° observer.
_PUBLISHED_COLOURS = {
    CardValues.OF_1976: ("classic24_1976.csv", "C"),
    CardValues.OF_2005: ("classic24_2005.csv", "D50"),
    CardValues.BEFORE_2014_11: ("classic24_before_2014_11.csv", "D50"),
    CardValues.FROM_2014_11: ("classic24_from_2014_11.csv", "D50"),
}


@dataclass(frozen=True, slots=True)
class CardReference:
    """The patches of a card: names (n,), reflectances (n, 81) on `WAVELENGTHS_NM`, and which of them is the white.

    grid: where they stand. skin_weights: (n,), how much each patch counts, beside the spectra of skin, where a camera
    is fitted to skin. four_inks: whether it was printed, so that its patches hardly span what skin reflects. xyz:
    (n, 3) under D65, 2° observer, Y = 1 for a perfect white; follows from the reflectances.

    Raises `TenterError` where there is not one reflectance a patch, or the white is none of them.
    """

    title: str
    names: tuple[str, ...]
    reflectances: FloatArray
    white: int
    grid: CardGrid = CLASSIC_GRID
    skin_weights: FloatArray | None = None
    four_inks: bool = False
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
    names, columns, figures = _table(file)
    values = resample(figures, np.array(columns, dtype=float))
    values.setflags(write=False)
    return names, values


@cache
def classic24(values: CardValues = CardValues.MEAN_OF_30) -> CardReference:
    """Return the classic 24-patch card in its own order, dark skin first and black last."""
    names, reflectances = spectra_table("classic24_reflectances_380-730nm_10nm.csv")
    if values is CardValues.MEAN_OF_30:
        return CardReference("classic 24-patch card, mean of 30", names, reflectances, WHITE_PATCH)
    file, illuminant = _PUBLISHED_COLOURS[values]
    coloured = recoloured(reflectances, _published_xyz(file, illuminant), illuminant, Observer.CIE_1931_2)
    coloured.setflags(write=False)
    return CardReference(f"classic 24-patch card, figures {values}", names, coloured, WHITE_PATCH)


def _published_xyz(file: str, illuminant: str) -> FloatArray:
    """Return the XYZ (24, 3) of a table of xyY or CIELAB in data/."""
    _, columns, figures = _table(file)
    if columns == ["x", "y", "Y"]:
        x, y, luminance = figures.T
        return np.stack([x * luminance / y, luminance, (1 - x - y) * luminance / y], axis=1)
    return lab_to_xyz(figures, white_point(illuminant, Observer.CIE_1931_2))


def _table(file: str) -> tuple[tuple[str, ...], list[str], FloatArray]:
    """Return the row names, the column names and the figures of a table in data/."""
    text = (files("tenter.photo") / "data" / file).read_text(encoding="utf-8")
    rows = [line.split(",") for line in text.splitlines() if not line.startswith("#")]
    return tuple(row[0] for row in rows[1:]), rows[0][1:], np.array([row[1:] for row in rows[1:]], dtype=float)
