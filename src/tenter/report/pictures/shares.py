"""Places on a picture as parts of its width and height, so that they hold at any size it is drawn at."""

from tenter.arrays import FloatArray

Point = tuple[float, float]
Outline = tuple[Point, ...]
PictureView = tuple[float, float, float, float]  # left, top, right, bottom

WHOLE: PictureView = (0.0, 0.0, 1.0, 1.0)  # left, top, width and height of a picture, as shares


def share_of(px: FloatArray, size: FloatArray) -> Outline:
    """Return points (n, 2) in pixels as parts of a picture's width and height, 0 to 1.

    size (2,): width and height in pixels.
    """
    return tuple((round(float(x), 5), round(float(y), 5)) for x, y in px / size)
