"""Places in a picture, written as text: corners and boxes in pixels of the upright original, x right and y down."""

import numpy as np

from tenter.errors import TenterError
from tenter.language import _, as_typed

Box = tuple[float, float, float, float]  # left, top, width, height

Corner = tuple[float, float]


def read_corners(text: str, came_as: str) -> tuple[Corner, ...]:
    """Return the corners written as "x,y x,y x,y", in pixels of the upright original.

    Raises
    ------
    TenterError
        Unless these are pairs of numbers; `came_as` names where the text stood.
    """
    try:
        corners = tuple((float(x), float(y)) for x, y in (place.split(",") for place in text.split()))
    except ValueError:
        corners = ()
    if not corners or not np.isfinite(corners).all():
        raise TenterError(
            _(
                "{came_as} came as {text}; give its corners in pixels of the upright picture, as in 120,400 "
                "180,400 150,450",
                came_as=came_as,
                text=as_typed(text.strip()),
            )
        )
    return corners


def read_box(text: str, came_as: str = "the box") -> Box:
    """Return the left, top, width and height written as "left,top,width,height", in pixels of the upright original.

    Raises
    ------
    TenterError
        Unless these are four numbers, the last two above 0; `came_as` names where the text stood.
    """
    try:
        left, top, width, height = (float(number) for number in text.split(","))
    except ValueError:
        left = top = width = height = np.nan
    if not (np.isfinite([left, top, width, height]).all() and width > 0 and height > 0):
        raise TenterError(
            _(
                "{came_as} came as {text}; give left, top, width and height in pixels of the upright picture, "
                "as in 820,310,120,160",
                came_as=came_as,
                text=as_typed(text),
            )
        )
    return left, top, width, height


def box_corners(box: Box) -> tuple[Corner, Corner, Corner, Corner]:
    """Return the corners of a box, the upper left one first, then clockwise."""
    left, top, width, height = box
    return (left, top), (left + width, top), (left + width, top + height), (left, top + height)
