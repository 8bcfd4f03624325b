"""What a series of photographs shows of two cloths in turn: the JSON of `tenter face series`, written and read here.

Numbers stand as they are written, rounded, as in `written_face.py`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tenter.colorimetry.illuminants import observer_from
from tenter.colorimetry.measurement import Conditions
from tenter.errors import TenterError
from tenter.given import given_text, given_truth
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
            raise NotAMeasurement("a difference comes with its interval; one of the two is missing")

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
            given_truth(document["can_tell"], "can_tell"),
            given_text(document["text"], "what is said of a region"),
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
class WrittenSeries:
    """A series: its frames, what was wrong with it, and what drape B does to each region; nothing where it is refused.

    exposure_change, white_balance_change: the shares by which these moved; None where too little could be compared.
    for_room: what every frame reads, as it is written, for whoever measures a room by it; None where it was not kept.
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
    for_room: WrittenSection | None = None

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
            raise NotAMeasurement(f"it has no {error.args[0]!r}") from None
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
            document.get("for_room"),
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
            "for_room": self.for_room,
        }
