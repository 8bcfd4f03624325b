"""Where the fine lattice of a reading lies: about where the posterior on the coarse one does, whatever led there."""

import numpy as np

from tenter.arrays import steady
from tenter.consultation.axes import Axis
from tenter.consultation.laid_out.bench import REACH
from tenter.inference.lattice import LatticeBox
from tenter.inference.posterior import Posterior

_FOCUS_NODES = 21  # nodes of the fine lattice along an axis
_PEAK_WIDTHS = 1.0  # standard deviations about the mean in which the nodes lie evenly
_FOCUS_TAIL = 1e-5
_BOX_GRAIN = 0.2  # bench units; a box is rounded outward, so that it changes seldom and never with how it was reached


def focus_box(posterior: Posterior) -> LatticeBox:
    """Return the box, in bench units, that holds all but a sliver of a posterior on every axis; dense at its mean.

    It is rounded outward, so that it changes seldom. Our own.
    """
    low, high = [], []
    for axis in Axis:
        nodes, mass = posterior.marginal(axis.column)
        step = nodes[1] - nodes[0]
        cumulative = steady(np.cumsum(mass))
        first = nodes[int(np.searchsorted(cumulative, _FOCUS_TAIL))] - step
        last = nodes[min(int(np.searchsorted(cumulative, 1 - _FOCUS_TAIL)), nodes.size - 1)] + step
        low.append(max(-REACH, float(np.floor(steady(first / _BOX_GRAIN)) * _BOX_GRAIN)))
        high.append(min(REACH, float(np.ceil(steady(last / _BOX_GRAIN)) * _BOX_GRAIN)))
    spread = np.sqrt(np.diag(posterior.covariance))
    centre = tuple(float(v) for v in np.round(steady(posterior.mean / _BOX_GRAIN)) * _BOX_GRAIN)
    scale = tuple(float(2.0 ** (np.round(steady(2 * np.log2(_PEAK_WIDTHS * s))) / 2)) for s in spread)
    return LatticeBox(tuple(low), tuple(high), _FOCUS_NODES, centre, scale)
