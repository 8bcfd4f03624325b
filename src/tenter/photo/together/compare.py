"""Photographs of the same face held against one another: where they disagree, and what they say together.

Two intervals are compared as if their errors were independent. They are not: card, face and often camera are shared,
which makes true differences smaller than that, so that what is called a disagreement is one. For the same reason a
combined interval shrinks less than independent errors would let it.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations
from pathlib import Path
from typing import Any

import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.measurement import D65_2
from tenter.errors import Refused, UnreadableInput
from tenter.language import N_, _, in_a_row, local_number, local_signed, ngettext, pgettext
from tenter.measured.face_parts import WrittenRegion
from tenter.measured.written_face import WrittenFace
from tenter.measured.written_numbers import NotAMeasurement
from tenter.photo.face.measure import measure_photo
from tenter.photo.face.result import FaceMeasurement
from tenter.photo.json_numbers import interval_json, rounded
from tenter.photo.regions.regions import SKIN, Region, region_in_words
from tenter.photo.together.combining import averaged

_COMPARED = (*SKIN, Region.LIPS)
# 90 % half-widths are widened until two photographs of 8 regions and 3 coordinates disagree by chance once in twenty:
# 3.08 / 1.645 (normal errors, Šidák), were all regions independent; they are not, so it is rarer.
_BEYOND = 1.87
# Part of an error's variance in L*, a*, b* that two photographs of one face share, by the pairs of rendered portraits
# (0.94, 0.28, -0.12 over 32 regions; the outline of a region and its shading are the same), rounded up.
SHARED = np.array([0.95, 0.4, 0.4])
_ALIKE = 0.5  # a shift is one of the whole face when its spread over regions is below this share of it
_FLUSHED, _EVENED, _SIDE_LIGHTNESS = 1.5, 0.6, 4.0


class TooFewMeasured(Refused):
    """Fewer than two of the photographs give absolute colours."""

    def __init__(self, count: int, of: int) -> None:
        self.count = count
        super().__init__(
            ngettext(
                "{count} of {total} photographs gives absolute colours, and two are needed; photograph the face with a "
                "card, or compare regions within each photograph",
                "{count} of {total} photographs give absolute colours, and two are needed; photograph the face with a "
                "card, or compare regions within each photograph",
                count,
                total=of,
            )
        )


class DisagreementCause(StrEnum):
    """What may lie behind a disagreement, likeliest first in a comparison."""

    SIDE_LIGHT = N_("the light came from another side")
    LIGHT = N_("another light or exposure")
    FLUSH = N_("a flush: exertion, warmth, or redness after cleansing")
    MAKE_UP = N_("make-up in one of them")
    FILTER = N_("a filter or a portrait mode in one of them")


@dataclass(frozen=True, slots=True)
class ColourWithin:
    """Lab (3,) with half-widths (3,) of its 90 % interval."""

    lab: FloatArray
    half_width_90: FloatArray

    @classmethod
    def of_written(cls, region: WrittenRegion) -> "ColourWithin | None":
        """Return the colour of a region as it was written; None where it has none."""
        if region.lab is None or region.lab_interval_90 is None:
            return None
        low, high = np.array(region.lab_interval_90).T
        return cls(np.array(region.lab), (high - low) / 2)

    def to_json(self) -> dict[str, Any]:
        """Return Lab with the ends of its interval, three decimals."""
        return {"lab": rounded(self.lab), "lab_interval_90": interval_json(self.lab, self.half_width_90)}


@dataclass(frozen=True, slots=True)
class ComparedFace:
    """What one photograph says of a face, by its name in messages; empty where it gives no absolute colours."""

    name: str
    regions: Mapping[Region, ColourWithin]

    @classmethod
    def of(cls, measured: FaceMeasurement, name: str) -> "ComparedFace":
        """Return the colours of a measurement."""
        found = {
            region: ColourWithin(colour.lab, colour.half_width_90)
            for region in _COMPARED
            if (colour := measured.regions[region]).lab is not None and colour.half_width_90 is not None
        }
        return cls(name, found)

    @classmethod
    def of_written(cls, face: WrittenFace, name: str) -> "ComparedFace":
        """Return the colours of a face as it was written."""
        read = {region: face.regions[region] for region in _COMPARED if region in face.regions}
        return cls(name, {r: colour for r, said in read.items() if (colour := ColourWithin.of_written(said))})


@dataclass(frozen=True, slots=True)
class RegionChange:
    """A region in two photographs: Lab of the second minus the first (3,), half-widths (3,) of its 90 % interval.

    allowed: what chance does to two photographs of one face (3,), once in twenty over all of it.
    """

    region: Region
    delta_lab: FloatArray
    half_width_90: FloatArray
    allowed: FloatArray

    @property
    def told(self) -> BoolArray:
        """Whether each of L*, a*, b* (3,) differs by more than chance allows."""
        return np.abs(self.delta_lab) > self.allowed


@dataclass(frozen=True, slots=True)
class Disagreement:
    """A region that two photographs show differently.

    delta_lab: Lab of the second minus the first, (3,). allowed: by how much they may differ by chance, (3,).
    """

    region: Region
    first: str
    second: str
    delta_lab: FloatArray
    allowed: FloatArray

    @property
    def text(self) -> str:
        """The disagreement in plain words."""
        beyond = np.abs(self.delta_lab) > self.allowed
        moved = [
            _(
                "{axis} {change} (up to {most} by chance)",
                axis=axis,
                change=local_signed(value),
                most=local_number(most, 1),
            )
            for axis, value, most, told in zip(("L*", "a*", "b*"), self.delta_lab, self.allowed, beyond, strict=True)
            if told
        ]
        return _(
            "{region}: {changes} in {second} against {first}",
            region=region_in_words(self.region),
            changes=in_a_row(moved),
            second=self.second,
            first=self.first,
        )

    def to_json(self) -> dict[str, Any]:
        """Return what `tenter face compare --json` says of the disagreement."""
        return {
            "region": str(self.region),
            "from": self.first,
            "to": self.second,
            "delta_lab": rounded(self.delta_lab),
            "allowed": rounded(self.allowed),
            "text": self.text,
        }


@dataclass(frozen=True, slots=True)
class Comparison:
    """Where photographs disagree, why perhaps, and the combined colour of each region; None where they disagree."""

    photographs: tuple[str, ...]
    left_out: tuple[str, ...]
    disagreements: tuple[Disagreement, ...]
    causes: tuple[DisagreementCause, ...]
    combined: Mapping[Region, ColourWithin | None]

    @property
    def agree(self) -> bool:
        """Whether no region disagrees."""
        return not self.disagreements

    @property
    def text(self) -> str:
        """What the comparison comes to, in plain words."""
        left = _("Left out, as they give no absolute colours: {photographs}.", photographs=in_a_row(self.left_out))
        return f"{self._found} {left}" if self.left_out else self._found

    @property
    def _found(self) -> str:
        if self.agree:
            return ngettext(
                "The {count} photograph agrees within its intervals.",
                "The {count} photographs agree within their intervals.",
                len(self.photographs),
            )
        return _(
            "The photographs disagree beyond their intervals. Perhaps {causes}. Take them again in one light, without "
            "make-up and filters, after ten quiet minutes.",
            causes=pgettext("between causes", "; or ").join(_(str(cause)) for cause in self.causes),
        )

    def to_json(self) -> dict[str, Any]:
        """Return the object that `tenter face compare --json` prints."""
        return {
            "photographs": list(self.photographs),
            "left_out": list(self.left_out),
            "agree": self.agree,
            "text": self.text,
            "illuminant": D65_2.illuminant,
            "observer": str(D65_2.observer),
            "disagreements": [found.to_json() for found in self.disagreements],
            "causes": [str(cause) for cause in self.causes],
            "combined": {str(r): None if c is None else c.to_json() for r, c in self.combined.items()},
        }


def compare_faces(measurements: Sequence[FaceMeasurement | ComparedFace]) -> Comparison:
    """Return where photographs of one face disagree beyond their intervals, and what they say together.

    Raises
    ------
    TooFewMeasured
        If fewer than two of them give absolute colours.
    """
    faces = [
        found if isinstance(found, ComparedFace) else ComparedFace.of(found, _("photograph {number}", number=n))
        for n, found in enumerate(measurements, start=1)
    ]
    usable = [face for face in faces if face.regions]
    if len(usable) < 2:
        raise TooFewMeasured(len(usable), len(faces))
    disagreements = [d for one, other in combinations(usable, 2) for d in _disagreements(one, other)]
    apart = {d.region for d in disagreements}
    combined = {
        region: None if region in apart else _combined([f.regions[region] for f in usable if region in f.regions])
        for region in _COMPARED
        if any(region in face.regions for face in usable)
    }
    causes: dict[DisagreementCause, None] = {}
    for one, other in combinations(usable, 2):
        if any({d.first, d.second} == {one.name, other.name} for d in disagreements):
            causes |= dict.fromkeys(causes_between(one, other))
    left_out = tuple(face.name for face in faces if not face.regions)
    return Comparison(tuple(f.name for f in usable), left_out, tuple(disagreements), tuple(causes), combined)


def region_changes(one: ComparedFace, other: ComparedFace) -> tuple[RegionChange, ...]:
    """Return how the second of two photographs of one face differs from the first, region by region."""
    found = []
    for region in (r for r in _COMPARED if r in one.regions and r in other.regions):
        first, second = one.regions[region], other.regions[region]
        half = np.hypot(first.half_width_90, second.half_width_90)
        found.append(RegionChange(region, second.lab - first.lab, half, _BEYOND * half))
    return tuple(found)


def _disagreements(one: ComparedFace, other: ComparedFace) -> list[Disagreement]:
    return [
        Disagreement(change.region, one.name, other.name, change.delta_lab, change.allowed)
        for change in region_changes(one, other)
        if change.told.any()
    ]


def _combined(colours: Sequence[ColourWithin]) -> ColourWithin:
    """Return the mean weighted by precision; of each error's variance the part `SHARED` does not average out."""
    halves = np.stack([colour.half_width_90 for colour in colours])
    labs = np.stack([colour.lab for colour in colours])
    lab, own, shared = averaged(labs, np.sqrt(1 - SHARED) * halves, np.sqrt(SHARED) * halves)
    return ColourWithin(lab, np.hypot(own, shared))


