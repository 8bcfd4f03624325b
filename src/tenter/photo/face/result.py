"""What is said of a face: colours with intervals, differences, and why when nothing can be said."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.measurement import D65_2, Conditions
from tenter.colorimetry.typology import ItaClass
from tenter.errors import TenterError
from tenter.photo.card.finding import ChartFinding
from tenter.photo.face_light.same_light import SameLight
from tenter.photo.json_numbers import interval_json, rounded
from tenter.photo.patches.correction import CalibrationBasis
from tenter.photo.reasons import Reason
from tenter.photo.regions.hair import NO_HAIR_FOUND, HairFinding
from tenter.photo.regions.interval_parts import ColourInParts
from tenter.photo.regions.readings import NO_READINGS, Asymmetry, FaceReadings
from tenter.photo.regions.regions import Region


@dataclass(frozen=True, slots=True)
class RegionColour:
    """The Lab of a region (3,) with half-widths (3,) of its 90 % interval; or neither, and the reason.

    caution: what to keep in mind about a region that was read, as that something else may lie in it. parts: the same
    interval in parts, by which several photographs are measured together.

    Raises `TenterError` for a colour without an interval, or no colour without a reason.
    """

    lab: FloatArray | None
    half_width_90: FloatArray | None
    pixels: int
    reason: str | None
    caution: str | None = None
    parts: ColourInParts | None = None

    def __post_init__(self) -> None:
        if (self.lab is None) != (self.half_width_90 is None):
            raise TenterError("a colour read from a photograph comes with its interval; one of the two is missing")
        if self.lab is None and self.reason is None:
            raise TenterError("a region without a colour says why; the reason is missing")

    @classmethod
    def from_json(cls, document: Mapping[str, Any]) -> "RegionColour":
        """Return the colour of `to_json`'s own document."""
        pixels, reason, caution = (document.get(name) for name in ("pixels", "reason", "caution"))
        if document["lab"] is None:
            return cls(None, None, pixels or 0, reason, caution)
        low, high = np.array(document["lab_interval_90"], dtype=float).T
        return cls(np.array(document["lab"], dtype=float), (high - low) / 2, pixels or 0, reason, caution)

    def to_json(self) -> dict[str, Any]:
        """Return the region as `tenter face measure --json` has it: Lab with three decimals, and its interval."""
        lab = interval = None
        if self.lab is not None and self.half_width_90 is not None:
            lab, interval = rounded(self.lab), interval_json(self.lab, self.half_width_90)
        return {
            "lab": lab,
            "lab_interval_90": interval,
            "pixels": self.pixels,
            "reason": self.reason,
            "caution": self.caution,
        }


@dataclass(frozen=True, slots=True)
class Difference:
    """Lab of `to` minus Lab of `origin` (3,), with half-widths (3,) of its 90 % interval."""

    origin: Region
    to: Region
    delta_lab: FloatArray
    half_width_90: FloatArray

    def to_json(self) -> dict[str, Any]:
        """Return the step in Lab with the ends of its interval, and the two regions by their names."""
        return {
            "from": str(self.origin),
            "to": str(self.to),
            "delta_lab": rounded(self.delta_lab),
            "interval_90": interval_json(self.delta_lab, self.half_width_90),
        }


@dataclass(frozen=True, slots=True)
class TypologyAngle:
    """Individual typology angle in degrees, its 90 % interval, and the class of the value."""

    degrees: float
    interval_90: tuple[float, float]
    ita_class: ItaClass

    def to_json(self) -> dict[str, Any]:
        """Return the angle in degrees with the ends of its interval, and its class."""
        return {
            "value": round(self.degrees, 2),
            "interval_90": [round(end, 2) for end in self.interval_90],
            "class": str(self.ita_class),
        }


