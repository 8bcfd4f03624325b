"""A room whose F was measured, as a file: what `tenter face series --json` shows of it, and what is kept of that."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from tenter.arrays import FloatArray
from tenter.consultation.cloths.reflection_factors import ReflectionFactor, ShadedSide, default_factors, shaded_side
from tenter.consultation.cloths.tables import json_of, read_text
from tenter.consultation.reflected.effect import ThrowingSurface
from tenter.consultation.reflected.measured_factor import MeasuredFactor, RoomPhotographs, measured_factors
from tenter.errors import Refused, TenterError, UnreadableInput
from tenter.given import given_number, given_path, given_truth
from tenter.language import N_, _
from tenter.measured.written_numbers import Triple
from tenter.measured.written_series import WrittenSeries

_SERIES_REMEDY = N_("Use the output of 'tenter face series --json'.")
_ROOM_REMEDY = N_("Use a file that a measured room was saved in.")
_LIGHT_ENOUGH = 5.0  # XYZ of skin beside a card: below 1; beyond this it is no reading
_LARGEST_FACTOR = 10.0  # of a room, and of its sheen: far beyond what any has


@dataclass(frozen=True, eq=False)
class MeasuredRoom:
    """A room's F by place of the face, the shaded side that its defaults went by, and the cloths it was measured with.

    measured: what the photographs gave, by place. factors: what is used, the default where a place was not read.
    """

    factors: Mapping[str, ReflectionFactor]
    measured: Mapping[str, MeasuredFactor]
    shaded: ShadedSide
    cloths: tuple[str, str]

    def to_json(self) -> dict[str, object]:
        """Return the object that `tenter reflect room --json` prints."""
        return {
            "cloths": list(self.cloths),
            "shaded_side": str(self.shaded),
            "regions": {
                region: {
                    "factor": round(factor.value, 4),
                    "factor_range": [round(factor.low, 4), round(factor.high, 4)],
                    "sheen": factor.sheen,
                    "measured": self.measured[region].to_json() if region in self.measured else None,
                }
                for region, factor in self.factors.items()
            },
        }


def measure_room(photographs: RoomPhotographs, a: ThrowingSurface, b: ThrowingSurface) -> MeasuredRoom:
    """Return a room's F by photographs with two cloths in turn; otherwise as `measured_factors`."""
    shaded = shaded_side({region: _lightness(xyz) for region, xyz in photographs.xyz.items()})
    defaults = default_factors(shaded)
    measured = measured_factors(photographs, a, b, defaults)
    used = {region: measured[region].used if region in measured else defaults[region] for region in defaults}
    return MeasuredRoom(used, measured, shaded, (a.name, b.name))


def read_room_factors(path: str | Path) -> dict[str, ReflectionFactor]:
    """Return the factors of a file that `tenter reflect room --json` wrote.

    Raises `UnreadableInput` for another file, and `TenterError` for what is no path.
    """
    return factors_of_room(json_of(read_text(given_path(path)), str(path), _(_ROOM_REMEDY)), str(path))


def factors_of_room(document: object, source: str) -> dict[str, ReflectionFactor]:
    """Return the factors of what the JSON of `tenter reflect room` says; raises `UnreadableInput` for another."""
    try:
        regions = document["regions"]  # type: ignore[index]  # whatever else it is, is said below
        return {str(name): _factor_of(said) for name, said in regions.items()}
    except TenterError as error:
        raise UnreadableInput(source, _("not a measured room ({error})", error=error), _(_ROOM_REMEDY)) from None
    except (LookupError, TypeError, ValueError, AttributeError) as error:
        problem = _("not a measured room")
        if isinstance(error, KeyError):
            problem = _("not a measured room (it has no {name})", name=error)
        raise UnreadableInput(source, problem, _(_ROOM_REMEDY)) from None


@dataclass(frozen=True, slots=True)
class RoomShare:
    """F of one place as a room's file says that photographs gave it, with its 90 % interval.

    estimate, low, high: shares of the light, -10 to 10. kept_default: whether the default stayed, as the interval holds
    it.
    """

    estimate: float
    low: float
    high: float
    kept_default: bool


def measured_shares(document: Mapping[str, Any], source: str) -> dict[str, RoomShare]:
    """Return what the photographs gave, by place, of what `MeasuredRoom.to_json` wrote.

    It is empty for a room without it. Raises `UnreadableInput` where it is something else.
    """
    try:
        told = {str(name): said.get("measured") for name, said in document["regions"].items()}
        return {name: _share_of(said) for name, said in told.items() if said is not None}
    except (TenterError, LookupError, TypeError, ValueError, AttributeError) as error:
        raise UnreadableInput(
            source, _("not what was measured of a room ({error})", error=error), _(_ROOM_REMEDY)
        ) from None


def _share_of(said: Mapping[str, Any]) -> RoomShare:
    low, high = said["interval_90"]
    estimate, low, high = (
        given_number(v, _("a share"), -_LARGEST_FACTOR, _LARGEST_FACTOR) for v in (said["estimate"], low, high)
    )
    return RoomShare(estimate, low, high, given_truth(said["kept_default"], _("kept_default")))


def read_room_photographs(path: str | Path) -> RoomPhotographs:
    """Return the photographs of a file that `tenter face series --json` wrote.

    Raises `UnreadableInput` for another file, and `TenterError` for what is no path.
    """
    document = json_of(read_text(given_path(path)), str(path), _(_SERIES_REMEDY))
    if not isinstance(document, Mapping):
        raise UnreadableInput(str(path), _("not a JSON object"), _(_SERIES_REMEDY))
    return room_photographs(document, str(path))


def room_photographs(document: Mapping[str, object], source: str = "series") -> RoomPhotographs:
    """Return the photographs of the JSON that `tenter face series` writes.

    Raises
    ------
    Refused
        If the series was refused.
    UnreadableInput
        If it is another document.
    """
    try:
        series = WrittenSeries.from_json(document)
        if series.accepted:
            return _photographs_of(series)
    except TenterError as error:
        raise UnreadableInput(
            source,
            _("not the output of 'tenter face series' ({error})", error=error),
            _("Measure the series again with --json."),
        ) from None
    why = " ".join(series.refusals)
    raise Refused(_("{source}: the series was not measured, so no room can be. {why}", source=source, why=why))


def _photographs_of(series: WrittenSeries) -> RoomPhotographs:
    read = series.for_room
    if read is None:
        raise TenterError(_("it has no 'for_room'"))
    xyz = {region: _rows(frames) for region, frames in read.xyz.items()}
    return RoomPhotographs(
        series.pattern, xyz, series.conditions, read.lightness_floor, read.relative_error_90, read.drape
    )


def _rows(frames: Sequence[Triple | None]) -> FloatArray:
    return np.array([[np.nan] * 3 if xyz is None else [_light(value) for value in xyz] for xyz in frames])


def _light(value: object) -> float:
    return given_number(value, _("X, Y and Z of a place"), 1e-6, _LIGHT_ENOUGH)


def _factor_of(said: Mapping[str, Any]) -> ReflectionFactor:
    low, high = said["factor_range"]
    value, least, most, sheen = (
        given_number(v, _("a factor"), 0, _LARGEST_FACTOR) for v in (said["factor"], low, high, said["sheen"])
    )
    return ReflectionFactor(value, least, most, sheen)


def _lightness(xyz: FloatArray) -> float:
    luminance = xyz[:, 1][np.isfinite(xyz[:, 1])]
    return float(116 * np.cbrt(luminance.mean()) - 16) if luminance.size else float("nan")
