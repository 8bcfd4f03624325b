"""What is known of a light: computed from its spectrum, read off a meter, or estimated from a photograph."""

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from pathlib import Path

from tenter.arrays import steady
from tenter.colorimetry.lights.colour_fidelity import colour_fidelity
from tenter.colorimetry.lights.colour_rendering import rendering_indices
from tenter.colorimetry.lights.colour_temperature import FURTHEST_DUV, cct_and_duv, cct_and_duv_of_xy
from tenter.consultation.cloths.tables import json_of, read_text
from tenter.errors import TenterError, UnknownName, UnreadableInput
from tenter.given import given_number, given_path
from tenter.language import N_, _, as_typed, in_a_row
from tenter.light.face_lux import FACE_POINTS, MOST_LUX, FaceLux
from tenter.light.lamp_spectrum import LampSpectrum

# What a meter can show, least and most: temperatures where they are defined; indices by their formulae.
METER_RANGES: dict[str, tuple[float, float]] = {
    "cct": (1000.0, 100_000.0),
    "duv": (-FURTHEST_DUV, FURTHEST_DUV),
    "ra": (-150.0, 100.0),
    "r9": (-500.0, 100.0),
    "rf": (0.0, 100.0),
    "rg": (0.0, 250.0),
    "lux": (0.0, MOST_LUX),
    "x": (0.0, 1.0),
    "y": (0.001, 1.0),
}
_PAIR = re.compile(r"\s*([a-z0-9]+)\s*[=: ]\s*([-+−]?\d+(?:\.\d+)?)\s*(?:k|lx|lux)?\s*", re.IGNORECASE)
_STRONG_RED = 8  # R9's place among R1 to R14
KEPT_VALUES = N_("Pass the output of 'tenter light check --json', as it was written.")


class LightBasis(StrEnum):
    """How a light is known."""

    SPECTRUM = "spectrum"
    METER = "meter"
    PHOTOGRAPH = "photograph"


@dataclass(frozen=True, slots=True, kw_only=True)
class LightValues:
    """A light's values; None where nothing is known.

    ra, r9, rf: an index, where 100 is as under a reference light. rg: 100 is as strong as there, more is stronger.
    r: R1 to R14, where 100 is the most. local_hue_shifts: radians, and local_chroma_shifts: a share, for 16 hues
    (`ColourFidelity`).
    poor_lamp: of a photograph, how likely it is a lamp under which cameras and eyes part.
    remarks: sentences that go with the values wherever they are shown.
    """

    basis: LightBasis
    source: str
    cct_kelvin: float | None = None
    duv: float | None = None
    ra: float | None = None
    r9: float | None = None
    r: tuple[float, ...] | None = None
    rf: float | None = None
    rg: float | None = None
    local_hue_shifts: tuple[float, ...] | None = None
    local_chroma_shifts: tuple[float, ...] | None = None
    face: FaceLux | None = None
    poor_lamp: float | None = None
    remarks: tuple[str, ...] = ()

    @property
    def lux(self) -> float | None:
        """Illuminance on the face in lux, the mean of its points."""
        return None if self.face is None else self.face.mean

    def with_face(self, face: FaceLux | None) -> "LightValues":
        """Return the same light with the illuminance that was measured on the face, which goes before any other."""
        return self if face is None else replace(self, face=face)

    def to_json(self) -> dict[str, object]:
        """Return the values by their names in the command's JSON object."""
        face = None if self.face is None else self.face.points
        return {
            "basis": str(self.basis),
            "source": self.source,
            "cct": self.cct_kelvin,
            "duv": self.duv,
            "ra": self.ra,
            "r9": self.r9,
            "r": None if self.r is None else list(self.r),
            "rf": self.rf,
            "rg": self.rg,
            "local_hue_shifts": _listed(self.local_hue_shifts),
            "local_chroma_shifts": _listed(self.local_chroma_shifts),
            "lux": self.lux,
            "lux_points": face,
            "poor_lamp": self.poor_lamp,
            "remarks": list(self.remarks),
        }


def values_of_spectrum(spectrum: LampSpectrum) -> LightValues:
    """Return everything that a spectrum says of a light.

    Raises
    ------
    NoColourTemperature
        If the light is coloured.
    """
    white, rendering = cct_and_duv(spectrum.power), rendering_indices(spectrum.power)
    fidelity = colour_fidelity(spectrum.power)
    return LightValues(
        basis=LightBasis.SPECTRUM,
        source=spectrum.source,
        cct_kelvin=float(steady(white.cct_kelvin)),
        duv=float(steady(white.duv)),
        ra=float(steady(rendering.ra)),
        r9=float(steady(rendering.r[_STRONG_RED])),
        r=tuple(float(steady(v)) for v in rendering.r),
        rf=float(steady(fidelity.rf)),
        rg=float(steady(fidelity.rg)),
        local_hue_shifts=tuple(float(steady(v)) for v in fidelity.local_hue_shifts),
        local_chroma_shifts=tuple(float(steady(v)) for v in fidelity.local_chroma_shifts),
        face=None if spectrum.lux is None else FaceLux(whole=float(steady(spectrum.lux))),
        remarks=spectrum.remarks,
    )


