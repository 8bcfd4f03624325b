"""Whether a client's ideal clarity differs from one hue family to another: a finding, not a failure."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.special import logsumexp

from tenter.arrays import FloatArray, steady
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.laid_out.bench import Bench, Frame
from tenter.consultation.reading.evidence import Reader
from tenter.consultation.reading.reading import Reading
from tenter.consultation.record.history import Entry
from tenter.inference.lattice import Lattice

# Common practice, no source: an offset is shrunk to zero with this spread; a finding from this size and odds.
_SPREAD = 0.5
_OFFSETS = np.linspace(-1.2, 1.2, 5)
_NODES, _STYLES = 11, 2
_NOTABLE, _SURE = 0.3, 0.85


@dataclass(frozen=True, slots=True)
class HueOffset:
    """By how much more (or less) clarity one hue family takes than the rest.

    mean, low, high: in bench units, with the 90 % interval.
    """

    family: str
    mean: float
    low: float
    high: float
    notable: bool


def hue_offsets(sitting: Reading) -> tuple[HueOffset, ...]:
    """Return the offset of ideal clarity of each hue family that two entries or more are about.

    Each family is tried alone, the others held at zero: the marginal likelihood of its entries over the posterior of
    the rest, for a row of offsets, times a normal prior about zero.
    """
    families: dict[str, list[Entry]] = {}
    for entry in sitting.evidence:
        found = {str(sitting.kit[c].hue_family) for c in entry.judgement.cloths}
        if len(found) == 1 and found != {HueFamily.METAL}:
            families.setdefault(found.pop(), []).append(entry)
    fine = sitting.focus.frame.lattice
    lattice = replace(fine, box=replace(fine.box, nodes=_NODES), styles=fine.styles.condensed(_STYLES))
    plain = _read(sitting.bench, sitting.bench.coordinates, lattice, sitting.evidence)
    told = []
    for family, entries in families.items():
        if len(entries) >= 2:
            rest = lattice.log_prior + sum(plain[e.number] for e in sitting.evidence if e not in entries)
            told.append(_offset(sitting.bench, lattice, family, entries, rest, plain))
    return tuple(sorted(told, key=lambda t: -steady(abs(t.mean))))


def _log_sum(log_weights: FloatArray) -> float:
    top = float(log_weights.max())
    return top + float(np.log(np.exp(log_weights - top).sum()))


def _read(bench: Bench, coordinates: FloatArray, lattice: Lattice, entries: Sequence[Entry]) -> dict[int, FloatArray]:
    """Return the log likelihood of entries by number, with the cloths of the bench at coordinates (n, 3)."""
    reader = Reader(bench, Frame(coordinates, bench.method, lattice))
    reader.frame.look_up({bench.kit.row(c) for e in entries for c in e.judgement.cloths})
    return {e.number: reader.log_likelihood(e.judgement) for e in entries}


def _offset(
    bench: Bench,
    lattice: Lattice,
    family: str,
    entries: Sequence[Entry],
    rest: FloatArray,
    plain: dict[int, FloatArray],
) -> HueOffset:
    of_family = np.array([str(f) == family for f in bench.kit.hue_families])
    evidence = []
    for offset in _OFFSETS:
        # More clarity for this family is the same as its cloths lying lower on the axis.
        coordinates = bench.coordinates.copy()
        coordinates[of_family, Axis.CLARITY.column] -= offset
        told = _read(bench, coordinates, lattice, entries) if offset else plain
        evidence.append(_log_sum(rest + sum(told[e.number] for e in entries)))
    log_weights = np.array(evidence) - _OFFSETS**2 / (2 * _SPREAD**2)
    weights = np.exp(log_weights - logsumexp(log_weights))
    mean = float(weights @ _OFFSETS)
    low, high = (float(v) for v in np.interp([0.05, 0.95], np.cumsum(weights), _OFFSETS))
    one_sided = max(float(weights[_OFFSETS >= _NOTABLE].sum()), float(weights[_OFFSETS <= -_NOTABLE].sum()))
    return HueOffset(family, mean, low, high, one_sided >= _SURE)
