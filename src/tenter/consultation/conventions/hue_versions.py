"""The warm and the cool version of each hue family: the undertone of a cloth *within* its hue.

The hue table alone leaves whole families to one side: every blue and purple is cool by it, every brown warm. The trade
knows a warm and a cool version of most hues, a teal-blue and a violet-blue, so that a cloth's place within its family
joins the table as a second term where it is asked what to wear. Conventions of the trade, from the method file.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.spaces import chroma, hue_angle
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.conventions.method_fields import Fields, choice, finite_number, items, text, within
from tenter.consultation.words.traits import UndertoneSide
from tenter.errors import TenterError
from tenter.language import _, as_written

Ends = tuple[float, float]


@dataclass(frozen=True, slots=True)
class HueVersion:
    """One family: where its warm and its cool end lie, and what each version is called.

    hue_ends, chroma_ends: the warm and the cool end, in degrees and in C*; None where the family has but one version.
    warm, cool: names of the version, empty where there is none. warm_instead, cool_instead: what is worn in its place.
    Raises `TenterError` for two ends that are the same, a hue outside 0 to 360, and a side that has both a version and
    something instead.
    """

    family: HueFamily
    hue_ends: Ends | None = None
    chroma_ends: Ends | None = None
    warm: str = ""
    cool: str = ""
    warm_instead: str = ""
    cool_instead: str = ""

    def __post_init__(self) -> None:
        for name, ends in (("hue_ends", self.hue_ends), ("chroma_ends", self.chroma_ends)):
            if ends is not None and ends[0] == ends[1]:
                raise TenterError(
                    _(
                        "{family}: the warm and the cool end of {name} are the same, {angle}",
                        family=self.family,
                        name=name,
                        angle=as_written(f"{ends[0]:g}"),
                    )
                )
        if self.hue_ends is not None and not all(0 <= end < 360 for end in self.hue_ends):
            raise TenterError(
                _(
                    "{family}: hue_ends are degrees from 0 to below 360; got {hue_ends}",
                    family=self.family,
                    hue_ends=self.hue_ends,
                )
            )
        for side in UndertoneSide:
            if self.named(side) and self.instead(side):
                raise TenterError(
                    _(
                        "{family}: both {version} and {instead} are given; keep one",
                        family=self.family,
                        version=side.value,
                        instead=f"{side}_instead",
                    )
                )

    def named(self, side: UndertoneSide) -> str:
        """Return what the version of a side is called, or ''."""
        return self.warm if side is UndertoneSide.WARM else self.cool

    def instead(self, side: UndertoneSide) -> str:
        """Return what a client of a side wears in place of this family, or ''."""
        return self.warm_instead if side is UndertoneSide.WARM else self.cool_instead

    def place(self, lab: FloatArray) -> FloatArray | None:
        """Return where colours (..., 3), D65/10°, lie within the family, shape (...).

        From 1 at its warm end to -1 at its cool one; None where the family has no ends.
        """
        told = []
        if self.hue_ends is not None:
            told.append(_between(_turned(hue_angle(lab), self.hue_ends[1]), _turned_end(self.hue_ends), 0.0))
        if self.chroma_ends is not None:
            told.append(_between(chroma(lab), *self.chroma_ends))
        return np.mean(told, axis=0) if told else None


def _turned_end(ends: Ends) -> float:
    return float((ends[0] - ends[1] + 180) % 360 - 180)


def _turned(hue_degrees: FloatArray, end: float) -> FloatArray:
    """Return angles from an end, −180 to 180."""
    return (hue_degrees - end + 180) % 360 - 180


def _between(values: FloatArray, warm: float, cool: float) -> FloatArray:
    return np.clip(2 * (values - cool) / (warm - cool) - 1, -1, 1)


@dataclass(frozen=True, slots=True)
class HueVersions:
    """Every family's versions, and how much a place within the family counts beside the hue table.

    Raises `TenterError` for a weight outside 0 to 1.
    """

    weight: float = 0.0
    of: Mapping[HueFamily, HueVersion] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not 0 <= self.weight <= 1:
            raise TenterError(
                _("within_family is a share from 0 to 1; got {weight}", weight=as_written(f"{self.weight:g}"))
            )

    def hue_weight(self, table: FloatArray, lab: FloatArray, families: Sequence[HueFamily]) -> FloatArray:
        """Return warm (+) or cool (-) weights (n,): those of the hue table, with the place within the family.

        table (n,): what the hue table says of each colour. lab (n, 3): CIELAB under D65/10°, of hue families (n).
        """
        mixed = table.copy()
        for family, version in self.of.items():
            rows = np.array([f is family for f in families], dtype=bool)
            place = version.place(lab[rows])
            if place is not None:
                mixed[rows] = (1 - self.weight) * table[rows] + self.weight * place
        return mixed


def versions_from(fields: Fields) -> HueVersions:
    """Return the versions of the hue families; a method that names none wears what it judges by.

    Raises `TenterError` where a family has two tables, or a field is of the wrong kind.
    """
    undertone = fields.table("undertone")
    weight = undertone.get("within_family", within(0, 1)) if "within_family" in undertone else 0.0
    named = [_version(f) for f in fields.tables("hues")] if "hues" in fields else []
    of = {version.family: version for version in named}
    if len(of) < len(named):
        raise TenterError(_("a hue family has its versions once; two tables of [[hues]] name the same one"))
    return HueVersions(weight, of)


def _version(fields: Fields) -> HueVersion:
    def ends(name: str) -> Ends | None:
        if name not in fields:
            return None
        warm, cool = fields.get(name, items(finite_number, 2))
        return warm, cool

    words = {
        f"{side}_instead": fields.get(f"{side}_instead", text) for side in UndertoneSide if f"{side}_instead" in fields
    }
    words |= {s: fields.get(s, text) for s in map(str, UndertoneSide) if s in fields or f"{s}_instead" not in words}
    version = HueVersion(fields.get("family", choice(HueFamily)), ends("hue_ends"), ends("chroma_ends"), **words)
    fields.require_all_read()
    return version
