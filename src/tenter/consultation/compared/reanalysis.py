"""An earlier sitting against a later one of the same client: whether a change is shown, and which causes are excluded.

Both are read again under one method, and where the cloths' colours were measured at the time, each with those. Answers
alone never tell a changed person from changed light or a changed eye, so that a cause is excluded only by what was
written down of it, and everything else cannot be told.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from tenter.arrays import steady
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.conventions.method import Method
from tenter.consultation.findings.verdict import PhaseMissing, owed, stated
from tenter.consultation.reading.online import photographs_alone
from tenter.consultation.reading.reading import Estimate, Reading
from tenter.errors import TenterError
from tenter.given import given_number, of_kind
from tenter.inference.shift import Shift, shift_between
from tenter.language import _, in_a_row

# `./run bench resits`: of simulated clients who had not changed, at most 5 % were above it, whatever the departures.
SHOWN_FROM = 0.7
COVERAGE = 0.95  # of the intervals of all axes together
_SMALL = 0.7  # bench units, where a trait becomes marked: a shift that surely stays below it changes no trait
# Common practice, no source: lamps that differ by less are taken for alike.
_MIRED, _DUV, _LUX_SHARE, _RA = 10.0, 0.003, 0.25, 5.0


class ShownChange(StrEnum):
    """Whether the answers show a change."""

    SHOWN = "shown"
    NONE_SHOWN = "none shown"
    CANNOT_TELL = "cannot tell"  # a sitting by photographs alone, whose errors no answer shows


class ChangeCause(StrEnum):
    """What may make two sittings differ."""

    PERSON = "person"
    KIT = "kit"
    LIGHT = "light"
    METHOD = "method"
    ANALYST = "analyst"


class CauseKnown(StrEnum):
    """What is known of a cause."""

    EXCLUDED = "excluded"
    DIFFERED = "differed"  # it was another, so that it may be the cause
    REMAINS = "remains"  # the only one that nothing excludes
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True, slots=True)
class ChairLight:
    """The light at the chair as it was measured; None for what was not.

    cct_kelvin, duv: the colour, in kelvin and Duv. lux: on the face. ra: an index, where 100 is the best.

    Raises `TenterError` outside 1,000 to 25,000 K, ±0.1 Duv, 1 to 200,000 lux, and Ra −150 to 100.
    """

    cct_kelvin: float
    duv: float | None = None
    lux: float | None = None
    ra: float | None = None

    def __post_init__(self) -> None:
        given_number(self.cct_kelvin, _("the light's CCT in kelvin"), 1000, 25000)
        if self.duv is not None:
            given_number(self.duv, _("the light's Duv"), -0.1, 0.1)
        if self.lux is not None:
            given_number(self.lux, _("the light's lux"), 1, 200000)
        if self.ra is not None:
            given_number(self.ra, _("the light's Ra"), -150, 100)

    def is_like(self, other: "ChairLight") -> bool:
        """Tell whether two lights are taken for alike by all that was measured of both."""
        if abs(1e6 / self.cct_kelvin - 1e6 / other.cct_kelvin) > _MIRED:
            return False
        if self.duv is not None and other.duv is not None and abs(self.duv - other.duv) > _DUV:
            return False
        if self.ra is not None and other.ra is not None and abs(self.ra - other.ra) > _RA:
            return False
        if self.lux is None or other.lux is None:
            return True
        return abs(self.lux - other.lux) <= _LUX_SHARE * max(self.lux, other.lux)


@dataclass(frozen=True, eq=False)
class Sat:
    """One sitting, with what was written down of the day.

    reading: its answers. date: ISO text or empty. analyst: who judged, empty where nobody wrote it down. light: as
    measured at the chair. kit_then: the kit with the colours that were measured about that day; raises `TenterError`
    where it lacks a cloth that was held.
    """

    reading: Reading
    date: str = ""
    analyst: str = ""
    light: ChairLight | None = None
    kit_then: Kit | None = None

    def __post_init__(self) -> None:
        of_kind(Reading, self.reading, "the reading of a sitting", "tenter.Sitting")
        held = {cloth for entry in self.reading.evidence for cloth in entry.judgement.cloths}
        missing = sorted(c for c in held if self.kit_then is not None and c not in self.kit_then)
        if missing:
            raise TenterError(
                _(
                    "the kit as measured then has no {names}, which were held in that sitting; add them, or "
                    "compare without it",
                    names=in_a_row(missing),
                )
            )


@dataclass(frozen=True, slots=True)
class Reread:
    """What one sitting comes to under the shared method, and the category that it came to under its own.

    probability: of `category`, 0 to 1. comparisons: how many entries count.
    """

    date: str
    category: str
    probability: float
    under_own: str
    own_method: str
    estimates: Mapping[Axis, Estimate]
    comparisons: int


@dataclass(frozen=True, slots=True)
class AxisShift:
    """How far the place moved on one axis, later minus earlier.

    mean, low, high: in bench units. The intervals of all axes hold together at 95 %.
    """

    axis: Axis
    mean: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class CauseFinding:
    """What is known of one cause."""

    cause: ChangeCause
    told: CauseKnown


@dataclass(frozen=True, slots=True)
class Reanalysis:
    """An earlier sitting against a later one.

    moved: the probability that the place is another, taken for as likely as not before the answers. other_category: the
    probability that the two places are of different categories. lights: of the earlier and the later, where known.
    """

    method: str
    earlier: Reread
    later: Reread
    change: ShownChange
    moved: float
    shifts: tuple[AxisShift, ...]
    other_category: float
    causes: tuple[CauseFinding, ...]
    lights: tuple[ChairLight | None, ChairLight | None] = (None, None)

    def told(self, cause: ChangeCause) -> CauseKnown:
        """Return what is known of a cause."""
        return next(found.told for found in self.causes if found.cause is cause)

    @property
    def furthest(self) -> AxisShift:
        """The axis along which the place moved furthest for how well that is known."""
        return max(self.shifts, key=lambda s: steady(abs(s.mean) / max(s.high - s.low, 1e-9)))


def reanalysis(earlier: Sat, later: Sat, method: Method | None = None) -> Reanalysis:
    """Return what two sittings of one client say of a change; under the later one's method unless another is given.

    Raises `PhaseMissing` where one of them has no answer about undertone, or none about depth and clarity.
    """
    shared = method or later.reading.method
    first, second = (_read_again(sat, shared) for sat in (earlier, later))
    for reading in (first, second):
        if missing := owed(reading):
            raise PhaseMissing(missing)
    found = shift_between(
        first.posterior(),
        second.posterior(),
        first.focus.frame.categories,
        second.focus.frame.categories,
        COVERAGE,
    )
    change, shifts = _change(first, second, found), _shifts(found)
    return Reanalysis(
        method=shared.name,
        earlier=_reread(earlier, first),
        later=_reread(later, second),
        change=change,
        moved=found.moved,
        shifts=shifts,
        other_category=found.other_class,
        causes=_causes(earlier, later, change, shifts),
        lights=(earlier.light, later.light),
    )


def _change(first: Reading, second: Reading, found: Shift) -> ShownChange:
    if any(photographs_alone(reading.evidence) for reading in (first, second)):
        return ShownChange.CANNOT_TELL
    return ShownChange.SHOWN if steady(found.moved - SHOWN_FROM) >= 0 else ShownChange.NONE_SHOWN


def _read_again(sat: Sat, method: Method) -> Reading:
    """Return a sitting's answers under a method and the colours of its own day."""
    reading, kit = sat.reading, sat.kit_then or sat.reading.kit
    if reading.method is method and reading.kit is kit and not reading.uses_face_prior:
        return reading
    again = Reading(kit, method, reading.seed, reading.face, reading.styles)
    return again.record_all(e.judgement for e in reading.evidence)


