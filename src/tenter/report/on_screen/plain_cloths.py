"""Cloths by the names that people have for colours, whatever a kit calls them: carnation, not "Test Pink C"."""

from collections.abc import Mapping

import numpy as np

from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.colours.names import colour_names
from tenter.report.words import terms


def plain_cloth_names(kit: Kit) -> Mapping[str, tuple[str, ...]]:
    """Return by id what people call each cloth, best first, in the language that is written.

    A metal, which no colour's name fits, keeps the name that the kit has for it.
    """
    coloured = [drape for drape in kit.drapes if drape.hue_family is not HueFamily.METAL]
    own = {drape.id: (drape.name,) for drape in kit.drapes}
    if not coloured:
        return own
    lab = kit.bench_colours.lab[np.array([kit.row(drape.id) for drape in coloured])]
    named = colour_names(lab, [drape.hue_family for drape in coloured])
    return own | {d.id: tuple(map(terms.colour, names)) for d, names in zip(coloured, named, strict=True)}
