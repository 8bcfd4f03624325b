"""A printer's ICC profile: what it makes of a colour, which colours it reaches, and how white its paper is.

Colours are CIELAB of the profile connection space, D50 and the 2° observer, relative to the paper: L* 100 is the paper.
Source: ICC.1:2022, 7.2 (header), 9.2 (tags).
"""

import struct
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.errors import UnreadableInput
from tenter.given import given_path
from tenter.language import N_, _
from tenter.photo.decoders.profiles import UnusableProfile, tags_of
from tenter.report.printing.connection_space import D50_XYZ
from tenter.report.printing.icc_matrix import MATRIX_TAGS, matrix_tables
from tenter.report.printing.icc_table import IccTable, read_icc_table

_ASK = N_("Ask the printer's or paper's maker, or whoever measured it, for its ICC profile (.icc or .icm).")
_PRINTER, _SCREENS = b"prtr", (b"mntr", b"spac")
_REFUSED = {
    b"scnr": N_("a camera or scanner"),
    b"link": N_("two devices in one"),
    b"abst": N_("an effect"),
    b"nmcl": N_("named colours"),
}
_NEWEST = 4  # version; what came after has other parts
_AGAIN = N_("Download it again")
_TABLES = (b"A2B1", b"A2B0"), (b"B2A1", b"B2A0")  # relative colorimetry first
_LARGEST = 64 << 20  # bytes of a profile
# L*, a* and b*: there and back they should come out as they are.
_GREYS = np.array([[30.0, 0.0, 0.0], [50.0, 0.0, 0.0], [75.0, 0.0, 0.0]])
_CONTRADICTION = 20.0  # ΔE00 by which a printable grey may come back as another colour: more, and the tables are junk
# Lab colours that are sent, to see the most ink.
_GRID = np.stack(np.meshgrid(*[np.linspace(*ends, 9) for ends in ((0, 100), (-80, 80), (-80, 80))]), -1).reshape(-1, 3)


@dataclass(frozen=True, slots=True, eq=False)
class PrinterProfile:
    """A printer's ICC profile, ready to be asked.

    to_device and to_lab are the profile's tables of relative colorimetry. white (3,): XYZ of the paper, Y 1. most_ink:
    the largest sum of device values that the profile itself asks for, in parts of one ink. of_paper: False for the
    profile of a screen or a colour space, as photo labs ask for: it says what a file may carry, and nothing of paper
    and inks. name, digest: of its file, and of its bytes (SHA-256), by which it is known again.
    """

    to_device: IccTable
    to_lab: IccTable
    white: FloatArray
    most_ink: float
    of_paper: bool
    name: str
    digest: str

    @property
    def channels(self) -> int:
        """How many device values there are: 3 for a printer that takes RGB, 4 for CMYK."""
        return self.to_device.outputs


def profile_of_file(path: str | Path) -> PrinterProfile:
    """Return the printer's profile of a file.

    Raises `UnreadableInput` as `read_printer_profile` does, and `TenterError` for what is no path.
    """
    source = given_path(path)
    try:
        with source.open("rb") as file:
            data = file.read(_LARGEST + 1)
    except OSError as problem:
        raise UnreadableInput(
            str(path), _("the file cannot be read ({reason})", reason=problem.strerror), _(_ASK)
        ) from None
    if len(data) > _LARGEST:
        raise UnreadableInput(
            str(path), _("a printer's profile is no larger than {most} MB", most=_LARGEST >> 20), _(_ASK)
        )
    return read_printer_profile(data, str(path))


def read_printer_profile(data: bytes, source: str = "the profile") -> PrinterProfile:
    """Return the profile of a printer, or of the colour space that a photo lab asks for.

    Raises
    ------
    UnreadableInput
        If it is no ICC profile, of another device, or cannot be used; and what would do.
    """
    if len(data) < 132 or data[36:40] != b"acsp":
        raise UnreadableInput(source, _("this is not an ICC profile"), _(_ASK))
    why = _why_not(data)
    if why:
        raise UnreadableInput(source, why, _(_ASK))
    (declared,) = struct.unpack(">I", data[:4])
    if declared > len(data):
        why = _("this profile is cut off: {count} bytes of {total}", count=len(data), total=declared)
        raise UnreadableInput(source, why, _(_AGAIN))
    try:
        return _checked(data, tags_of(data), source)
    except (UnusableProfile, struct.error, ValueError):
        raise UnreadableInput(source, _("this profile is damaged or incomplete"), _(_AGAIN)) from None


def _why_not(data: bytes) -> str:
    """Return why a profile with this head cannot be used; empty where it may be."""
    kind, device, connection = data[12:16], data[16:20], data[20:24]
    if kind not in (_PRINTER, *_SCREENS):
        return _("this profile is of {device}, not of a printer", device=_(_REFUSED.get(kind, N_("something unknown"))))
    if data[8] > _NEWEST:
        return _(
            "this profile is of ICC version {version}, and versions 2 to {newest} can be read here",
            version=data[8],
            newest=_NEWEST,
        )
    if device == b"GRAY":
        return _("this profile is for a device that prints greys only")
    if kind in _SCREENS and device != b"RGB ":
        return _("this profile is for a colour space that no file of swatches uses; give one for RGB")
    if connection not in (b"Lab ", b"XYZ "):
        return _("this profile uses neither CIELAB nor XYZ, so it cannot be read here")
    return ""


def _checked(data: bytes, tags: dict[bytes, bytes], source: str) -> PrinterProfile:
    forward, backward = _tables(tags, data[20:24] == b"XYZ ", source)
    if (backward.inputs, forward.outputs) != (3, 3) or backward.outputs != forward.inputs:
        raise UnusableProfile
    if backward.outputs == 1:
        raise UnreadableInput(source, _("this profile is for a printer that prints greys only"), _(_ASK))
    back = forward.to_lab(backward.from_lab(_GREYS))
    if float(np.median(delta_e_2000(back, _GREYS))) > _CONTRADICTION:
        raise UnreadableInput(source, _("the two tables of this profile contradict each other"), _(_ASK))
    most = float(backward.from_lab(_GRID).sum(axis=1).max())
    of_paper = data[12:16] == _PRINTER
    white = _paper_white(tags) if of_paper else D50_XYZ
    return PrinterProfile(backward, forward, white, most, of_paper, Path(source).name, sha256(data).hexdigest())


def _paper_white(tags: dict[bytes, bytes]) -> FloatArray:
    if b"wtpt" not in tags:
        raise UnusableProfile
    white = np.array(struct.unpack(">3i", tags[b"wtpt"][8:20])) / 65536
    if not np.all((white > 0.2) & (white < 1.2)):
        raise UnusableProfile
    return white


def _tables(tags: dict[bytes, bytes], xyz: bool, source: str) -> tuple[IccTable, IccTable]:
    """Return the table from the device and the one to it."""
    there, back = (next((n for n in names if n in tags), None) for names in _TABLES)
    if there and back:
        return read_icc_table(tags[there], to_pcs=True, xyz=xyz), read_icc_table(tags[back], to_pcs=False, xyz=xyz)
    if xyz and all(name in tags for name in MATRIX_TAGS):
        return matrix_tables(tags)
    raise UnreadableInput(source, _("this profile has no tables for printing"), _(_ASK))
