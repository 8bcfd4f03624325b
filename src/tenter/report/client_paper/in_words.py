"""The palette for a reader who tells few hues apart: which colours look alike to them, and the words that part them.

Which pairs those are follows from simulated dichromacy. Anomalous vision confuses less, and what the reader has was
not measured.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.colorimetry.colour_vision import Dichromacy, seen_with
from tenter.colorimetry.difference import delta_e_2000
from tenter.language import _
from tenter.report.client_paper.shades import Shade

_APART, _ALIKE = 12.0, 6.0  # ΔE00 to a reader of all hues, and to one of few: two colours there, nearly one here
_MOST = 10  # pairs that are told


@dataclass(frozen=True, slots=True)
class Alike:
    """Two colours that look nearly alike to a reader of few hues, and what parts them in words."""

    one: Shade
    other: Shade
    text: str


def alike(shades: Sequence[Shade]) -> tuple[Alike, ...]:
    """Return the pairs of a palette that need words, those that are furthest apart to other readers first.

    At most ten, no colour twice. By simulated dichromacy, each kind of it; the distances in ΔE00 are ours.
    """
    if len(shades) < 2:
        return ()
    lab = np.array([s.lab for s in shades])
    rows = np.array(list(combinations(range(len(shades)), 2)))
    normal = _apart(lab, rows)
    nearest = np.min([_apart(seen_with(lab, kind), rows) for kind in Dichromacy], axis=0)
    needed = [k for k in range(len(rows)) if normal[k] >= _APART and nearest[k] < _ALIKE]
    needed.sort(key=lambda k: -steady(float(normal[k])))
    return _each_once([(shades[rows[k, 0]], shades[rows[k, 1]]) for k in needed])


def _parted(one: Shade, other: Shade) -> str:
    return _(
        "{one} is {its_words}; {other} is {other_words}.",
        one=one.name,
        its_words=one.words,
        other=other.in_line,
        other_words=other.words,
    )


def _apart(lab: FloatArray, rows: FloatArray) -> FloatArray:
    return delta_e_2000(lab[rows[:, 0]], lab[rows[:, 1]])


def _each_once(pairs: Sequence[tuple[Shade, Shade]]) -> tuple[Alike, ...]:
    """Return pairs in which no colour comes twice, so that few of them reach many colours."""
    told: list[Alike] = []
    used: set[str] = set()
    for one, other in pairs:
        if {one.name, other.name} & used:
            continue
        used |= {one.name, other.name}
        told.append(Alike(one, other, _parted(one, other)))
        if len(told) == _MOST:
            break
    return tuple(told)
