"""The hypotheses that judgements decide between: utility shapes, styles of answering, ideal points."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.special import logsumexp, ndtr

from tenter.arrays import FloatArray, steady
from tenter.errors import TenterError
from tenter.given import given_array, given_list
from tenter.inference.utility import DEFAULT_SHAPES, Shape


@dataclass(frozen=True, slots=True)
class Styles:
    """Ways of answering that an analyst may have, and the prior weight of each.

    A style is a noise scale of comparisons, of `sigmas` (standard deviations in units of utility, above 0), and a scale
    of the cut points, of `cut_scales` (factors above 0; below 1, differences are called sooner). `weights` are shares
    of the prior, 0 or above, up to a constant. Raises `TenterError` if the three are not lists of one length, or a
    number is outside that.
    """

    sigmas: tuple[float, ...] = (0.6, 1.0, 1.0, 1.7)
    cut_scales: tuple[float, ...] = (1.0, 0.75, 1.25, 1.0)
    weights: tuple[float, ...] = (0.24, 0.27, 0.27, 0.22)

    def __post_init__(self) -> None:
        for name in ("sigmas", "cut_scales", "weights"):
            given_list(getattr(self, name), name)
        if not len(self.sigmas) == len(self.cut_scales) == len(self.weights) > 0:
            raise TenterError("styles of answering need as many noise scales as cut scales and weights")
        if not np.all(np.isfinite(given_array([self.sigmas, self.cut_scales, self.weights], "styles of answering"))):
            raise TenterError("styles of answering are finite numbers")
        if min(*self.sigmas, *self.cut_scales) <= 0 or min(self.weights) < 0 or sum(self.weights) <= 0:
            raise TenterError("noise and cut scales must be above 0, weights at least 0 and not all 0")

    def condensed(self, count: int) -> "Styles":
        """Return at most `count` styles, 1 or more, that stand for these: neighbours in noise merged at their mean.

        The mean is geometric, weighted by the prior.
        """
        order = np.argsort(self.sigmas, kind="stable")
        groups = np.array_split(order, min(count, len(order)))
        scales, weights = np.log(np.array([self.sigmas, self.cut_scales])), np.array(self.weights)
        weighty = [g for g in groups if weights[g].sum() > 0]
        merged = [(scales[:, g] @ weights[g] / weights[g].sum(), weights[g].sum()) for g in weighty]
        return Styles(
            sigmas=tuple(float(np.exp(mean[0])) for mean, _ in merged),
            cut_scales=tuple(float(np.exp(mean[1])) for mean, _ in merged),
            weights=tuple(float(weight) for _, weight in merged),
        )


@dataclass(frozen=True, slots=True)
class LatticeBox:
    """The part of the space that a lattice covers: bounds of each axis, and how many nodes lie along it.

    `low`, `high`, `centre` and `scale` have a number for each axis, in the units of the space. With `centre` and
    `scale` the nodes lie dense about the centre, at steps that grow like a hyperbolic sine beyond `scale` from it, so
    that a narrow peak and long tails are both resolved. Without, they lie evenly.
    """

    low: tuple[float, ...]
    high: tuple[float, ...]
    nodes: int
    centre: tuple[float, ...] | None = None
    scale: tuple[float, ...] | None = None

    def _mapped(self) -> list[tuple[FloatArray, FloatArray]]:
        """Return nodes and the width that each stands for, axis by axis: equal steps in t with x = c + a sinh t."""
        if self.centre is None or self.scale is None:
            even = [np.linspace(lo, hi, self.nodes) for lo, hi in zip(self.low, self.high, strict=True)]
            return [(x, np.full(self.nodes, x[1] - x[0])) for x in even]
        mapped = []
        for lo, hi, c, a in zip(self.low, self.high, self.centre, self.scale, strict=True):
            t = np.linspace(np.arcsinh((lo - c) / a), np.arcsinh((hi - c) / a), self.nodes)
            mapped.append((c + a * np.sinh(t), a * np.cosh(t) * (t[1] - t[0])))
        return mapped

    @property
    def axes(self) -> list[FloatArray]:
        """The nodes of each axis, shape (n,) each, in the units of the space."""
        return [nodes for nodes, _ in self._mapped()]

    @property
    def widths(self) -> list[FloatArray]:
        """The width that each node of each axis stands for, shape (n,) each, in the units of the space."""
        return [width for _, width in self._mapped()]


@dataclass(frozen=True)
class Lattice:
    """Shapes x styles of answering x ideal points, with the prior of each.

    The prior of the ideal point is an equal mixture of normals about `centres` (k, d), in the units of the space;
    `spread` is their standard deviation along every axis.
    """

    box: LatticeBox
    centres: FloatArray
    spread: float = 0.55
    shapes: tuple[Shape, ...] = DEFAULT_SHAPES
    styles: Styles = Styles()

    @cached_property
    def ideals(self) -> FloatArray:
        """The ideal points, shape (n, d)."""
        return _grid(self.box.axes)

    @cached_property
    def widths(self) -> FloatArray:
        """The sides of the small box that each ideal point stands for, shape (n, d)."""
        return _grid(self.box.widths)

    @cached_property
    def sigmas(self) -> FloatArray:
        """The noise scale of each style, shape (s,)."""
        return np.array(self.styles.sigmas)

    @cached_property
    def cut_scales(self) -> FloatArray:
        """The scale of the cut points of each style, shape (s,)."""
        return np.array(self.styles.cut_scales)

    @property
    def shape(self) -> tuple[int, int, int]:
        """(shapes, styles, ideal points)."""
        return len(self.shapes), self.sigmas.size, len(self.ideals)

    @cached_property
    def log_prior(self) -> FloatArray:
        """The logarithm of the prior, up to a constant, shape (h, s, n)."""
        squares = np.sum((self.ideals[:, None, :] - self.centres[None, :, :]) ** 2, axis=2)
        volume = np.log(self.widths).sum(axis=1)
        of_ideal = logsumexp(-squares / (2 * self.spread**2), axis=1) + volume
        with np.errstate(divide="ignore"):
            of_style = np.log(np.array(self.styles.weights) / np.sum(self.styles.weights))
        shares = np.array([shape.share for shape in self.shapes])
        of_shape = np.log(shares / shares.sum())
        prior: FloatArray = of_shape[:, None, None] + of_style[None, :, None] + of_ideal[None, None, :]
        prior.setflags(write=False)
        return prior


def _grid(axes: list[FloatArray]) -> FloatArray:
    return np.stack([a.ravel() for a in np.meshgrid(*axes, indexing="ij")], axis=1)


def cell_membership(points: FloatArray, prototypes: FloatArray, widths: FloatArray) -> FloatArray:
    """Return how far each point belongs to each prototype's Voronoi cell, shape (k, n); columns sum to 1.

    Points are (n, d), prototypes (k, d). A point stands for a small box around it, of sides `widths` (n, d) or (d,).
    Where a border between two cells passes through that box, membership is the part of the box on either side: a plane
    at signed distance t cuts off Φ(t / sd), sd² = Σ (normal · width)² / 12. Of the cells, the three nearest share a
    point.
    """
    k = len(prototypes)
    squares = np.sum((points[None, :, :] - prototypes[:, None, :]) ** 2, axis=2)
    nearest = np.argsort(steady(squares), axis=0, kind="stable")[: min(3, k)]
    columns = np.arange(len(points))
    share = np.ones(nearest.shape)
    for i, one in enumerate(nearest):
        for j, other in enumerate(nearest):
            if i == j:
                continue
            between = prototypes[other] - prototypes[one]
            length = np.linalg.norm(between, axis=1)
            inside = (squares[other, columns] - squares[one, columns]) / (2 * length)
            spread = np.sqrt(np.sum((between / length[:, None] * widths) ** 2, axis=1) / 12)
            share[i] *= ndtr(inside / spread)
    membership = np.zeros((k, len(points)))
    np.put_along_axis(membership, nearest, share / share.sum(axis=0), axis=0)
    return membership


def side_membership(values: FloatArray, cuts: FloatArray, widths: FloatArray) -> FloatArray:
    """Return how far values along one axis belong to each interval between cuts, shape (k + 1, n); columns sum to 1.

    Values are (n,), cuts (k,) and rising; a value stands for an interval of `widths` (n,) around it.
    """
    above = ndtr((values[None, :] - np.asarray(cuts)[:, None]) / (widths / np.sqrt(12)))
    edges = np.concatenate([np.ones((1, values.size)), above, np.zeros((1, values.size))])
    membership: FloatArray = edges[:-1] - edges[1:]
    return membership
