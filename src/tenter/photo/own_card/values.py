"""What the patches of one print of our own card truly are: measured once beside a reference chart, and kept in a file.

A sheet asks a printer for colours and gets others, easily by ΔE00 5 to 10. What the sheet asks for is therefore good
for finding a patch and for little else.
"""

import json
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from tenter import durable
from tenter.arrays import FloatArray
from tenter.colorimetry.illuminants import WAVELENGTHS_NM
from tenter.colorimetry.measurement import D65_2
from tenter.colorimetry.reflectance import reflectance_to_xyz
from tenter.colorimetry.spaces import srgb_to_xyz, xyz_to_lab
from tenter.errors import UnreadableInput
from tenter.language import N_, _, as_typed
from tenter.photo.own_card import layout
from tenter.photo.own_card.printed import guessed_reflectances
from tenter.photo.patches.correction import D65_WHITE
from tenter.photo.patches.reference import CardReference

RENEW_MONTHS = 6  # common practice, no source: inks fade, and by then a card has been through many hands
_FORMAT = "tenter own card 1"
_NAMES = tuple(patch.name for patch in layout.CARD_PATCHES)
# Where a camera is fitted to skin, vivid inks say little and mislead much: nothing else that was tried mattered more.
_SKIN_WEIGHTS: FloatArray = np.array(
    [0.02 if patch.kind is layout.PatchKind.CHROMATIC else 1.0 for patch in layout.CARD_PATCHES]
)
_REMEDY = N_("Give the file that 'tenter card calibrate' wrote, or calibrate the card again")
_MATCHED = 2e-3  # XYZ: how far a file's reflectances may be from the colours beside them


@dataclass(frozen=True, slots=True)
class OwnCardValues:
    """The true values of one print: XYZ (36, 3) under D65/2° and 90 % half-widths in Lab (36, 3), Y = 1 for white.

    reflectances: (36, 81), guessed: of all spectra a print may have, a likely one with this XYZ. reference: the chart
    it was read beside, and reference_error that chart's mean leave-one-out ΔE00 in the photographs.

    Raises `UnreadableInput` for arrays of another shape, numbers below 0 and reflectances without these colours, and
    `TenterError` for a serial that no card has.
    """

    serial: int
    calibrated_on: date
    xyz: FloatArray
    half_width_90: FloatArray
    reflectances: FloatArray
    reference: str
    reference_error: float
    photographs: int = 1

    def __post_init__(self) -> None:
        n = len(_NAMES)
        for name, array, width in (
            (N_("colours"), self.xyz, 3),
            (N_("intervals"), self.half_width_90, 3),
            (N_("reflectances"), self.reflectances, len(WAVELENGTHS_NM)),
        ):
            if array.shape != (n, width) or not np.isfinite(array).all() or (array < 0).any():
                raise UnreadableInput(
                    _("card {number}", number=self.serial),
                    _(
                        "its {what} are not {rows} rows of {width} numbers from 0 upward",
                        what=_(name),
                        rows=n,
                        width=width,
                    ),
                    _(_REMEDY),
                )
        if np.abs(_xyz(self.reflectances) - self.xyz).max() > _MATCHED:
            raise UnreadableInput(
                _("card {number}", number=self.serial), _("its reflectances do not have its colours"), _(_REMEDY)
            )
        layout.serial_bits(self.serial)

    @property
    def card(self) -> CardReference:
        """The patches of this print, to calibrate by."""
        return _card(f"own card {self.serial}", self.reflectances)

    def months_old(self, today: date) -> int:
        """Return how many whole months ago it was calibrated."""
        whole = 12 * (today.year - self.calibrated_on.year) + today.month - self.calibrated_on.month
        return whole - (today.day < self.calibrated_on.day)

    def is_old(self, today: date) -> bool:
        """Return whether the card is to be calibrated again."""
        return self.months_old(today) >= RENEW_MONTHS

    @property
    def typical_half_width_90(self) -> FloatArray:
        """The 90 % half-widths (3,) in L*, a*, b* that half of the patches have, or less."""
        return np.asarray(np.median(self.half_width_90, axis=0))

    def to_json(self) -> dict[str, Any]:
        """Return the content of the card's file, rounded: XYZ and reflectances to 1e-5, Lab to 0.01."""
        lab = xyz_to_lab(self.xyz, D65_WHITE)
        rows = zip(_NAMES, self.xyz, lab, self.half_width_90, self.reflectances, strict=True)
        return {
            "format": _FORMAT,
            "serial": self.serial,
            "calibrated_on": self.calibrated_on.isoformat(),
            "reference": self.reference,
            "reference_loo_delta_e_2000": round(self.reference_error, 3),
            "photographs": self.photographs,
            "illuminant": D65_2.illuminant,
            "observer": str(D65_2.observer),
            "wavelengths_nm": [int(WAVELENGTHS_NM[0]), int(WAVELENGTHS_NM[-1]), 5],
            "patches": [
                {
                    "name": name,
                    "xyz": np.round(xyz, 5).tolist(),
                    "lab": np.round(colour, 2).tolist(),
                    "lab_half_width_90": np.round(half, 2).tolist(),
                    "reflectance_guessed": np.round(reflectance, 5).tolist(),
                }
                for name, xyz, colour, half, reflectance in rows
            ],
        }


