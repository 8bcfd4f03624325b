"""A measured face as it crosses from one layer to another: the JSON of `tenter face measure`, written and read here.

Numbers stand as they are written, rounded, so that what is read is what was written; who computes with a face makes
arrays of them. Sections that `photo` alone reads again (the card, the hair, what photographs of one face need of each
other) are carried as they are: their readers stand beside their writers too. What nobody reads again is in `more`.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from tenter.colorimetry.illuminants import observer_from
from tenter.colorimetry.measurement import Conditions
from tenter.errors import TenterError
from tenter.given import given_text, given_truth
from tenter.language import _, as_typed
from tenter.measured.basis import CalibrationBasis
from tenter.measured.face_parts import WrittenAngle, WrittenDifference, WrittenPhotograph, WrittenReason, WrittenRegion
from tenter.measured.written_numbers import NotAMeasurement, WrittenSection

T = TypeVar("T")
_NEVER_READ = ("readings", "asymmetry", "verdict", "card_light", "outlines_px", "agreement")
_ORDER = (
    *("accepted", "reasons", "basis", "illuminant", "observer", "regions", "relative", "ita_degrees", "chart"),
    *("readings", "asymmetry", "hair", "verdict", "for_together", "card_light", "outlines_px"),
    *("photographs", "agreement"),
)
_TYPED = {*_ORDER} - {*_NEVER_READ}
# What a document without colours means where it leaves it out; one with colours leaves none of it out.
_NOTHING_SAID = {"accepted": False, "basis": "relative", "illuminant": "D65", "observer": "2", "regions": {}}


@dataclass(frozen=True, slots=True)
class WrittenFace:
    """What is said of a face that was measured in a photograph, or in several; `regions` by their names.

    reasons, relative, chart, hair, for_together: None where the colours alone were kept. for_together: what a
    measurement with other photographs needs of this one. photographs: None for one. more: whatever else was written.
    Raises `NotAMeasurement` where colours come without an accepted photograph and a card.
    """

    accepted: bool
    basis: CalibrationBasis
    conditions: Conditions
    regions: Mapping[str, WrittenRegion]
    ita: WrittenAngle | None = None
    reasons: tuple[WrittenReason, ...] | None = None
    relative: tuple[WrittenDifference, ...] | None = None
    chart: WrittenSection | None = None
    hair: WrittenSection | None = None
    for_together: WrittenSection | None = None
    photographs: tuple[WrittenPhotograph, ...] | None = None
    more: WrittenSection = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not self.absolute and (self.ita is not None or self.colours):
            raise NotAMeasurement(_("absolute colours need an accepted photograph with a card; this one has none"))

    @property
    def absolute(self) -> bool:
        """Whether colours can be given, and not only differences."""
        return self.accepted and self.basis is not CalibrationBasis.RELATIVE

    @property
    def colours(self) -> dict[str, WrittenRegion]:
        """The regions that have a colour."""
        return {name: region for name, region in self.regions.items() if region.lab is not None}

    @property
    def codes(self) -> frozenset[str]:
        """The codes of the reasons."""
        return frozenset(reason.code for reason in self.reasons or ())

    @property
    def files_used(self) -> frozenset[str]:
        """The files of the photographs that it rests on; empty where one photograph was measured by itself."""
        return frozenset(one.file for one in self.photographs or () if one.used)

    @property
    def colours_alone(self) -> "WrittenFace":
        """The colours with what they rest on, and nothing else of the photographs."""
        regions = {name: WrittenRegion(colour.lab, colour.lab_interval_90) for name, colour in self.colours.items()}
        several = self.photographs
        kept = None if several is None else tuple(WrittenPhotograph(one.file, one.used) for one in several)
        return WrittenFace(self.accepted, self.basis, self.conditions, regions, self.ita, photographs=kept)

    @classmethod
    def from_json(cls, document: object) -> "WrittenFace":
        """Return the face of the JSON that `tenter face measure` writes, as `json.loads` gives it.

        Raises
        ------
        NotAMeasurement
            If it is anything else.
        """
        if not isinstance(document, Mapping):
            raise NotAMeasurement(_("it is not a JSON object"))
        try:
            return cls._parse(document)
        except KeyError as error:
            raise NotAMeasurement(_("it has no {name}", name=as_typed(error.args[0]))) from None
        except (LookupError, TypeError, ValueError, ArithmeticError, AttributeError, TenterError) as error:
            raise NotAMeasurement(str(error)) from None

    @classmethod
    def _parse(cls, document: WrittenSection) -> "WrittenFace":
        if not {"accepted", "regions"} & document.keys():
            raise NotAMeasurement(_("it has neither 'accepted' nor 'regions'"))
        absolute = document.get("accepted") is True and document.get("basis") != CalibrationBasis.RELATIVE
        head = document if absolute else {**_NOTHING_SAID, **document}
        ita = document.get("ita_degrees")
        return cls(
            given_truth(head["accepted"], _("accepted")),
            CalibrationBasis(head["basis"]),
            Conditions(str(head["illuminant"]), observer_from(head["observer"])),
            {given_text(name, _("a region")): WrittenRegion.from_json(said) for name, said in head["regions"].items()},
            None if ita is None else WrittenAngle.from_json(ita),
            _rows(document.get("reasons"), WrittenReason.from_json),
            _rows(document.get("relative"), WrittenDifference.from_json),
            _section(document.get("chart")),
            _section(document.get("hair")),
            _section(document.get("for_together")),
            _rows(document.get("photographs"), WrittenPhotograph.from_json),
            {name: said for name, said in document.items() if name not in _TYPED},
        )

    def to_json(self) -> dict[str, Any]:
        """Return the object for `json.dumps`; what `from_json` reads again."""
        found: dict[str, Any] = {
            "accepted": self.accepted,
            "basis": str(self.basis),
            "illuminant": self.conditions.illuminant,
            "observer": str(self.conditions.observer),
            "regions": {name: region.to_json() for name, region in self.regions.items()},
            "ita_degrees": None if self.ita is None else self.ita.to_json(),
            **self._sections(),
            **self.more,
        }
        return {name: found.pop(name) for name in _ORDER if name in found} | found

    def _sections(self) -> dict[str, Any]:
        """Return the sections that were kept."""
        rows = {"reasons": self.reasons, "relative": self.relative, "photographs": self.photographs}
        plain = {"chart": self.chart, "hair": self.hair, "for_together": self.for_together}
        written = {name: [row.to_json() for row in kept] for name, kept in rows.items() if kept is not None}
        return written | {name: kept for name, kept in plain.items() if kept is not None}


def _rows(value: object, read: Callable[[WrittenSection], T]) -> tuple[T, ...] | None:
    if value is None:
        return None
    if not isinstance(value, list | tuple):
        raise NotAMeasurement(_("a section of rows is no list"))
    return tuple(read(row) for row in value)


def _section(value: object) -> WrittenSection | None:
    if value is not None and not isinstance(value, Mapping):
        raise NotAMeasurement(_("a section is no JSON object"))
    return value
