"""Chromatic adaptation: the corresponding colour under another white.

An adaptation formula speaks of appearance. It does not undo metamerism: for what a surface would measure under another
light, use its reflectance (`tenter.colorimetry.reflectance`).
"""

from enum import Enum

import numpy as np

from tenter.arrays import ArrayLike, FloatArray


class Transform(Enum):
    """Matrices from XYZ to sharpened cone responses, row-major.

    BRADFORD: as in ICC.1 Annex E. CAT02: CIE 159:2004. CAT16: C. Li et al. (2017), Color Research and Application
    42(6), 703-718.
    """

    BRADFORD = ((0.8951, 0.2664, -0.1614), (-0.7502, 1.7135, 0.0367), (0.0389, -0.0685, 1.0296))
    CAT02 = ((0.7328, 0.4296, -0.1624), (-0.7036, 1.6975, 0.0061), (0.0030, 0.0136, 0.9834))
    CAT16 = ((0.401288, 0.650173, -0.051461), (-0.250268, 1.204414, 0.045854), (-0.002079, 0.048952, 0.953127))

    @property
    def matrix(self) -> FloatArray:
        """The matrix, shape (3, 3)."""
        return np.array(self.value)


def adaptation_matrix(
    white_from: ArrayLike, white_to: ArrayLike, transform: Transform, degree: float = 1
) -> FloatArray:
    """Return the matrix M, shape (3, 3), with adapted XYZ = XYZ @ M.T.

    The whites are XYZ (3,) and share their units. `degree` is D of CAT16, 0 to 1: 1 is full adaptation, 0 none.

    Source: von Kries' rule in the cone space of the transform; D as in Li et al. (2017), see `Transform`.
    """
    m = transform.matrix
    source, target = m @ np.asarray(white_from, dtype=float), m @ np.asarray(white_to, dtype=float)
    gains = degree * target / source + (1 - degree)
    matrix: FloatArray = np.linalg.solve(m, gains[:, None] * m)
    return matrix


def adapt(
    xyz: ArrayLike,
    white_from: ArrayLike,
    white_to: ArrayLike,
    transform: Transform = Transform.CAT16,
    degree: float = 1,
) -> FloatArray:
    """Return the corresponding colour, shape (..., 3), of XYZ (..., 3) for an eye adapted to another white.

    The whites (3,) are XYZ in the units of the colours: `white_from` is the one they were seen under, `white_to` the
    other. `degree` runs from 0, no adaptation, to 1, full adaptation.
    """
    return np.asarray(xyz, dtype=float) @ adaptation_matrix(white_from, white_to, transform, degree).T