def causes_between(one: ComparedFace, other: ComparedFace) -> list[DisagreementCause]:
    """Return what the pattern of the differences over the face points to, likeliest first; at least two."""
    both = [region for region in _COMPARED if region in one.regions and region in other.regions]
    delta = {region: other.regions[region].lab - one.regions[region].lab for region in both}
    skin = np.array([delta[region] for region in SKIN if region in delta]).reshape(-1, 3)
    found = []
    if _opposed(delta):
        found.append(DisagreementCause.SIDE_LIGHT)
    if len(skin) and np.linalg.norm(skin.std(axis=0)) < _ALIKE * np.linalg.norm(skin.mean(axis=0)):
        found.append(DisagreementCause.LIGHT)
    if _redder(delta):
        found.append(DisagreementCause.FLUSH)
    lips = delta.get(Region.LIPS)
    if (
        lips is not None
        and len(skin)
        and np.linalg.norm(lips - skin.mean(axis=0)) > 2 * np.linalg.norm(skin.std(axis=0)) + 3
    ):
        found.append(DisagreementCause.MAKE_UP)
    if len(skin) > 2 and not _EVENED < _unevenness(one, both) / max(_unevenness(other, both), 1e-6) < 1 / _EVENED:
        found += [DisagreementCause.FILTER, DisagreementCause.MAKE_UP]
    return list(dict.fromkeys([*found, DisagreementCause.LIGHT, DisagreementCause.MAKE_UP]))[
        : max(2, len(dict.fromkeys(found)))
    ]


