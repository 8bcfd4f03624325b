"""A hue table estimated from labelled cloths by one stated procedure, and what it says of cloths it never saw.

The procedure, fixed before it was run: the weight at a knot is the mean of the labels of all cloths, each weighted by a
normal kernel in hue angle and by its hue share (a near-neutral has no hue to learn from). The bandwidth is the one of
`BANDWIDTHS` with the least squared error when each of the cloths at hand is left out in turn; so a cloth that is judged
has no part in the choice. Gain, chroma limits and the rule for near-neutrals stay those of the method.
"""

from dataclasses import dataclass, replace

import numpy as np

from tenter import Kit, Method
from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.spaces import hue_angle
from tenter.consultation.axes import Axis, UndertoneTable

BANDWIDTHS = (6.0, 9.0, 13.0, 19.0, 28.0, 40.0)  # degrees
EVEN_KNOTS = np.arange(0.0, 360.0, 10.0)


@dataclass(frozen=True, eq=False)
class Labelled:
    """Cloths of known group: colours (n, 3), the undertone label of each in bench units, and the group's name."""

    lab: FloatArray
    labels: FloatArray
    groups: tuple[str, ...]

    @property
    def one_by_one(self) -> list[BoolArray]:
        """Folds that leave out one cloth each, as masks of what is kept."""
        return list(~np.eye(len(self.lab), dtype=bool))

    @property
    def group_by_group(self) -> list[BoolArray]:
        """Folds that leave out a whole group each, as masks of what is kept."""
        names = np.array(self.groups)
        return [names != name for name in dict.fromkeys(self.groups)]


def _kernel(from_hues: FloatArray, to_hues: FloatArray, bandwidth: float) -> FloatArray:
    apart = (from_hues[:, None] - to_hues[None, :] + 180) % 360 - 180
    return np.exp(-((apart / bandwidth) ** 2) / 2)


def _left_out_error(hues: FloatArray, labels: FloatArray, share: FloatArray, bandwidth: float) -> float:
    kernel = _kernel(hues, hues, bandwidth) * share
    np.fill_diagonal(kernel, 0)
    total = kernel.sum(axis=1)
    found = np.divide(kernel @ labels, total, out=np.zeros_like(total), where=total > 1e-12)
    return float(np.sum(share * (found - labels) ** 2) / share.sum())


def estimated(cloths: Labelled, kept: BoolArray, like: UndertoneTable, knots: FloatArray) -> UndertoneTable:
    """Return the table of the procedure from the cloths kept, with the other numbers of `like`."""
    hues, share, labels = hue_angle(cloths.lab[kept]), like.hue_share(cloths.lab[kept]), cloths.labels[kept] / like.gain
    bandwidth = min(BANDWIDTHS, key=lambda b: _left_out_error(hues, labels, share, b))
    kernel = _kernel(knots, hues, bandwidth) * share
    weights = kernel @ labels / np.maximum(kernel.sum(axis=1), 1e-12)
    return replace(like, hue_table=tuple(zip(knots.tolist(), weights.tolist(), strict=True)))


def predicted_undertone(
    cloths: Labelled, folds: list[BoolArray], like: UndertoneTable, knots: FloatArray
) -> FloatArray:
    """Return the undertone of each cloth by a table in which it has no part."""
    found = np.full(len(cloths.lab), np.nan)
    for kept in folds:
        found[~kept] = estimated(cloths, kept, like, knots).undertone(cloths.lab[~kept])
    return found


def coordinates(lab: FloatArray, method: Method, table: UndertoneTable) -> FloatArray:
    """Return bench coordinates (n, 3) of colours under a method with another hue table; no cloth is set by hand."""
    kit = Kit.from_lab([str(i) for i in range(len(lab))], lab, hue_families=["red"] * len(lab))
    return replace(method, undertone_table=table).coordinates(kit)


def scaled_to(prototypes: FloatArray, found: FloatArray, kept: BoolArray) -> FloatArray:
    """Return coordinates scaled axis by axis so that the cloths kept spread as the prototypes do.

    Depth and clarity take the prototypes' mean and standard deviation. Undertone takes their root mean square alone,
    for its zero means something.
    """
    mean, spread = found[kept].mean(axis=0), found[kept].std(axis=0)
    scaled: FloatArray = (found - mean) / spread * prototypes.std(axis=0) + prototypes.mean(axis=0)
    u = Axis.UNDERTONE.column
    scaled[:, u] = found[:, u] * np.sqrt(np.mean(prototypes[:, u] ** 2) / np.mean(found[kept, u] ** 2))
    return scaled
