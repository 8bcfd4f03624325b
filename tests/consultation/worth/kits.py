"""Kits made out of another, for the tests of what cloths are worth."""

import numpy as np

from tenter import Kit


def kit_of_rows(kit: Kit, rows) -> Kit:
    """Return some cloths of a kit, in the order given; families and undertones set by hand stay."""
    return Kit(tuple(kit.drapes[row] for row in rows), type(kit.colours)(kit.lab[list(rows)], kit.colours.conditions))


def shuffled(kit: Kit, seed: int = 3) -> Kit:
    return kit_of_rows(kit, np.random.default_rng(seed).permutation(len(kit)))
