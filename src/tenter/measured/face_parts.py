"""The parts of a written face: reasons, regions, differences, the typology angle, and the photographs it rests on."""

from dataclasses import dataclass
from typing import Any

from tenter.colorimetry.typology import ItaClass
from tenter.given import given_number, given_text, given_truth, given_whole
from tenter.language import _
from tenter.measured.written_numbers import (
    NotAMeasurement,
    Triple,
    TripleWithin,
    Within,
    WrittenSection,
    interval_ends,
    plain_list,
    plain_lists,
    text_or_none,
    triple,
    triple_within,
)


@dataclass(frozen=True, slots=True)
class WrittenReason:
    """One thing about a photograph: its code, and in words."""

    code: str
    text: str

    @classmethod
    def from_json(cls, document: WrittenSection) -> "WrittenReason":
        """Return it of what `to_json` has written; raises `LookupError`, `TypeError`, `ValueError` or `TenterError`."""
        code, text = document["code"], document["text"]
        return cls(given_text(code, _("the code of a reason")), given_text(text, _("a reason"), needed=False))

    def to_json(self) -> dict[str, Any]:
        """Return the object for `json.dumps`."""
        return {"code": self.code, "text": self.text}


@dataclass(frozen=True, slots=True)
class WrittenRegion:
    """The Lab of a region with its 90 % interval; or neither, and the reason.

    pixels: how many were read; None where the colour alone was kept. caution: what to keep in mind about the colour.
    Raises `NotAMeasurement` where one of colour and interval is missing.
    """

    lab: Triple | None
    lab_interval_90: TripleWithin | None
    pixels: int | None = None
    reason: str | None = None
    caution: str | None = None

    def __post_init__(self) -> None:
        if (self.lab is None) != (self.lab_interval_90 is None):
            raise NotAMeasurement(_("a colour comes with its interval; one of the two is missing"))

    @classmethod
    def from_json(cls, document: WrittenSection) -> "WrittenRegion":
        """Return it of what `to_json` has written; raises `LookupError`, `TypeError`, `ValueError` or `TenterError`."""
        lab, interval, pixels = document["lab"], document["lab_interval_90"], document.get("pixels")
        return cls(
            None if lab is None else triple(lab, "lab"),
            None if interval is None else triple_within(interval, "lab_interval_90"),
            None if pixels is None else given_whole(pixels, _("the pixels of a region"), 0),
            text_or_none(document.get("reason")),
            text_or_none(document.get("caution")),
        )

    def to_json(self) -> dict[str, Any]:
        """Return the object for `json.dumps`."""
        colour = {"lab": plain_list(self.lab), "lab_interval_90": plain_lists(self.lab_interval_90)}
        if self.pixels is None:
            return colour
        return {**colour, "pixels": self.pixels, "reason": self.reason, "caution": self.caution}


@dataclass(frozen=True, slots=True)
class WrittenDifference:
    """Lab of one region minus that of another, `origin`, with its 90 % interval."""

    origin: str
    to: str
    delta_lab: Triple
    interval_90: TripleWithin

    @classmethod
    def from_json(cls, document: WrittenSection) -> "WrittenDifference":
        """Return it of what `to_json` has written; raises `LookupError`, `TypeError`, `ValueError` or `TenterError`."""
        origin, to = (given_text(document[end], _("the name of a region")) for end in ("from", "to"))
        interval = triple_within(document["interval_90"], "interval_90")
        return cls(origin, to, triple(document["delta_lab"], "delta_lab"), interval)

    def to_json(self) -> dict[str, Any]:
        """Return the object for `json.dumps`."""
        return {
            "from": self.origin,
            "to": self.to,
            "delta_lab": plain_list(self.delta_lab),
            "interval_90": plain_lists(self.interval_90),
        }


@dataclass(frozen=True, slots=True)
class WrittenAngle:
    """The individual typology angle (ITA), its 90 % interval, None where none was kept, and its class.

    degrees: -180 to 180; any other raises `TenterError`.
    """

    degrees: float
    interval_90: Within | None
    ita_class: ItaClass

    def __post_init__(self) -> None:
        given_number(self.degrees, _("ita_degrees"), -180, 180)

    @classmethod
    def from_json(cls, document: WrittenSection) -> "WrittenAngle":
        """Return it of what `to_json` has written; raises `LookupError`, `TypeError`, `ValueError` or `TenterError`."""
        ends = interval_ends(document["interval_90"]) if "interval_90" in document else None
        return cls(document["value"], ends, ItaClass(str(document["class"])))

    def to_json(self) -> dict[str, Any]:
        """Return the object for `json.dumps`."""
        ends = {} if self.interval_90 is None else {"interval_90": plain_list(self.interval_90)}
        return {"value": self.degrees, **ends, "class": str(self.ita_class)}


@dataclass(frozen=True, slots=True)
class WrittenPhotograph:
    """One of several photographs of a face: its file, whether the colours rest on it, and what was said of it.

    accepted: None where file and use alone were kept. skin_against_all: Lab of its skin minus that of all; None for one
    that is not used, or alone.
    """

    file: str
    used: bool
    accepted: bool | None = None
    reasons: tuple[WrittenReason, ...] = ()
    skin_against_all: Triple | None = None
    chart: WrittenSection | None = None

    @classmethod
    def from_json(cls, document: WrittenSection) -> "WrittenPhotograph":
        """Return it of what `to_json` has written; raises `LookupError`, `TypeError`, `ValueError` or `TenterError`."""
        file, used = given_text(document["file"], _("a file")), given_truth(document["used"], _("used"))
        if "accepted" not in document:
            return cls(file, used)
        accepted, shift = given_truth(document["accepted"], _("accepted")), document["skin_against_all"]
        reasons = tuple(WrittenReason.from_json(reason) for reason in document["reasons"])
        moved = None if shift is None else triple(shift, "skin_against_all")
        return cls(file, used, accepted, reasons, moved, document["chart"])

    def to_json(self) -> dict[str, Any]:
        """Return the object for `json.dumps`."""
        if self.accepted is None:
            return {"file": self.file, "used": self.used}
        return {
            "file": self.file,
            "accepted": self.accepted,
            "reasons": [reason.to_json() for reason in self.reasons],
            "used": self.used,
            "skin_against_all": plain_list(self.skin_against_all),
            "chart": self.chart,
        }
