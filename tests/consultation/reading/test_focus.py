"""The fine lattice lies where the posterior does, and says the same of it."""

import numpy as np
import pytest

from tenter.consultation.laid_out.bench import REACH
from tenter.consultation.reading.focus import focus_box
from tenter.inference.lattice import Lattice, LatticeBox, Styles
from tenter.inference.posterior import Posterior
from tenter.inference.utility import DEFAULT_SHAPES

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
    box, step = focus_box(posterior), 2 * REACH / 32
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
    nudged = [focus_box(normal((0.47 + nudge, -0.81, 1.1), 0.45)) for nudge in (0, 1e-12, -1e-12)]
    assert len(set(nudged)) == 1


def test_the_moments_on_the_fine_lattice_are_those_of_the_posterior():
    mean, spread = np.array([0.47, -0.81, 1.1]), 0.4
    lattice = Lattice(focus_box(normal(mean, spread)), PLANNING.centres, shapes=PLANNING.shapes, styles=PLANNING.styles)
    squares = np.sum(((lattice.ideals - mean) / spread) ** 2, axis=1)
    fine = Posterior.of_log_weights(lattice, (np.log(lattice.widths).sum(axis=1) - squares / 2).reshape(lattice.shape))
    np.testing.assert_allclose(fine.mean, mean, atol=0.002)
    np.testing.assert_allclose(np.sqrt(np.diag(fine.covariance)), spread, rtol=0.01)