@dataclass(frozen=True, slots=True)
class CardLightFinding:
    """What the photograph shows of the light on the card against that on the face; None where nothing can be told.

    veil: the share of the white patch's light that lies on all of the card. tint: the length of the step in a* and b*
    of a white across it. widened: which of "lightness", "a" and "b" have wider intervals for it.
    """

    tilt_degrees: float | None = None
    veil: float | None = None
    tint: float | None = None
    widened: tuple[str, ...] = ()

    @classmethod
    def of(cls, found: SameLight) -> "CardLightFinding":
        """Return what is said of it; a tint that may be chance is none."""
        tint = None if found.tint is None else float(np.hypot(*found.tint.change)) if found.tint.found else 0.0
        return cls(found.tilt_degrees, found.veil_share, tint, found.widened)

    def to_json(self) -> dict[str, Any]:
        """Return the finding as `tenter face measure --json` writes it, rounded."""
        return {
            "tilt_degrees": None if self.tilt_degrees is None else round(self.tilt_degrees, 1),
            "veil": None if self.veil is None else round(self.veil, 3),
            "tint": None if self.tint is None else round(self.tint, 1),
            "widened": list(self.widened),
        }


class PhotoVerdict(StrEnum):
    """What is done with a photograph."""

    ACCEPTED = "accepted"
    WIDER = "accepted_wider"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True)
class FaceMeasurement:
    """The colours of one face in one photograph. Absolute colours are given only when the photograph is accepted.

    outlines: of each region, for drawing and correcting: arrays (n, 2) in pixels of the upright original; what lies in
    an odd number of them is inside. card_beside_face: the card's corners (4, 2) in widths of the face, from its middle
    along and across it.

    Raises `TenterError` for absolute colours of a photograph that is refused, or has no card.
    """

    reasons: tuple[Reason, ...]
    basis: CalibrationBasis
    regions: Mapping[Region, RegionColour]
    relative: tuple[Difference, ...]
    ita: TypologyAngle | None
    chart: ChartFinding
    conditions: Conditions = D65_2
    readings: FaceReadings = NO_READINGS
    asymmetry: tuple[Asymmetry, ...] = ()
    hair: HairFinding = NO_HAIR_FOUND
    outlines: Mapping[Region, tuple[FloatArray, ...]] = field(default_factory=dict)
    card_beside_face: FloatArray | None = None
    card_light: CardLightFinding = CardLightFinding()

    def __post_init__(self) -> None:
        absolute = self.ita is not None or any(colour.lab is not None for colour in self.regions.values())
        if absolute and (self.basis is CalibrationBasis.RELATIVE or not self.accepted):
            raise TenterError("absolute colours need an accepted photograph with a card; this one has none")

    @property
    def accepted(self) -> bool:
        """Whether no reason refuses the photograph."""
        return not any(reason.refuses for reason in self.reasons)

    @property
    def verdict(self) -> PhotoVerdict:
        """Whether the photograph is accepted; wider: with intervals that a reason among `reasons` makes wider."""
        if not self.accepted:
            return PhotoVerdict.REFUSED
        return PhotoVerdict.WIDER if any(reason.widens for reason in self.reasons) else PhotoVerdict.ACCEPTED

    def to_json(self, outlines: bool = False) -> dict[str, Any]:
        """Return the object of docs/studies/photo-study.md for `json.dumps`; outlines when asked."""
        found = {
            "accepted": self.accepted,
            "reasons": [{"code": str(reason.code), "text": reason.text} for reason in self.reasons],
            "basis": str(self.basis),
            "illuminant": self.conditions.illuminant,
            "observer": str(self.conditions.observer),
            "regions": {str(region): colour.to_json() for region, colour in self.regions.items()},
            "relative": [difference.to_json() for difference in self.relative],
            "ita_degrees": None if self.ita is None else self.ita.to_json(),
            "chart": self.chart.to_json(),
            "readings": self.readings.to_json(),
            "asymmetry": [sides.to_json() for sides in self.asymmetry],
            "hair": self.hair.to_json(),
            "verdict": str(self.verdict),
            "for_together": {
                "interval_parts": {str(r): c.parts.to_json() for r, c in self.regions.items() if c.parts is not None},
                "card_beside_face": None if self.card_beside_face is None else rounded(self.card_beside_face),
            },
            "card_light": self.card_light.to_json(),
        }
        if outlines:
            found["outlines_px"] = {str(r): [np.round(o, 1).tolist() for o in of] for r, of in self.outlines.items()}
        return found
