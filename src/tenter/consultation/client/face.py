"""A measured face, as the consultation needs it: the JSON that `tenter face measure` writes."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from tenter.colorimetry.measurement import Conditions
from tenter.colorimetry.typology import ItaClass
from tenter.consultation.cloths.tables import json_of, read_text
from tenter.errors import TenterError, UnreadableInput
from tenter.given import given_number, given_path
from tenter.language import _
from tenter.measured.written_face import WrittenFace
from tenter.measured.written_numbers import NotAMeasurement, Triple, Within

_PLAUSIBLE = {"L": (-5.0, 150.0), "a": (-150.0, 150.0), "b": (-150.0, 150.0)}  # of a face, which may shine
_FURTHEST = 1e3  # an end of an interval from 0, in L*, a*, b* or degrees; set by judgement
_SKIN = ("forehead", "cheek_left", "cheek_right", "chin", "nose", "jaw_left", "jaw_right")
_DARKER_FEATURES = ("brow_left", "brow_right", "brows", "hair", "iris_left", "iris_right", "irises")
_OWN_CONTRAST = ("hair", "iris_left", "iris_right", "irises")


@dataclass(frozen=True, slots=True)
class FaceColour:
    """The CIELAB (3,) of one region with its 90 % interval per axis, as (low, high)."""

    lab: Triple
    interval_90: tuple[Within, ...]


@dataclass(frozen=True, slots=True)
class Face:
    """Colours of a face's regions, by name, under one light and observer.

    ita_degrees: the individual typology angle; ita_interval_90: None where the measurement kept none. photographs: how
    many the colours were measured in.
    """

    conditions: Conditions
    regions: Mapping[str, FaceColour]
    ita_degrees: float | None = None
    ita_class: ItaClass | None = None
    photographs: int = 1
    ita_interval_90: tuple[float, float] | None = None

    @classmethod
    def read(cls, path: str | Path) -> "Face":
        """Return the face of a JSON file.

        Raises `UnreadableInput` where it cannot be read, is no JSON object, or holds a refused or relative measurement;
        `TenterError` for what is no path.
        """
        text = read_text(given_path(path))
        remedy = _("Use the output of 'tenter face measure'.")
        document = json_of(text, str(path), remedy)
        if not isinstance(document, dict):
            raise UnreadableInput(str(path), _("not a JSON object"), remedy)
        return cls.from_json(document, str(path))

    @classmethod
    def from_json(cls, document: Mapping[str, object], source: str = "face") -> "Face":
        """Return the face of the JSON that `tenter face measure` writes; `source` names it in messages.

        Raises `UnreadableInput` for what is no such object, and for a photograph that was refused or gave no absolute
        colours.
        """
        if not isinstance(document, Mapping):
            raise UnreadableInput(source, _("not a JSON object"), _("Use the output of 'tenter face measure'."))
        try:
            face = WrittenFace.from_json(document)
        except NotAMeasurement as error:
            raise _not_measured(source, error) from None
        return cls.of_written(face, source)

    @classmethod
    def of_written(cls, face: WrittenFace, source: str = "face") -> "Face":
        """Return a face as it was measured; raises `UnreadableInput` for a refused or relative measurement."""
        if not face.absolute:
            raise UnreadableInput(
                source,
                _("the photograph gave no absolute colours"),
                _("Photograph the face beside a card and measure it again."),
            )
        try:
            return cls._of(face)
        except TenterError as error:
            raise _not_measured(source, error) from None

    @classmethod
    def _of(cls, face: WrittenFace) -> "Face":
        found = {
            name: FaceColour(_plausible(region.lab), tuple(map(_bounded, region.lab_interval_90)))
            for name, region in face.regions.items()
            if region.lab is not None and region.lab_interval_90 is not None
        }
        if not any(name in found for name in _SKIN):
            raise TenterError(_("no skin region has a colour"))
        count = 1 if face.photographs is None else sum(one.used for one in face.photographs)
        if face.ita is None:
            return cls(face.conditions, found, photographs=count)
        ends = face.ita.interval_90
        within = None if ends is None else _bounded(ends)
        return cls(face.conditions, found, face.ita.degrees, face.ita.ita_class, count, within)

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


def _not_measured(source: str, error: TenterError) -> UnreadableInput:
    problem = _("not the output of 'tenter face measure' ({error})", error=error)
    return UnreadableInput(source, problem, _("Measure the photograph again and save its --json output."))


def _bounded(ends: Within) -> Within:
    low, high = (given_number(end, _("an end of an interval"), -_FURTHEST, _FURTHEST) for end in ends)
    return low, high


def _plausible(lab: Triple) -> Triple:
    L, a, b = (
        given_number(v, _("{axis}* of a region", axis=axis), *_PLAUSIBLE[axis])
        for axis, v in zip("Lab", lab, strict=True)
    )
    return L, a, b
