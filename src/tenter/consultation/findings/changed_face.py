"""Whether the face seems to have changed during a sitting: a tan that was seen late, a flush that faded.

The later answers are read as those of another ideal point, moved along one axis by a normal amount, against all answers
as those of one. The Bayes factor is averaged over when it may have changed and along which axis.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log

import numpy as np

from tenter.arrays import AnyArray, FloatArray, steady
from tenter.consultation.axes import Axis
from tenter.consultation.reading.evidence import uses_metal
from tenter.consultation.reading.reading import Reading
from tenter.consultation.reading.weighing import entry_weights
from tenter.consultation.record.history import Entry

_ENTRIES = 10  # fewer say nothing about a change
_MOVED = 1.0  # bench units, the spread of a change: what stands between the middle of an axis and a marked trait
_LEAST = 1e-300  # of a likelihood, so that its logarithm stays finite
_PARTS = (0.35, 0.5, 0.65)  # after which share of the entries it may have changed


@dataclass(frozen=True, slots=True)
class FaceChange:
    """What speaks for a change of the face.

    log_factor: the natural logarithm of its Bayes factor. axis: the likeliest; sign: of the change there, +1 or -1.
    """

    log_factor: float
    axis: Axis
    sign: int


def change_of_face(sitting: Reading) -> FaceChange | None:
    """Return what the answers say of a change of the face, or None where there are fewer than ten on cloth.

    Our own model: the ideal moves once, by a normal step of one bench unit along one axis, after 35, 50 or 65 % of the
    entries.
    """
    entries = [e for e in sitting.evidence if not uses_metal(sitting.bench, e.judgement)]
    if len(entries) < _ENTRIES:
        return None
    parts = sorted({round(len(entries) * part) for part in _PARTS})
    *early_read, whole = running_evidence(sitting, entries, (*parts, len(entries)))
    read = dict(zip(parts, early_read, strict=True))
    prior = sitting.planning_evidence.log_prior
    found = []
    for early in parts:
        factors = log_factors(sitting, prior, read[early], whole - read[early])
        found += [(factors[axis], axis, early) for axis in Axis]
    every = np.array([f for f, _, _ in found])
    _, axis, early = found[int(steady(every).argmax())]
    moved = _mean(sitting, whole - read[early] + prior, axis) - _mean(sitting, read[early] + prior, axis)
    return FaceChange(float(np.log(np.mean(np.exp(every)))), axis, 1 if moved > 0 else -1)


def running_evidence(sitting: Reading, entries: Sequence[Entry], counts: Sequence[int]) -> list[AnyArray]:
    """Return the log likelihood (h · s · n,) of the first so many entries, for counts that rise.

    One array a count; the last count is at most the number of entries.
    """
    weights = entry_weights(entries)
    total = np.zeros(int(np.prod(sitting.planning_frame.lattice.shape)), np.float32)
    read, done = [], 0
    for count in counts:
        some = entries[done:count]
        for entry, row in zip(some, sitting.planning_evidence.rows(some), strict=True):
            total = total + (row if weights[entry.number] == 1 else row * np.float32(weights[entry.number]))
        read.append(total)
        done = count
    return read


def log_factors(sitting: Reading, prior: FloatArray, first: AnyArray, later: AnyArray) -> dict[Axis, float]:
    """Return the natural log Bayes factor of a change along each axis between two parts of the entries.

    prior, first, later (h · s · n,): the log prior and the log likelihoods of the two parts, on the planning lattice.
    """
    box = sitting.planning_frame.lattice.box
    of_first, of_later = _weights(first + prior), _weights(later)
    as_one = float(of_first @ of_later)
    cubes = of_later.reshape(-1, *(box.nodes,) * len(Axis))
    found = {}
    for axis in Axis:
        nodes = box.axes[axis.column]
        kernel = np.exp(-((nodes[:, None] - nodes[None]) ** 2) / (2 * _MOVED**2))
        kernel /= kernel.sum(axis=1, keepdims=True)
        moved = np.moveaxis(np.moveaxis(cubes, 1 + axis.column, -1) @ kernel.T, -1, 1 + axis.column).ravel()
        apart = float(of_first @ moved)
        found[axis] = log(max(apart, _LEAST)) - log(max(as_one, _LEAST))
    return found


def _weights(log_weights: AnyArray) -> FloatArray:
    flat: FloatArray = np.asarray(log_weights, dtype=np.float64)
    weights: FloatArray = np.exp(flat - flat.max())
    return weights


def _mean(sitting: Reading, log_weights: AnyArray, axis: Axis) -> float:
    lattice = sitting.planning_frame.lattice
    of_ideal = _weights(log_weights).reshape(lattice.shape).sum(axis=(0, 1))
    return float(of_ideal @ lattice.ideals[:, axis.column] / of_ideal.sum())
