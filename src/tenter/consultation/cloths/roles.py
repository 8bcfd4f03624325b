"""The tests that a kit's roles name: which cloths are meant to be held against each other, and for what.

A role reads `test-end`: cloths whose roles share all but the last word belong to one test, such as
`undertone-red-warm` and `undertone-red-cool`. The axis is the first word, or else what the ends say (`white-warm` and
`white-cool` test undertone). A role of another form names no test.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations

from tenter.consultation.axes import Axis
from tenter.consultation.cloths.kit import Drape, Kit

_MOST_CLOTHS = 6  # more of one role are a rail to choose from, and not a test
_ENDS = {
    **dict.fromkeys(("warm", "cool"), Axis.UNDERTONE),
    **dict.fromkeys(("light", "deep", "dark"), Axis.DEPTH),
    **dict.fromkeys(("high", "low", "bright", "soft"), Axis.CLARITY),
}


@dataclass(frozen=True, slots=True)
class KitTest:
    """One test of a kit: its name, the axis that it is meant for, and its cloths."""

    name: str
    axis: Axis
    cloths: tuple[Drape, ...]

    @property
    def pairs(self) -> tuple[tuple[Drape, Drape], ...]:
        """The pairs to hold: every two cloths at different ends."""
        return tuple((a, b) for a, b in combinations(self.cloths, 2) if a.role != b.role)


def kit_tests(kit: Kit) -> tuple[KitTest, ...]:
    """Return the tests that the roles of a kit name, in the kit's order; of measured cloths only."""
    named: dict[str, list[Drape]] = {}
    for drape in kit.drapes:
        name, _, end = drape.role.strip().lower().rpartition("-")
        if name and end and drape.measured:
            named.setdefault(name, []).append(drape)
    found = ((name, _axis_of(name, cloths), tuple(cloths)) for name, cloths in named.items())
    tests = (KitTest(name, axis, cloths) for name, axis, cloths in found if axis and len(cloths) <= _MOST_CLOTHS)
    return tuple(test for test in tests if test.pairs)


def _axis_of(name: str, cloths: Iterable[Drape]) -> Axis | None:
    first = name.partition("-")[0]
    if first in list(Axis):
        return Axis(first)
    said = {_ENDS[end] for c in cloths if (end := c.role.strip().lower().rpartition("-")[2]) in _ENDS}
    return said.pop() if len(said) == 1 else None