def values_of_meter(values: Mapping[str, float], source: str = "meter") -> LightValues:
    """Return a light by a meter's values, in the units and within the ranges of `METER_RANGES`.

    values: kelvin, Duv, indices and lux by their names; x and y stand for a temperature and Duv.

    Raises
    ------
    UnknownName
        If a name is none of a meter's values.
    TenterError
        If a value is none that a meter shows, or only one of x and y came.
    NoColourTemperature
        If x and y are of a coloured light.
    """
    given: dict[str, float] = {}
    for name, value in values.items():
        key = name.strip().lower()
        if key not in METER_RANGES:
            raise UnknownName(_("meter value"), name, METER_RANGES)
        given[key] = given_number(value, _("{name} of a meter", name=name), *METER_RANGES[key])
    if not given:
        raise TenterError(_("no value of a meter came; give them as in cct=5600,duv=0.001,ra=97,r9=90,lux=1200"))
    if ("x" in given) != ("y" in given):
        raise TenterError(_("a meter's x and y belong together; give both, or the colour temperature instead"))
    if "x" in given:
        white = cct_and_duv_of_xy((given["x"], given["y"]))
        given = {"cct": float(steady(white.cct_kelvin)), "duv": float(steady(white.duv)), **given}
    lux = given.get("lux")
    return LightValues(
        basis=LightBasis.METER,
        source=source,
        cct_kelvin=given.get("cct"),
        duv=given.get("duv"),
        ra=given.get("ra"),
        r9=given.get("r9"),
        rf=given.get("rf"),
        rg=given.get("rg"),
        face=None if lux is None else FaceLux(whole=lux),
    )


def meter_values_from(text: str) -> LightValues:
    """Return a light by a text such as "cct=5600, ra=97, r9=90, lux=1200"; raises `TenterError` naming what is odd."""
    found: dict[str, float] = {}
    for part in filter(str.strip, re.split("[,;]", text)):
        match = _PAIR.fullmatch(part)
        if match is None:
            raise TenterError(
                _(
                    "{part} is no value of a meter; write each as name=value, with a decimal point, as in "
                    "cct=5600,duv=0.001,ra=97. Names: {names}",
                    part=as_typed(part.strip()),
                    names=in_a_row(list(METER_RANGES)),
                )
            )
        name = match[1].lower()
        if name in found:
            raise TenterError(_("the meter's {name} came twice; give one of them", name=name))
        found[name] = float(match[2].replace("−", "-"))
    return values_of_meter(found)


def read_kept_values(path: str | Path) -> LightValues:
    """Return the light of an earlier check, from its JSON.

    Raises
    ------
    UnreadableInput
        If it is none.
    TenterError
        If `path` names no file.
    """
    source = str(path)
    document = json_of(read_text(given_path(path)), source, KEPT_VALUES)
    return kept_light(document, source)


def kept_light(document: object, source: str) -> LightValues:
    """Return the light of an earlier check from what its JSON says; raises `UnreadableInput` where that is none."""
    if not isinstance(document, dict) or "basis" not in document:
        raise UnreadableInput(source, _("this is not the JSON of a light check"), _(KEPT_VALUES))
    try:
        return _kept(document, source)
    except (TenterError, TypeError, ValueError) as error:
        raise UnreadableInput(source, str(error), _(KEPT_VALUES)) from None


def _kept(document: Mapping[str, object], source: str) -> LightValues:
    numbers = {name: document.get(name) for name in ("cct", "duv", "ra", "r9", "rf", "rg")}
    checked = {
        name: None if value is None else given_number(value, name, low, high + 0.01)
        for name, value in numbers.items()
        for low, high in [METER_RANGES[name]]
    }
    points, lux = document.get("lux_points"), document.get("lux")
    face = None
    if isinstance(points, dict) and points:
        face = FaceLux(**{_known(name, FACE_POINTS, _("face point")): value for name, value in points.items()})
    elif lux is not None:
        face = FaceLux(whole=given_number(lux, _("lux"), 0, MOST_LUX))
    return LightValues(
        basis=LightBasis(_known(document["basis"], LightBasis, _("basis of a light"))),
        source=source,
        cct_kelvin=checked["cct"],
        duv=checked["duv"],
        ra=checked["ra"],
        r9=checked["r9"],
        rf=checked["rf"],
        rg=checked["rg"],
        face=face,
    )


def _known(name: object, names: Iterable[str], kind: str) -> str:
    """Return a name that is one of `names`, or raise `UnknownName`."""
    for one in names:
        if name == one:
            return str(one)
    raise UnknownName(kind, name, names)


def _listed(values: tuple[float, ...] | None) -> list[float | None] | None:
    return None if values is None else [None if math.isnan(v) else v for v in values]