def _reread(sat: Sat, read: Reading) -> Reread:
    odds, own = stated(read), stated(sat.reading)
    best, before = (max(o, key=lambda c: steady(o[c])) for o in (odds, own))
    return Reread(
        date=sat.date,
        category=best,
        probability=odds[best],
        under_own=before,
        own_method=sat.reading.method.name,
        estimates=read.estimates(),
        comparisons=len(read.evidence),
    )


def _shifts(found: Shift) -> tuple[AxisShift, ...]:
    columns = ((axis, axis.column) for axis in Axis)
    return tuple(AxisShift(a, float(found.mean[i]), float(found.low[i]), float(found.high[i])) for a, i in columns)


def _causes(earlier: Sat, later: Sat, change: ShownChange, shifts: tuple[AxisShift, ...]) -> tuple[CauseFinding, ...]:
    told = {
        ChangeCause.KIT: _of_kit(earlier, later),
        ChangeCause.LIGHT: _of_light(earlier.light, later.light),
        ChangeCause.METHOD: CauseKnown.EXCLUDED,  # both were read under one
        ChangeCause.ANALYST: _of_analyst(earlier.analyst, later.analyst),
    }
    alone = all(known is CauseKnown.EXCLUDED for known in told.values())
    told = {ChangeCause.PERSON: _of_person(change, shifts, alone), **told}
    return tuple(CauseFinding(cause, told[cause]) for cause in ChangeCause)


def _of_kit(earlier: Sat, later: Sat) -> CauseKnown:
    """Tell of the kit: read with the colours of each day, it explains nothing."""
    if earlier.kit_then is not None and later.kit_then is not None:
        return CauseKnown.EXCLUDED
    held = [{c for e in sat.reading.evidence for c in e.judgement.cloths} for sat in (earlier, later)]
    return CauseKnown.CANNOT_TELL if held[0] & held[1] else CauseKnown.DIFFERED


def _of_light(earlier: ChairLight | None, later: ChairLight | None) -> CauseKnown:
    if earlier is None or later is None:
        return CauseKnown.CANNOT_TELL
    return CauseKnown.EXCLUDED if earlier.is_like(later) else CauseKnown.DIFFERED


def _of_analyst(earlier: str, later: str) -> CauseKnown:
    if not earlier.strip() or not later.strip():
        return CauseKnown.CANNOT_TELL
    return CauseKnown.EXCLUDED if earlier.strip().casefold() == later.strip().casefold() else CauseKnown.DIFFERED


def _of_person(change: ShownChange, shifts: tuple[AxisShift, ...], alone: bool) -> CauseKnown:
    """Tell of the person: excluded where every shift surely stays small, left over where all else is excluded."""
    if change is ShownChange.NONE_SHOWN:
        small = all(steady(max(-s.low, s.high) - _SMALL) < 0 for s in shifts)
        return CauseKnown.EXCLUDED if small else CauseKnown.CANNOT_TELL
    return CauseKnown.REMAINS if alone else CauseKnown.CANNOT_TELL
