"""Stable and alike: one more agreeing answer changes little, and two clients of one sub-season share most.

A colour counts as kept where the other palette has one of the same name, or one within ΔE00 3. Two clients share a
colour where theirs have one name, or are within ΔE00 6: nearer than that, no palette holds two.
"""

import itertools
from dataclasses import replace

import numpy as np
import pytest
from scipy.special import ndtr

from tenter import Kit, Sitting
from tenter.consultation.personal.choosing import APART
from tenter.consultation.personal.making import palette_of, personal_palette
from tenter.consultation.personal.suitability import Known
from tests.support.clients.palette_clients import CATEGORIES, METHOD, client, known_about
from tests.support.sharing import SAME_DELTA_E, shared


def test_a_palette_shares_all_with_itself_and_little_with_its_opposite():
    _, light = client("light summer")
    _, deep = client("deep autumn")
    assert shared(light, light) == 1
    assert shared(light, deep) < 0.25
    assert shared(replace(light, colours=()), deep) == 0
    assert shared(light, deep, within=2 * SAME_DELTA_E) >= shared(light, deep)


def after_one_more(known: Known, theta: np.ndarray, axis: int, gap: float) -> Known:
    """Return what is known after one more pair, whose cloths differ on one axis, won by the one at the ideal."""
    better, worse = theta.copy(), theta.copy()
    worse[axis] += gap
    weights = known.weights.copy()
    for row, shape in enumerate(known.shapes):
        at_better, at_worse = shape.utility(np.stack([better, worse]), known.ideals)
        weights[row] *= ndtr(at_better - at_worse - 0.35)
    return Known(known.method, known.shapes, known.ideals, weights)


@pytest.mark.parametrize("category", CATEGORIES)
def test_one_more_agreeing_answer_keeps_85_percent_on_average(category):
    known, palette = client(category)
    theta = np.array(METHOD.region(category).prototype)
    kept = []
    for axis, gap in itertools.product(range(3), (-1.2, 1.2)):
        more = after_one_more(known, theta, axis, gap)
        kept.append(shared(palette, palette_of(more, categories=(category,))))
    assert np.mean(kept) >= 0.85
    assert min(kept) >= 0.75


@pytest.mark.parametrize("category", CATEGORIES)
def test_two_clients_of_one_sub_season_share_60_percent(category):
    prototype = np.array(METHOD.region(category).prototype)
    thetas = [prototype + step for step in ((0.2, 0.25, -0.1), (-0.15, -0.2, 0.25))]
    assert {METHOD.category_at(theta) for theta in thetas} == {category}
    one, other = (palette_of(known_about(tuple(t)), categories=(category,)) for t in thetas)
    assert shared(one, other, within=APART) >= 0.6


def test_relabelling_the_kits_groups_changes_nothing(demo_kit, demo_sittings, demo_verdicts, bundled):
    shuffled = np.random.default_rng(4).permutation([d.group for d in demo_kit.drapes])
    drapes = tuple(replace(d, group=str(g)) for d, g in zip(demo_kit.drapes, shuffled, strict=True))
    assert [d.group for d in drapes] != [d.group for d in demo_kit.drapes]
    sitting = Sitting(Kit(drapes, demo_kit.colours), bundled, seed=7)
    sitting.record_all([e.judgement for e in demo_sittings["K3"].entries if not e.undone])
    other = personal_palette(sitting, demo_verdicts["K3"])
    usual = personal_palette(demo_sittings["K3"], demo_verdicts["K3"])
    assert other.colours == usual.colours
    assert (other.metals, other.borrowed, other.staples) == (usual.metals, usual.borrowed, usual.staples)
