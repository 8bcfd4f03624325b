"""A measured face, as the consultation needs it: the JSON that `tenter face measure` writes."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from tenter.colorimetry.illuminants import observer_from
from tenter.colorimetry.measurement import Conditions
from tenter.colorimetry.typology import ItaClass
from tenter.consultation.cloths.tables import json_of, read_text
from tenter.errors import TenterError, UnreadableInput
from tenter.given import given_number, given_path, given_truth

Triple = tuple[float, float, float]
_PLAUSIBLE = {"L": (-5.0, 150.0), "a": (-150.0, 150.0), "b": (-150.0, 150.0)}  # of a face, which may shine
_SKIN = ("forehead", "cheek_left", "cheek_right", "chin", "nose", "jaw_left", "jaw_right")
_DARKER_FEATURES = ("brow_left", "brow_right", "brows", "hair", "iris_left", "iris_right", "irises")
_OWN_CONTRAST = ("hair", "iris_left", "iris_right", "irises")


@dataclass(frozen=True, slots=True)
class FaceColour:
    """The colour of one region with its 90 % interval per axis, as (low, high)."""

    lab: Triple
    interval_90: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Face:
    """Colours of a face's regions under one light and observer.

    ita_interval_90: None where the measurement kept none. photographs: how many the colours were measured in.
    """

    conditions: Conditions
    regions: Mapping[str, FaceColour]
    ita_degrees: float | None = None
    ita_class: ItaClass | None = None
    photographs: int = 1
    ita_interval_90: tuple[float, float] | None = None

    @classmethod
    def read(cls, path: str | Path) -> "Face":
        """Return the face of a JSON file; raises `UnreadableInput` for a refused or relative measurement."""
        text = read_text(given_path(path))
        remedy = "Use the output of 'tenter face measure'."
        document = json_of(text, str(path), remedy)
        if not isinstance(document, dict):
            raise UnreadableInput(str(path), "not a JSON object", remedy)
        return cls.from_json(document, str(path))

    @classmethod
    def from_json(cls, document: Mapping[str, object], source: str = "face") -> "Face":
        """Return the face of the JSON that `tenter face measure` writes."""
        if not isinstance(document, Mapping):
            raise UnreadableInput(source, "not a JSON object", "Use the output of 'tenter face measure'.")
        if document.get("accepted") is not True or document.get("basis") == "relative":
            raise UnreadableInput(
                source,
                "the photograph gave no absolute colours",
                "Photograph the face beside a card and measure it again.",
            )
        try:
            return cls._parse(document)
        except (LookupError, TypeError, ValueError, ArithmeticError, AttributeError, TenterError) as error:
            problem = f"not the output of 'tenter face measure' ({error!r})"
            raise UnreadableInput(source, problem, "Measure the photograph again and save its --json output.") from None

    @classmethod
    def _parse(cls, document: Mapping[str, object]) -> "Face":
        regions: object = document["regions"]
        if not isinstance(regions, Mapping):
            raise TypeError("regions")
        conditions = Conditions(str(document["illuminant"]), observer_from(document["observer"]))
        found = {
            str(name): FaceColour(_triple(r["lab"]), _intervals(r["lab_interval_90"]))
            for name, r in regions.items()
            if r.get("lab") is not None
        }
        if not any(name in found for name in _SKIN):
            raise ValueError("no skin region has a colour")
        ita: object = document.get("ita_degrees")
        count = _used(document.get("photographs"))
        if isinstance(ita, Mapping):
            within = _pair(ita["interval_90"]) if "interval_90" in ita else None
            return cls(
                conditions,
                found,
                given_number(ita["value"], "ita_degrees", -180, 180),
                ItaClass(str(ita["class"])),
                count,
                within,
            )
        return cls(conditions, found, photographs=count)

    @property
    def skin_lightness(self) -> float:
        """The mean L* of forehead and cheeks, or of what skin there is."""
        values = [region.lab[0] for region in self._skin]
        return sum(values) / len(values)

    @property
    def skin_lightness_90(self) -> tuple[float, float]:
        """The 90 % interval of `skin_lightness`: as wide as the regions' own, whose errors are shared."""
        low, high = ([region.interval_90[0][end] for region in self._skin] for end in (0, 1))
        return sum(low) / len(low), sum(high) / len(high)

    @property
    def _skin(self) -> list[FaceColour]:
        first = [self.regions[n] for n in _SKIN[:3] if n in self.regions]
        return first or [self.regions[n] for n in _SKIN if n in self.regions]

    @property
    def darkest_feature(self) -> tuple[str, FaceColour] | None:
        """The darkest of hair, brows and irises with its colour, or None where none was measured."""
        found = [(n, self.regions[n]) for n in _DARKER_FEATURES if n in self.regions]
        return min(found, key=lambda f: f[1].lab[0]) if found else None

    @property
    def shows_contrast(self) -> bool:
        """Whether hair or irises were measured: brows alone, thin or fair, say nothing about a face's contrast."""
        return any(name in self.regions for name in _OWN_CONTRAST)


def _used(photographs: object) -> int:
    """Return how many photographs a face measured in several of them rests on; 1 where it was measured in one."""
    if photographs is None:
        return 1
    if not isinstance(photographs, list):
        raise TypeError("photographs is no list")
    return sum(given_truth(one["used"], "used") for one in photographs)


def _pair(values: Iterable[object]) -> tuple[float, float]:
    low, high = (given_number(v, "an end of an interval", -1e3, 1e3) for v in values)
    if low > high:
        raise ValueError("an interval ends before it begins")
    return low, high


def _intervals(values: object) -> tuple[tuple[float, float], ...]:
    if not isinstance(values, list) or len(values) != 3:
        raise ValueError("lab_interval_90 needs an interval for each of L*, a* and b*")
    return tuple(_pair(within) for within in values)


def _triple(values: object) -> Triple:
    if not isinstance(values, list) or len(values) != 3:
        raise ValueError("lab needs three numbers")
    L, a, b = (
        given_number(v, f"{axis}* of a region", *_PLAUSIBLE[axis]) for axis, v in zip("Lab", values, strict=True)
    )
    return L, a, b
