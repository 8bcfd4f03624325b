"""A printer's ICC profile: what it makes of a colour, which colours it reaches, and how white its paper is.

Colours are CIELAB of the profile connection space, D50 and the 2° observer, relative to the paper: L* 100 is the paper.
Source: ICC.1:2022, 7.2 (header), 9.2 (tags).
"""

import struct
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.errors import UnreadableInput
from tenter.given import given_path
from tenter.photo.profiles import UnusableProfile, tags_of
from tenter.report.printing.icc_table import Table, read_table

D50_XYZ = np.array([0.9642, 1.0, 0.8249])  # of the connection space, ICC.1:2022, 7.2.16
_ASK = "Ask the printer's or paper's maker, or whoever measured it, for its ICC profile (.icc or .icm)."
_CLASSES = {
    b"mntr": "a screen",
    b"scnr": "a camera or scanner",
    b"spac": "a colour space",
    b"link": "two devices in one",
    b"abst": "an effect",
    b"nmcl": "named colours",
}
_LARGEST = 64 << 20
_GREYS = np.array([[30.0, 0.0, 0.0], [50.0, 0.0, 0.0], [75.0, 0.0, 0.0]])
_CONTRADICTION = 20.0  # ΔE00 by which a printable grey may come back as another colour: more, and the tables are junk
_GRID = np.stack(np.meshgrid(*[np.linspace(*ends, 9) for ends in ((0, 100), (-80, 80), (-80, 80))]), -1).reshape(-1, 3)


@dataclass(frozen=True, slots=True, eq=False)
class PrinterProfile:
    """to_device and to_lab are the profile's tables of relative colorimetry. white: XYZ (3,) of the paper, Y 1.

    most_ink: the largest sum of device values that the profile itself asks for.
    """

    to_device: Table
    to_lab: Table
    white: FloatArray
    most_ink: float

    @property
    def channels(self) -> int:
        """How many device values there are: 3 for a printer that takes RGB, 4 for CMYK."""
        return self.to_device.outputs


def profile_of_file(path: str | Path) -> PrinterProfile:
    """Return the printer's profile of a file; raises `UnreadableInput` as `read_printer_profile` does."""
    source = given_path(path)
    try:
        with source.open("rb") as file:
            data = file.read(_LARGEST + 1)
    except OSError as problem:
        raise UnreadableInput(str(path), f"the file cannot be read ({problem.strerror})", _ASK) from None
    if len(data) > _LARGEST:
        raise UnreadableInput(str(path), f"a printer's profile is no larger than {_LARGEST >> 20} MB", _ASK)
    return read_printer_profile(data, str(path))


def read_printer_profile(data: bytes, source: str = "the profile") -> PrinterProfile:
    """Return the profile of a printer.

    Raises
    ------
    UnreadableInput
        If it is no ICC profile, not a printer's, or cannot be used; and what would do.
    """
    if len(data) < 132 or data[36:40] != b"acsp":
        raise UnreadableInput(source, "this is no ICC profile", _ASK)
    if data[12:16] != b"prtr":
        told = _CLASSES.get(data[12:16], "something unknown")
        raise UnreadableInput(source, f"this profile is of {told}, not of a printer", _ASK)
    if data[20:24] != b"Lab ":
        raise UnreadableInput(source, "this profile does not speak of CIELAB, so it cannot be read here", _ASK)
    try:
        return _checked(tags_of(data), source)
    except (UnusableProfile, struct.error, ValueError):
        raise UnreadableInput(
            source, "this profile is damaged or incomplete", "Load it from where it came once more"
        ) from None


def _checked(tags: dict[bytes, bytes], source: str) -> PrinterProfile:
    forward, backward = (_table(tags, names, source) for names in ((b"A2B1", b"A2B0"), (b"B2A1", b"B2A0")))
    if (backward.inputs, forward.outputs) != (3, 3) or backward.outputs != forward.inputs:
        raise UnusableProfile
    if backward.outputs == 1:
        raise UnreadableInput(source, "this profile is of a printer of greys alone", _ASK)
    if b"wtpt" not in tags:
        raise UnusableProfile
    white = np.array(struct.unpack(">3i", tags[b"wtpt"][8:20])) / 65536
    if not np.all((white > 0.2) & (white < 1.2)):
        raise UnusableProfile
    back = forward.to_lab(backward.from_lab(_GREYS))
    if float(np.median(delta_e_2000(back, _GREYS))) > _CONTRADICTION:
        raise UnreadableInput(source, "the two tables of this profile contradict each other", _ASK)
    most = float(backward.from_lab(_GRID).sum(axis=1).max())
    return PrinterProfile(backward, forward, white, most)


def _table(tags: dict[bytes, bytes], names: tuple[bytes, bytes], source: str) -> Table:
    name = next((name for name in names if name in tags), None)
    if name is None:
        raise UnreadableInput(source, "this profile has no tables for printing", _ASK)
    return read_table(tags[name])