def _opposed(delta: Mapping[Region, FloatArray]) -> bool:
    left, right = delta.get(Region.CHEEK_LEFT), delta.get(Region.CHEEK_RIGHT)
    return left is not None and right is not None and abs(float(left[0] - right[0])) > _SIDE_LIGHTNESS


def _redder(delta: Mapping[Region, FloatArray]) -> bool:
    """Return whether cheeks and nose gained or lost redness that forehead and jaw did not."""
    flushes = [delta[r][1] for r in (Region.CHEEK_LEFT, Region.CHEEK_RIGHT, Region.NOSE) if r in delta]
    rest = [delta[r][1] for r in (Region.FOREHEAD, Region.JAW_LEFT, Region.JAW_RIGHT) if r in delta]
    return bool(flushes and rest and abs(float(np.mean(flushes) - np.mean(rest))) > _FLUSHED)


def _unevenness(face: ComparedFace, regions: Sequence[Region]) -> float:
    """Return how much hue and chroma differ over the skin: what make-up and filters even out and shading does not."""
    labs = np.array(
        [face.regions[region].lab[1:] / face.regions[region].lab[0] for region in regions if region in SKIN]
    )
    return float(np.linalg.norm(labs.std(axis=0)))


def colours_at(path: Path) -> ComparedFace:
    """Return the colours in a photograph with a classic card, or in the JSON that `tenter face measure` printed.

    Raises
    ------
    UnreadableInput
        If the file cannot be read as either.
    MissingPart
        If it is a photograph, and the part that finds faces is not installed.
    """
    if path.suffix.lower() != ".json":
        return ComparedFace.of(measure_photo(path), path.name)
    try:
        face = WrittenFace.from_json(json.loads(path.read_text(encoding="utf-8")))
    except OSError as problem:
        raise UnreadableInput(str(path), problem.strerror or str(problem), _("Check the path and the name")) from None
    except (ValueError, RecursionError, NotAMeasurement) as problem:
        raise UnreadableInput(
            path.name,
            _("not a measured face ({problem})", problem=problem),
            _("Give what `tenter face measure PHOTO --json` printed"),
        ) from None
    found = ComparedFace.of_written(face, path.name)
    if not all((colour.half_width_90 > 0).all() for colour in found.regions.values()):
        raise UnreadableInput(path.name, _("an interval in it is empty"), _("Measure the photograph again"))
    return found
