"""Where an answer draws the client's place, and which axis may be named for it.

The pull of entries is E[θ | all] - E[θ | all but them], axis by axis, in standard deviations of θ. The axis that a
sentence names is the one on which the pull is largest and the cloths differ that way. What it may not do is name an
axis that runs against what the sentence says: "deeper" for a light category. Three cases:

    the pull runs with the sentence     the axis is named
    another pull of half its size does  that one is named
    neither                             the pull leads back from too far (or still further out), and that is said

A category whose prototype lies near 0 on an axis has no side there, and nothing runs against it.
"""

from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.consultation.axes import Axis
from tenter.consultation.words.traits import LeadingTrait, trait_word

NO_SIDE = 0.25  # bench units: a prototype nearer to 0 has no side on that axis
_LEAST_GAIN = 0.15  # bench units by which cloths differ on an axis that is named for them
_BESIDE = 0.6  # of the largest pull: a second axis of so much is named too
_INSTEAD = 0.5  # of the largest pull: an axis of so much may be named in its place


@dataclass(frozen=True, slots=True)
class Named:
    """What to name of an answer: the ends that it draws to, largest pull first, and whether that is beyond the mark."""

    ends: tuple[LeadingTrait, ...] = ()
    overshoot: bool = False


def main_axis(pull: FloatArray, apart: FloatArray) -> Axis:
    """Return the axis along which an answer draws most (3,) on cloths that lie apart (3,).

    pull in standard deviations of the client's place, as `LeaveOut.pull` has it; apart in bench units. Entries that say
    one thing together each draw little when left out. An answer on two cloths that differ in undertone alone is then
    still one about undertone.
    """
    return max(Axis, key=lambda axis: steady(abs(float(pull[axis.column] * apart[axis.column]))))


def runs_against(end: LeadingTrait, prototype: FloatArray) -> bool:
    """Whether an end is the other one than that on which a category lies, by its prototype (3,) in bench units."""
    place = float(prototype[end.axis.column])
    return abs(place) >= NO_SIDE and place * end.sign < 0


def what_to_name(pull: FloatArray, gain: FloatArray, prototype: FloatArray, speaks_for: bool) -> Named:
    """Return what to name of an answer that speaks for a category or against it.

    Parameters
    ----------
    pull : ndarray, shape (3,)
        In standard deviations of the client's place.
    gain : ndarray, shape (3,)
        The better cloth less the other, in bench units.
    prototype : ndarray, shape (3,)
        Of the category, in bench units.
    """
    axes = sorted(Axis, key=lambda axis: -steady(abs(float(pull[axis.column]))))
    shown = [a for a in axes if pull[a.column] * gain[a.column] > 0 and abs(gain[a.column]) >= _LEAST_GAIN]
    if not shown:
        return Named()
    size = {a: abs(float(pull[a.column])) for a in shown}
    fitting = [a for a in shown if size[a] >= _INSTEAD * size[shown[0]] and _fits(a, pull, prototype, speaks_for)]
    if not fitting:
        return Named((_end(shown[0], pull),), overshoot=True)
    beside = [a for a in fitting[1:2] if size[a] >= _BESIDE * size[fitting[0]]]
    return Named(tuple(_end(a, pull) for a in (fitting[0], *beside)))


def direction(axis: Axis, pull: FloatArray, prototype: FloatArray, speaks_for: bool) -> LeadingTrait | None:
    """Return the end to which a pull (3,) draws along an axis; None where that runs against what it speaks for.

    prototype (3,): of the category that it speaks for or against.
    """
    return _end(axis, pull) if _fits(axis, pull, prototype, speaks_for) else None


def _fits(axis: Axis, pull: FloatArray, prototype: FloatArray, speaks_for: bool) -> bool:
    end = _end(axis, pull)
    return not runs_against(end if speaks_for else end.opposite, prototype)


def _end(axis: Axis, pull: FloatArray) -> LeadingTrait:
    return trait_word(axis, float(np.sign(pull[axis.column])))
