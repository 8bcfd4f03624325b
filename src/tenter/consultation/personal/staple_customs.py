"""Where the trade has the staples of every shop worn: by the client's undertone, depth and clarity.

From memory, common practice, no source. A staple is hardly coloured, so that its distance from an ideal among colours
says little of how it is worn: black is a winter's own, and yet far from every ideal. What is said here decides, unless
something was seen. Borders are those of the words for traits: slight from 0.25 bench units (`odds_words.py`).
"""

from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.consultation.personal.colours import StapleAnswer

_OWN, _FAR = 0.25, 0.9  # bench units from the middle: a slight trait, and one that leads
Range = tuple[float, float]
_ANY: Range = (-np.inf, np.inf)
_WARM, _COOL = (_OWN, np.inf), (-np.inf, -_OWN)
_NOT_WARM, _NOT_COOL = (-np.inf, _OWN), (-_OWN, np.inf)
_LIGHT, _DEEP, _NOT_LIGHT, _NOT_DEEP = (_FAR, np.inf), (-np.inf, -_FAR), (-np.inf, _FAR), (-_FAR, np.inf)
_BRIGHT, _SOFT = (_FAR, np.inf), (-np.inf, -_FAR)
_CLEAR, _NOT_CLEAR, _NOT_BRIGHT = (_OWN, np.inf), (-np.inf, _OWN), (-np.inf, _FAR)


@dataclass(frozen=True, slots=True)
class Who:
    """The clients of a range of undertone, depth and clarity, in bench units."""

    undertone: Range = _ANY
    depth: Range = _ANY
    clarity: Range = _ANY

    def holds(self, ideal: FloatArray) -> bool:
        """Tell whether an ideal (3,) is within."""
        at = steady(np.asarray(ideal, dtype=float))
        ranges = (self.undertone, self.depth, self.clarity)
        return all(low <= float(x) <= high for x, (low, high) in zip(at, ranges, strict=True))


# Who wears it near the face.
_NEAR = {
    "black": (Who(_COOL, _NOT_LIGHT, _CLEAR),),
    "navy": (Who(_COOL, _NOT_LIGHT),),
    "grey": (Who(_COOL, clarity=_NOT_CLEAR),),
    "denim": (Who(_COOL, _NOT_LIGHT, _NOT_CLEAR),),
    "camel": (Who(_WARM, _NOT_LIGHT, _NOT_BRIGHT),),
    "brown": (Who(_WARM, (-np.inf, _OWN), _NOT_CLEAR),),
    "white": (Who(_COOL, clarity=_CLEAR),),
    "beige": (Who(_WARM, _NOT_DEEP, _NOT_BRIGHT),),
}
# Who wears it away from the face; anyone else wears another colour in its place.
_AWAY = {
    "black": (Who(depth=_DEEP), Who(clarity=_BRIGHT), Who(_NOT_WARM, clarity=_CLEAR)),
    "navy": (Who(_NOT_WARM), Who(depth=_DEEP), Who(clarity=_BRIGHT)),
    "grey": (Who(_NOT_WARM), Who(clarity=(-np.inf, -0.5))),
    "denim": (Who(),),
    "camel": (Who(_NOT_COOL),),
    "brown": (Who(_NOT_COOL, _NOT_LIGHT), Who(depth=_DEEP), Who(clarity=_SOFT)),
    "white": (Who(depth=_LIGHT), Who(clarity=_BRIGHT), Who(_NOT_WARM, clarity=_CLEAR)),
    "beige": (Who(_NOT_COOL), Who(clarity=_SOFT)),
}


def by_custom(name: str, ideal: FloatArray) -> StapleAnswer:
    """Return where a staple is worn by a client with an ideal (3,), as the trade has it."""
    if any(who.holds(ideal) for who in _NEAR[name]):
        return StapleAnswer.NEAR
    if any(who.holds(ideal) for who in _AWAY[name]):
        return StapleAnswer.AWAY
    return StapleAnswer.SWAP
