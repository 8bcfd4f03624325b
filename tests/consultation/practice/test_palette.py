"""What the palette borrows and what it leaves: rules B4 and D2."""

import itertools

import numpy as np
import pytest

from tenter.consultation.axes import Axis
from tenter.consultation.palette.palette_parts import Fit
from tenter.inference.utility import DEFAULT_SHAPES, utilities
from tests.support.clients.practice_clients import CATEGORIES, served_at

TOLERANCE = 1.6  # bench units from the ideal: the palette's own limit of what is still the client's


# common practice, no source. B4: borrow only what is near on the other axes.
def test_only_near_cloths_of_a_neighbour_are_borrowed(serve, kit, bundled):
    worn = dict(zip(kit.ids, bundled.coordinates(kit, "wear"), strict=True))
    borrowed = 0
    for category in CATEGORIES:
        _, verdict, palette = serve(category)
        ideal = np.array([verdict.traits[a].mean for a in Axis])
        for entry in palette.of_fit(Fit.BORROW):
            assert entry.category in {verdict.runner_up, verdict.trait_neighbour}
            assert np.linalg.norm(worn[entry.drape.id] - ideal) <= TOLERANCE
            borrowed += 1
    assert borrowed > 10


# common practice, no source. D2: a plain mid grey is poor for warm, clear types. Law over ideals.
@pytest.mark.parametrize("clarity", [0.5, 1.0, 1.45])
def test_mid_grey_lies_in_the_lower_half_of_the_kit_for_warm_clear_ideals(kit, x, clarity):
    cloths = [c for c in kit.ids if not kit[c].is_metal]
    ideals = np.array([(u, d, clarity) for u, d in itertools.product((0.3, 0.8, 1.35), (-1.4, 0.0, 1.4))])
    worth = utilities(DEFAULT_SHAPES, np.array([x[c] for c in cloths]), ideals).mean(axis=0)
    better = (worth > worth[cloths.index("D094")]).mean(axis=0)
    assert np.all(better > 0.5)


# common practice, no source. D2: and it is left to others wherever the client is warm and not soft; soft types exempt.
# The last ideal lies so near to the grey that only the method's reading keeps it out.
@pytest.mark.parametrize("place", ["light spring", "warm spring", "bright spring", "deep autumn", (0.3, 0.2, -0.2)])
def test_mid_grey_is_left_to_others_by_warm_clients_who_are_not_soft(kit, bundled, serve, place):
    theta = place if isinstance(place, tuple) else bundled.region(place).prototype
    _, verdict, palette = served_at(kit, bundled, theta)
    assert verdict.traits[Axis.UNDERTONE].mean > 0.25
    assert verdict.traits[Axis.CLARITY].mean > -0.5
    assert palette.entry("D094").fit is Fit.LEAVE
    assert serve("soft autumn").palette.entry("D094").fit is not Fit.LEAVE
