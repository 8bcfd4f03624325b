"""A lens that loses light towards the corners and bends straight lines a little."""

from dataclasses import dataclass

import cv2
import numpy as np

from tenter.arrays import FloatArray


@dataclass(frozen=True)
class Lens:
    """corner_loss: part of the light lost in the corners, by the fourth power of the cosine (common practice).

    off_centre: of the lens's axis (2,), in half diagonals of the picture. distortion: how much further out the corners
    are drawn, as a part; below 0 further in.
    """

    corner_loss: float = 0.0
    off_centre: tuple[float, float] = (0.0, 0.0)
    distortion: float = 0.0

    def seen(self, raw: FloatArray) -> FloatArray:
        """Return what reaches the sensor (height, width, 3) through the lens."""
        from_axis = self._from_axis(raw.shape[:2])
        squared = (from_axis**2).sum(axis=-1)
        if self.distortion:
            # where a point further in is drawn, to first order
            source = from_axis * (1 - self.distortion * squared)[..., None]
            raw = cv2.remap(raw, *self._pixels(source, raw.shape[:2]), cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE)
        tangent = 1 / np.sqrt(1 - self.corner_loss) - 1  # squared, of the corner's angle: (1 + it)^-2 of the light
        fallen: FloatArray = np.maximum(raw, 0) * ((1 + tangent * squared) ** -2)[..., None]
        return fallen

    def _from_axis(self, shape: tuple[int, ...]) -> FloatArray:
        """Return each pixel's place from the axis (height, width, 2) in half diagonals."""
        height, width = shape
        places = np.moveaxis(np.indices(shape)[::-1], 0, -1) + 0.5 - np.array([width, height]) / 2
        from_axis: FloatArray = places / (np.hypot(width, height) / 2) - self.off_centre
        return from_axis

    def _pixels(self, from_axis: FloatArray, shape: tuple[int, ...]) -> tuple[FloatArray, FloatArray]:
        height, width = shape
        at = (from_axis + self.off_centre) * (np.hypot(width, height) / 2) + np.array([width, height]) / 2 - 0.5
        x, y = np.moveaxis(at.astype(np.float32), -1, 0)
        return x, y
