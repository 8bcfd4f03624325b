"""Flush against an earlier photograph of the same person: how redness and lightness of the cheeks have changed.

Only cheeks against forehead are compared, as what the camera does to both alike then leaves the change. Redness is a*
brought to the forehead's lightness: a shaded cheek has less a* for the same skin. A change of lightness is mostly a
change of light, so that its interval is widened by how far the two cheeks changed differently.
"""

import json
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any

import numpy as np

from tenter.arrays import FloatArray
from tenter.errors import TenterError, UnreadableInput
from tenter.language import N_, _
from tenter.measured.written_face import WrittenFace
from tenter.measured.written_numbers import NotAMeasurement
from tenter.photo.face.result import FaceMeasurement
from tenter.photo.regions.regions import Region

_CHEEKS = (Region.CHEEK_LEFT, Region.CHEEK_RIGHT)
_REMEDY = N_("Give what 'tenter face measure --json' wrote for an accepted photograph with a card")


class BaselineChange(StrEnum):
    """What the interval of a change allows to be said."""

    MORE = "more"
    LESS = "less"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True, slots=True)
class CheeksAgainstForehead:
    """L* and redness of the cheeks against the forehead of one photograph, for left and right cheek.

    steps: (2, 2), per cheek the step in L* and in redness. half_width_90: the same for their intervals.
    """

    steps: FloatArray
    half_width_90: FloatArray


@dataclass(frozen=True, slots=True)
class Flush:
    """The change from the earlier to the present photograph, mean of both cheeks, each with its 90 % interval.

    redness: now minus then, of the step in a* from the forehead to the cheeks, these taken to the forehead's lightness.
    lightness: the same of L*, as it was read.
    """

    redness: float
    redness_90: tuple[float, float]
    lightness: float
    lightness_90: tuple[float, float]

    @property
    def redder(self) -> BaselineChange:
        """Whether the cheeks are redder than in the earlier photograph."""
        return _said(self.redness_90)

    @property
    def lighter(self) -> BaselineChange:
        """Whether the cheeks are lighter than in the earlier photograph."""
        return _said(self.lightness_90)

    def to_json(self) -> dict[str, Any]:
        """Return what `tenter face measure --baseline` adds to its object."""
        return {
            "redness": {**_change(self.redness, self.redness_90), "redder": str(self.redder)},
            "lightness": {**_change(self.lightness, self.lightness_90), "lighter": str(self.lighter)},
        }


def read_baseline(path: Path) -> CheeksAgainstForehead:
    """Return the cheeks of an earlier measurement's JSON file; raises `UnreadableInput` where it has none."""
    try:
        return _cheeks_in(WrittenFace.from_json(json.loads(path.read_text(encoding="utf-8"))))
    except OSError as problem:
        raise UnreadableInput(
            str(path), _("the file cannot be opened ({reason})", reason=problem.strerror), _(_REMEDY)
        ) from None
    except (ValueError, LookupError, RecursionError, NotAMeasurement):
        raise UnreadableInput(
            str(path), _("it holds no colours of both cheeks and the forehead to compare with"), _(_REMEDY)
        ) from None


def flush_since(earlier: CheeksAgainstForehead, measured: FaceMeasurement) -> Flush:
    """Return how the cheeks have changed since an earlier photograph; raises `TenterError` without absolute colours."""
    return flush_between(earlier, cheeks_of(measured.written()))


def cheeks_of(face: WrittenFace | None) -> CheeksAgainstForehead:
    """Return what a measurement says of the cheeks; raises `TenterError` without absolute colours of them."""
    try:
        return _cheeks_in(face)
    except LookupError:
        raise TenterError(
            _(
                "flush needs the colours of forehead and both cheeks, and this photograph does not give them; "
                "take it again beside a card"
            )
        ) from None


def flush_between(earlier: CheeksAgainstForehead, now: CheeksAgainstForehead) -> Flush:
    """Return how the cheeks of one photograph differ from those of an earlier one."""
    changed = now.steps - earlier.steps
    half = np.hypot(now.half_width_90, earlier.half_width_90).mean(axis=0)
    half[0] = np.hypot(half[0], abs(changed[0, 0] - changed[1, 0]) / 2)
    lightness, redness = (float(value) for value in changed.mean(axis=0))
    return Flush(redness, (redness - half[1], redness + half[1]), lightness, (lightness - half[0], lightness + half[0]))


def _cheeks_in(face: WrittenFace | None) -> CheeksAgainstForehead:
    """Return what a measurement says of the cheeks; raises `LookupError` where it says nothing."""
    colours, relative = ({}, ()) if face is None else (face.colours, face.relative or ())
    lab = {region: np.array(colours[region].lab) for region in (Region.FOREHEAD, *_CHEEKS)}
    halves = {
        step.to: np.diff(np.array(step.interval_90), axis=1)[:, 0] / 2
        for step in relative
        if step.origin == Region.FOREHEAD
    }
    forehead = lab[Region.FOREHEAD]
    steps, widths = [], []
    for cheek in _CHEEKS:
        relit = (forehead[0] + 16) / (lab[cheek][0] + 16)  # a* goes with L* + 16 when light alone changes
        steps.append((lab[cheek][0] - forehead[0], lab[cheek][1] * relit - forehead[1]))
        widths.append((halves[cheek][0], halves[cheek][1] * max(relit, 1.0)))
    return CheeksAgainstForehead(np.array(steps), np.array(widths))


def _said(interval: tuple[float, float]) -> BaselineChange:
    return (
        BaselineChange.MORE
        if interval[0] > 0
        else BaselineChange.LESS
        if interval[1] < 0
        else BaselineChange.CANNOT_TELL
    )


def _change(value: float, interval: tuple[float, float]) -> dict[str, Any]:
    return {"change": round(value, 3), "interval_90": [round(float(end), 3) for end in interval]}
