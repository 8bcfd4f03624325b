"""The neutrals of a palette by what they are for: instead of black, your navy, a suit, denim, trench, bag, shoe.

Common practice, no source. What a neutral is for says roughly how light and how strong it is; the client's depth moves
that a little (the darkest of a light client is not black), and suitability decides within.
"""

from dataclasses import dataclass

from tenter.arrays import BoolArray, FloatArray
from tenter.consultation.palette_quotas import Quotas
from tenter.consultation.personal.colours import Part

_DEEP = -1.0  # bench units of depth from which upward a client's neutrals get lighter
Range = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Slot:
    """One place for a neutral: ranges of L* and C*, and of hue from the first angle upward, which may pass 360.

    per_depth: L* by which the range moves up for each bench unit that the client is lighter than deep.
    """

    title: str
    part: Part
    lightness: Range
    chroma: Range
    hue: Range = (0.0, 360.0)
    per_depth: float = 0.0

    def holds(self, lch: FloatArray, depth: float) -> BoolArray:
        """Tell which colours (n, 3) in L*, C*, h can take the place, for a client of a depth in bench units."""
        up = self.per_depth * max(depth - _DEEP, 0.0)
        L, C, h = lch.T
        (dark, light), (quiet, strong), (start, end) = self.lightness, self.chroma, self.hue
        held: BoolArray = (
            (dark + up <= L)
            & (light + up >= L)
            & (quiet <= C)
            & (strong >= C)
            & (((h - start) % 360 <= end - start) | (C < 4))
        )
        return held


_DARK = (
    Slot("instead of black", Part.NEUTRAL, (14, 24), (0, 13), per_depth=4.0),
    Slot("your navy", Part.NEUTRAL, (18, 28), (13, 34), (252, 292), per_depth=3.0),
    Slot("a suit", Part.NEUTRAL, (26, 36), (0, 14), per_depth=4.0),
)
_MIDDLE = (
    Slot("denim", Part.NEUTRAL, (36, 48), (12, 28), (236, 286), per_depth=3.0),
    Slot("trench", Part.NEUTRAL, (56, 68), (6, 23), (20, 100), per_depth=3.0),
    Slot("bag", Part.NEUTRAL, (28, 42), (13, 34), (5, 85), per_depth=4.0),
    Slot("shoe", Part.NEUTRAL, (36, 52), (3, 20), (0, 110), per_depth=3.0),
)
_LIGHT = Slot("", Part.NEUTRAL, (72, 86), (2, 14))
_WHITE = Slot("", Part.WHITE, (88, 97), (0, 14))
WHITE_TITLE = "your white"


def slots(quotas: Quotas) -> tuple[Slot, ...]:
    """Return the places for neutrals and whites that the quotas ask for, in the order in which they are filled."""
    light = tuple(_LIGHT for _ in range(quotas.light))
    whites = tuple(_WHITE for _ in range(quotas.whites))
    return (*whites, *_first(_DARK, quotas.dark), *_first(_MIDDLE, quotas.middle), *light)


def _first(named: tuple[Slot, ...], count: int) -> tuple[Slot, ...]:
    """Return so many of some slots; beyond those that have a name, the last again without one."""
    more = Slot("", *(getattr(named[-1], f) for f in ("part", "lightness", "chroma", "hue", "per_depth")))
    return (*named[:count], *(more for _ in range(count - len(named))))
