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
from tenter.measured.basis import CalibrationBasis
from tenter.measured.face_parts import WrittenAngle, WrittenDifference, WrittenRegion
from tenter.measured.written_face import WrittenFace
from tenter.photo.card.finding import ChartFinding
from tenter.photo.face_light.same_light import SameLight
from tenter.photo.json_numbers import written_lab, written_within
from tenter.photo.reasons import Reason
from tenter.photo.regions.hair import NO_HAIR_FOUND, HairFinding
from tenter.photo.regions.interval_parts import ColourInParts, ForTogether
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
    def of_written(cls, region: WrittenRegion) -> "RegionColour":
        """Return what was measured of a region before, to the digits that were written."""
        if region.lab is None or region.lab_interval_90 is None:
            return cls(None, None, region.pixels or 0, region.reason, region.caution)
        low, high = np.array(region.lab_interval_90).T
        return cls(np.array(region.lab), (high - low) / 2, region.pixels or 0, region.reason, region.caution)

    @property
    def written(self) -> WrittenRegion:
        """The same as it is written."""
        lab = interval = None
        if self.lab is not None and self.half_width_90 is not None:
            lab, interval = written_lab(self.lab), written_within(self.lab, self.half_width_90)
        return WrittenRegion(lab, interval, self.pixels, self.reason, self.caution)


@dataclass(frozen=True, slots=True)
class Difference:
    """Lab of `to` minus Lab of `origin` (3,), with half-widths (3,) of its 90 % interval."""

    origin: Region
    to: Region
    delta_lab: FloatArray
    half_width_90: FloatArray

    @property
    def written(self) -> WrittenDifference:
        """The same as it is written."""
        interval = written_within(self.delta_lab, self.half_width_90)
        return WrittenDifference(str(self.origin), str(self.to), written_lab(self.delta_lab), interval)


@dataclass(frozen=True, slots=True)
class TypologyAngle:
    """Individual typology angle in degrees, its 90 % interval, and the class of the value."""

    degrees: float
    interval_90: tuple[float, float]
    ita_class: ItaClass

    @property
    def written(self) -> WrittenAngle:
        """The same as it is written, in hundredths of a degree."""
        low, high = (round(end, 2) for end in self.interval_90)
        return WrittenAngle(round(self.degrees, 2), (low, high), self.ita_class)


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

    def written(self, outlines: bool = False) -> WrittenFace:
        """Return what is said of the face; outlines when asked."""
        parts = {region: colour.parts for region, colour in self.regions.items() if colour.parts is not None}
        more = {
            "readings": self.readings.to_json(),
            "asymmetry": [sides.to_json() for sides in self.asymmetry],
            "verdict": str(self.verdict),
            "card_light": self.card_light.to_json(),
        }
        if outlines:
            more["outlines_px"] = {str(r): [np.round(o, 1).tolist() for o in of] for r, of in self.outlines.items()}
        return WrittenFace(
            accepted=self.accepted,
            basis=self.basis,
            conditions=self.conditions,
            regions={str(region): colour.written for region, colour in self.regions.items()},
            ita=None if self.ita is None else self.ita.written,
            reasons=tuple(reason.written for reason in self.reasons),
            relative=tuple(difference.written for difference in self.relative),
            chart=self.chart.to_json(),
            hair=self.hair.to_json(),
            for_together=ForTogether(parts, self.card_beside_face).to_json(),
            more=more,
        )

    def to_json(self, outlines: bool = False) -> dict[str, Any]:
        """Return the object of docs/studies/photo-study.md for `json.dumps`; outlines when asked."""
        return self.written(outlines).to_json()
