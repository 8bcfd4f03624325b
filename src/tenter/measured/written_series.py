"""What a series of photographs shows of two cloths in turn: the JSON of `tenter face series`, written and read here.

Numbers stand as they are written, rounded, as in `written_face.py`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tenter.colorimetry.illuminants import observer_from
from tenter.colorimetry.measurement import Conditions
from tenter.errors import TenterError
from tenter.given import given_list, given_number, given_text, given_truth
from tenter.language import _, as_typed
from tenter.measured.basis import CalibrationBasis
from tenter.measured.written_numbers import (
    NotAMeasurement,
    Triple,
    TripleWithin,
    Within,
    WrittenSection,
    interval_ends,
    number_or_none,
    plain_list,
    plain_lists,
    text_or_none,
    triple,
    triple_within,
)

_WIDEST = 10.0  # a floor in L* and a share: what a series states is far below 1; set by judgement


@dataclass(frozen=True, slots=True)
class WrittenFrame:
    """One photograph of a series: its name, its drape, A or B, and why it was left out; None where it is used."""

    photo: str
    drape: str
    reason: str | None

    @classmethod
    def from_json(cls, document: WrittenSection) -> "WrittenFrame":
        """Return it of what `to_json` has written; raises `LookupError`, `TypeError`, `ValueError` or `TenterError`."""
        return cls(str(document["photo"]), str(document["drape"]), text_or_none(document["reason"]))

    def to_json(self) -> dict[str, Any]:
        """Return the object for `json.dumps`."""
        return {"photo": self.photo, "drape": self.drape, "used": self.reason is None, "reason": self.reason}


@dataclass(frozen=True, slots=True)
class WrittenChange:
    """What drape B does to a region against A, in words and numbers with 90 % intervals; no numbers where not read.

    can_tell: whether it is more than the photographs' own noise. delta_e_2000: the size of the difference, in ΔE00.

    Raises `NotAMeasurement` where numbers come without their interval.
    """

    delta_lab: Triple | None
    interval_90: TripleWithin | None
    delta_e_2000: float | None
    delta_e_2000_interval_90: Within | None
    can_tell: bool
    text: str

    def __post_init__(self) -> None:
        if (self.delta_lab is None) != (self.interval_90 is None):
            raise NotAMeasurement(_("a difference comes with its interval; one of the two is missing"))

    @property
    def said(self) -> str:
        """The words without the name of the region before them."""
        return self.text.split(": ", 1)[-1]

    @classmethod
    def from_json(cls, document: WrittenSection) -> "WrittenChange":
        """Return it of what `to_json` has written; raises `LookupError`, `TypeError`, `ValueError` or `TenterError`."""
        delta, interval = document["delta_lab"], document["interval_90"]
        ends = document["delta_e_2000_interval_90"]
        return cls(
            None if delta is None else triple(delta, "delta_lab"),
            None if interval is None else triple_within(interval, "interval_90"),
            number_or_none(document["delta_e_2000"], "delta_e_2000"),
            None if ends is None else interval_ends(ends),
            given_truth(document["can_tell"], _("can_tell")),
            given_text(document["text"], _("what is said of a region")),
        )

    def to_json(self) -> dict[str, Any]:
        """Return the object for `json.dumps`."""
        return {
            "delta_lab": plain_list(self.delta_lab),
            "interval_90": plain_lists(self.interval_90),
            "delta_e_2000": self.delta_e_2000,
            "delta_e_2000_interval_90": plain_list(self.delta_e_2000_interval_90),
            "can_tell": self.can_tell,
            "text": self.text,
        }


@dataclass(frozen=True, slots=True)
class WrittenFrameReadings:
    """What every frame reads of a face, for whoever measures a room by it.

    xyz: by region, X, Y and Z of each frame, 1 for a perfect white; None where the frame is not read. lightness_floor:
    units of L* that the frames may be off by without showing it. relative_error_90: of a difference in lightness, as a
    share of it. drape: Y of each frame below the chin, 0 to 1, None where it is not read; empty in one that was written
    before drapes were looked at.
    """

    xyz: Mapping[str, tuple[Triple | None, ...]]
    lightness_floor: float
    relative_error_90: float
    drape: tuple[float | None, ...] = ()

    @classmethod
    def from_json(cls, document: WrittenSection) -> "WrittenFrameReadings":
        """Return it of what `to_json` has written; raises `LookupError`, `TypeError`, `ValueError` or `TenterError`."""
        rows = {name: given_list(said, _("the frames of a region")) for name, said in document["xyz"].items()}
        return cls(
            {name: tuple(None if xyz is None else triple(xyz, "xyz") for xyz in said) for name, said in rows.items()},
            given_number(document["lightness_floor"], _("lightness_floor"), 0, _WIDEST),
            given_number(document["relative_error_90"], _("relative_error_90"), 0, _WIDEST),
            tuple(number_or_none(y, "the drape of a frame") for y in given_list(document.get("drape", []), _("drape"))),
        )

    def to_json(self) -> dict[str, Any]:
        """Return the object for `json.dumps`."""
        rows = {name: [plain_list(xyz) for xyz in frames] for name, frames in self.xyz.items()}
        said = {"xyz": rows, "lightness_floor": self.lightness_floor, "relative_error_90": self.relative_error_90}
        return said | ({"drape": list(self.drape)} if self.drape else {})


@dataclass(frozen=True, slots=True)
class WrittenSeries:
    """A series: its frames, what was wrong with it, and what drape B does to each region; nothing where it is refused.

    exposure_change, white_balance_change: the shares by which these moved; None where too little could be compared.
    for_room: None where the series is refused, and in one that was written before rooms were measured.
    """

    refusals: tuple[str, ...]
    notes: tuple[str, ...]
    pattern: str
    basis: CalibrationBasis
    conditions: Conditions
    frames: tuple[WrittenFrame, ...]
    exposure_change: float | None
    white_balance_change: float | None
    regions: Mapping[str, WrittenChange]
    for_room: WrittenFrameReadings | None = None

    @property
    def accepted(self) -> bool:
        """Whether nothing refuses it."""
        return not self.refusals

    @classmethod
    def from_json(cls, document: object) -> "WrittenSeries":
        """Return the series of the JSON that `tenter face series` writes; raises `NotAMeasurement` for any other."""
        try:
            return cls._parse(document)
        except KeyError as error:
            raise NotAMeasurement(_("it has no {name}", name=as_typed(error.args[0]))) from None
        except (LookupError, TypeError, ValueError, ArithmeticError, AttributeError, TenterError) as error:
            raise NotAMeasurement(str(error)) from None

    @classmethod
    def _parse(cls, document: Any) -> "WrittenSeries":
        return cls(
            tuple(map(str, document["refusals"])),
            tuple(map(str, document["notes"])),
            str(document["pattern"]),
            CalibrationBasis(document["basis"]),
            Conditions(str(document["illuminant"]), observer_from(document["observer"])),
            tuple(map(WrittenFrame.from_json, document["frames"])),
            number_or_none(document["exposure_change"], "exposure_change"),
            number_or_none(document["white_balance_change"], "white_balance_change"),
            {str(name): WrittenChange.from_json(said) for name, said in document["regions"].items()},
            None if document.get("for_room") is None else WrittenFrameReadings.from_json(document["for_room"]),
        )

    def to_json(self) -> dict[str, Any]:
        """Return the object for `json.dumps`; what `from_json` reads again."""
        return {
            "accepted": self.accepted,
            "refusals": list(self.refusals),
            "notes": list(self.notes),
            "pattern": self.pattern,
            "basis": str(self.basis),
            "illuminant": self.conditions.illuminant,
            "observer": str(self.conditions.observer),
            "frames": [frame.to_json() for frame in self.frames],
            "exposure_change": self.exposure_change,
            "white_balance_change": self.white_balance_change,
            "from": "A",
            "to": "B",
            "regions": {name: change.to_json() for name, change in self.regions.items()},
            "for_room": None if self.for_room is None else self.for_room.to_json(),
        }