@cache
def nominal_card() -> CardReference:
    """Return the card as the sheet asks for it, on white paper: no print is like it."""
    asked = srgb_to_xyz(np.stack([patch.nominal_code for patch in layout.CARD_PATCHES]))
    return _card("own card as designed", guessed_reflectances(0.9 * asked))


def _card(title: str, reflectances: FloatArray) -> CardReference:
    return CardReference(title, _NAMES, reflectances, layout.WHITE, layout.OWN_CARD_GRID, _SKIN_WEIGHTS, four_inks=True)


def write_card_values(values: OwnCardValues, path: Path) -> None:
    """Write the values of a card to a file, and its folder if need be; raises `UnreadableInput` where that fails."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        durable.write(path, (json.dumps(values.to_json(), indent=1) + "\n").encode())
    except OSError as problem:
        raise UnreadableInput(
            str(path), _("the file cannot be written ({reason})", reason=problem.strerror), _("Give another --out")
        ) from None


def read_card_values(path: Path) -> OwnCardValues:
    """Return the values of a card from its file.

    Raises
    ------
    UnreadableInput
        If there is no such file, or it holds no values of our own card.
    """
    try:
        content = path.read_bytes()
    except OSError as problem:
        raise UnreadableInput(
            str(path),
            _("the file cannot be opened ({reason})", reason=problem.strerror or problem),
            _("Check the path and the name"),
        ) from None
    return card_values_of(content, str(path))


def card_values_of(content: bytes, source: str) -> OwnCardValues:
    """Return the values in a file's bytes; `source` is what errors call the file.

    Raises `UnreadableInput` where it holds no values of our own card.
    """
    try:
        return _values(json.loads(content.decode("utf-8")), source)
    except (ValueError, RecursionError):
        raise UnreadableInput(source, _("this is not a file of card values"), _(_REMEDY)) from None


def _values(content: Any, source: str) -> OwnCardValues:
    if not isinstance(content, dict) or content.get("format") != _FORMAT:
        raise UnreadableInput(
            source, _("this is not a file of card values ({format})", format=as_typed(_FORMAT)), _(_REMEDY)
        )
    try:
        patches = content["patches"]
        if tuple(patch["name"] for patch in patches) != _NAMES:
            raise UnreadableInput(source, _("its patches are not those of this card"), _(_REMEDY))
        columns = {
            name: np.array([patch[key] for patch in patches], dtype=float)
            for name, key in (("xyz", "xyz"), ("half", "lab_half_width_90"), ("reflectances", "reflectance_guessed"))
        }
        return OwnCardValues(
            int(content["serial"]),
            date.fromisoformat(content["calibrated_on"]),
            columns["xyz"],
            columns["half"],
            columns["reflectances"],
            str(content["reference"]),
            float(content["reference_loo_delta_e_2000"]),
            int(content.get("photographs", 1)),  # files of before it was counted have none
        )
    except (KeyError, TypeError, ValueError) as problem:
        raise UnreadableInput(
            source, _("a value is missing or is none ({problem})", problem=problem), _(_REMEDY)
        ) from None


def _xyz(reflectances: FloatArray) -> FloatArray:
    return reflectance_to_xyz(reflectances, D65_2.illuminant, D65_2.observer)
