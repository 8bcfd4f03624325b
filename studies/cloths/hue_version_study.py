"""What undertone within the hue family changes, at several weights; the fourth part of `./run bench axes`.

Nothing here says which weight is right: no answers of real faces are in it. It shows what each weight costs.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from tenter import Kit, Method
from tenter.arrays import FloatArray
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.hue_families import hue_family
from tenter.consultation.cloths.roles import kit_tests
from tenter.consultation.words.traits import UndertoneSide

WEIGHTS = (0.0, 0.2, 0.4, 0.5, 0.6, 0.7, 0.8, 1.0)
_FAMILIES = ("blue", "purple", "brown", "orange")
_UNDERTONE = Axis.UNDERTONE.column


def weighed(method: Method, weight: float) -> Method:
    """Return a method with another weight of the place within the family."""
    return replace(method, versions=replace(method.versions, weight=weight))


def pairs_kept(kit: Kit, method: Method) -> tuple[int, int]:
    """Return in how many of the undertone test pairs both cloths keep their side and order, and of how many."""
    judged, worn = (
        dict(zip(kit.ids, method.coordinates(kit, use)[:, _UNDERTONE], strict=True)) for use in ("judge", "wear")
    )
    pairs = [(a.id, b.id) for t in kit_tests(kit) if t.axis is Axis.UNDERTONE for a, b in t.pairs]
    kept = [
        (judged[a] - judged[b]) * (worn[a] - worn[b]) > 0 and all(judged[c] * worn[c] > 0 for c in (a, b))
        for a, b in pairs
    ]
    return sum(kept), len(kept)


def labels_kept(kit: Kit, method: Method) -> tuple[int, int]:
    """Return how many cloths with a group lie on the side of their group, and of how many."""
    worn = method.coordinates(kit, "wear")[:, _UNDERTONE]
    right = [
        (u > 0) == (method.side_of[method.season_of[d.group]] is UndertoneSide.WARM)
        for d, u in zip(kit.drapes, worn, strict=True)
        if d.group in method.categories
    ]
    return sum(right), len(right)


def cells_changed(kit: Kit, method: Method) -> tuple[int, int]:
    """Return how many cloths lie in another category's cell for wear, and how many in another season's."""
    judged, worn = ([method.category_at(x) for x in method.coordinates(kit, use)] for use in ("judge", "wear"))
    both = list(zip(judged, worn, strict=True))
    return sum(a != b for a, b in both), sum(method.season_of[a] != method.season_of[b] for a, b in both)


def warm_by_family(surfaces: Kit, method: Method) -> dict[str, tuple[int, int]]:
    """Return how many surfaces of each family are warm, and of how many."""
    worn, family = method.coordinates(surfaces, "wear")[:, _UNDERTONE], np.array(surfaces.hue_families)
    return {name: (int((worn[family == name] > 0).sum()), int((family == name).sum())) for name in _FAMILIES}


def study_versions(kit: Kit, method: Method, real: FloatArray) -> None:
    surfaces = Kit.from_lab([f"S{i}" for i in range(len(real))], real, [str(hue_family(x)) for x in real])
    for weight in WEIGHTS:
        print(line(weight, kit, weighed(method, weight), surfaces))


def line(weight: float, kit: Kit, method: Method, surfaces: Kit) -> str:
    warm = "  ".join(f"{name} {a:2d} of {n}" for name, (a, n) in warm_by_family(surfaces, method).items())
    cells, seasons = cells_changed(kit, method)
    return (
        f"weight {weight:.1f}   pairs kept {_of(pairs_kept(kit, method))}   labels {_of(labels_kept(kit, method))}   "
        f"other cell {cells:2d}, season {seasons}   warm: {warm}"
    )


def _of(counts: Sequence[int]) -> str:
    return f"{counts[0]} of {counts[1]}"
