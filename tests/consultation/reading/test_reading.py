"""What a reading keeps of an answer taken back, and where the nodes lie that odds come from."""

import numpy as np
import pytest

from tenter import EarlierResult, Face, PairJudgement
from tenter.consultation.laid_out.bench import REACH
from tenter.consultation.reading.reading import _box_of, sum_by_season
from tenter.inference.lattice import Lattice, LatticeBox, Styles
from tenter.inference.posterior import Posterior
from tenter.inference.utility import DEFAULT_SHAPES


@pytest.mark.parametrize("asked", [True, False])
def test_an_answer_that_is_taken_back_leaves_nothing_and_a_note_that_is_leaves_all(sit, asked):
    one, other = PairJudgement("D063", "D064", "left", 2), PairJudgement("D073", "D075", "left", 3)
    sitting = sit(one, other, EarlierResult("soft autumn"))
    before = sitting.probabilities() if asked else sit(one, other).probabilities()
    sitting.undo()
    assert sitting.probabilities() == before
    sitting.undo()
    assert sitting.probabilities() == sit(one).probabilities() != before


def test_a_prior_from_the_face_is_said_where_it_was_asked_for_and_only_there(sit):
    forehead = {"lab": [62.0, 12.0, 16.0], "lab_interval_90": [[60, 64], [11, 13], [14, 18]]}
    measured = Face.from_json(
        {"accepted": True, "basis": "chart", "illuminant": "D65", "observer": "2", "regions": {"forehead": forehead}}
    )
    assert sit(face=measured, face_prior=True).uses_face_prior
    assert not sit(face=measured).uses_face_prior
    assert not sit().uses_face_prior


def test_a_season_is_as_likely_as_its_sub_seasons_together(bundled):
    odds = {category: (n + 1) / 78 for n, category in enumerate(bundled.categories)}
    found = sum_by_season(bundled, odds)
    assert list(found) == list(bundled.seasons)
    assert sum(found.values()) == pytest.approx(1)
    for season, p in found.items():
        assert p == pytest.approx(sum(odds[c] for c in odds if bundled.season_of[c] == season))


# -- the fine lattice ----------------------------------------------------------------------------------------------

PLANNING = Lattice(
    LatticeBox((-REACH,) * 3, (REACH,) * 3, 33),
    np.zeros((1, 3)),
    shapes=DEFAULT_SHAPES[:1],
    styles=Styles((1.0,), (1.0,), (1.0,)),
)


def normal(mean, spread):
    squares = np.sum(((PLANNING.ideals - np.array(mean)) / spread) ** 2, axis=1)
    return Posterior.of_log_weights(PLANNING, (-squares / 2).reshape(PLANNING.shape))


@pytest.mark.parametrize("spread", [0.3, 0.45, 0.6])
@pytest.mark.parametrize("mean", [(0.0, 0.0, 0.0), (0.47, -0.81, 1.1), (-1.3, 0.62, 0.29)])
def test_the_fine_lattice_covers_the_posterior_and_is_dense_about_its_mean(mean, spread):
    posterior = normal(mean, spread)
    box, step = _box_of(posterior), 2 * REACH / 32
    for axis, (nodes, widths) in enumerate(zip(box.axes, box.widths, strict=True)):
        low, high = mean[axis] - 4.2 * spread, mean[axis] + 4.2 * spread  # all but a hundred-thousandth
        assert nodes[0] <= max(low, -REACH + 1e-9)
        assert nodes[-1] >= min(high, REACH - 1e-9)
        assert nodes[0] >= low - 3 * step - 0.2
        assert nodes[-1] <= high + 3 * step + 0.2
        assert abs(nodes[np.argmin(widths)] - mean[axis]) < spread
        assert widths.min() < 0.6 * spread
        assert box.scale[axis] == pytest.approx(spread, rel=0.2)  # within which the nodes lie about evenly


def test_the_fine_lattice_hardly_ever_changes_with_the_last_answers_bit():
    nudged = [_box_of(normal((0.47 + nudge, -0.81, 1.1), 0.45)) for nudge in (0, 1e-12, -1e-12)]
    assert len(set(nudged)) == 1


def test_the_moments_on_the_fine_lattice_are_those_of_the_posterior():
    mean, spread = np.array([0.47, -0.81, 1.1]), 0.4
    lattice = Lattice(_box_of(normal(mean, spread)), PLANNING.centres, shapes=PLANNING.shapes, styles=PLANNING.styles)
    squares = np.sum(((lattice.ideals - mean) / spread) ** 2, axis=1)
    fine = Posterior.of_log_weights(lattice, (np.log(lattice.widths).sum(axis=1) - squares / 2).reshape(lattice.shape))
    np.testing.assert_allclose(fine.mean, mean, atol=0.002)
    np.testing.assert_allclose(np.sqrt(np.diag(fine.covariance)), spread, rtol=0.01)
