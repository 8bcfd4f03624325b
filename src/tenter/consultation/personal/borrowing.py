"""What may be borrowed from a neighbour: at most five colours, near the ideal, and never counted as one's own.

Common practice, no source: borrow only what is near on the other axes, and wear it in small areas.
"""

from collections.abc import Sequence

import numpy as np

from tenter.arrays import steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.consultation.colours.colours import PaletteColour, Part, Suited
from tenter.consultation.colours.naming import distinct_names
from tenter.consultation.palette.palette import TOLERANCE
from tenter.consultation.personal.choosing import APART, Chooser, Pool, basis_of

MOST_BORROWED = 5  # colours: a few in small areas; common practice, no source
_LEAST_CHROMA = 12.0  # C* of what is worth borrowing: neutrals are chosen among one's own


def borrowed_colours(
    offered: Pool, chooser: Chooser, colours: Sequence[PaletteColour], categories: Sequence[str]
) -> tuple[PaletteColour, ...]:
    """Return the colours that a client may borrow, best first, each of another hue family."""
    neighbours = neighbours_of(offered, categories)
    if not neighbours:
        return ()
    method, ideal = offered.known.method, offered.known.ideal
    distance = steady(np.linalg.norm(offered.places - ideal, axis=1))
    near = np.flatnonzero((distance <= TOLERANCE) & chooser.free & (chooser.chroma >= _LEAST_CHROMA))
    rows = [int(r) for r in near if method.category_at(offered.places[r]) in neighbours]
    rows.sort(key=lambda r: (r >= offered.tried, -float(steady(offered.score[r])), r))
    taken: list[int] = []
    own = np.array([c.lab for c in colours]).reshape(-1, 3)
    for row in rows:
        others = np.concatenate([own, offered.lab[taken]])
        if len(taken) == MOST_BORROWED:
            break
        fresh = offered.families[row] not in {offered.families[r] for r in taken}
        if fresh and (not len(others) or steady(np.asarray(delta_e_2000(others, offered.lab[row]))).min() >= APART):
            taken.append(row)
    return _as_borrowed(offered, taken, colours)


def neighbours_of(offered: Pool, categories: Sequence[str]) -> set[str]:
    """Return the categories that a client may borrow from: the trait neighbour, and the next by odds.

    Common practice, no source.
    """
    if not categories:
        return set()
    method, masses = offered.known.method, offered.known.masses
    by_odds = sorted((c for c in masses if c not in categories), key=lambda c: -steady(masses[c]))
    trait = {method.region(c).trait_neighbour for c in categories}
    return {c for c in (*trait, by_odds[0]) if c is not None and c not in categories} if by_odds else set()


def _as_borrowed(offered: Pool, rows: list[int], colours: Sequence[PaletteColour]) -> tuple[PaletteColour, ...]:
    names = distinct_names([offered.names[r] for r in rows], [c.name for c in colours])
    expected = offered.known.suitability(offered.places[rows])
    intervals = offered.known.interval(offered.places[rows])
    found = []
    for row, name, at, (low, high) in zip(rows, names, expected, intervals, strict=True):
        L, a, b = (float(v) for v in offered.lab[row])
        was_tried = row < offered.tried
        found.append(
            PaletteColour(
                lab=(L, a, b),
                name=name,
                hue_family=offered.families[row],
                part=Part.SMALL,
                fit=Suited.BORROW,
                basis=basis_of(offered, row),
                suitability=float(at),
                interval=(float(low), float(high)),
                cloth=offered.trial.drapes[row].id if was_tried else None,
                answer=offered.trial.answers[row] if was_tried else "",
            )
        )
    return tuple(found)
