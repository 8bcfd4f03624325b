"""A veil over a card: the same light added to every patch, as sheen adds it, or a window that shines into the lens.

A veil lifts dark patches most and takes colour from deep ones; so does a camera that lifts shadows. Neither the black
patch nor the fitted tone curve tells the two apart (on real photographs its `lift` lies between −0.4 and 0.9). What
does is the pattern over greys and colours together: a share of the white patch's light, taken off every patch, either
lets the colours agree better than any tone curve does, or it does not.

A veil on the card alone is taken off it. One that may lie on the whole picture, as nothing in it is darker, lies on the
face as well; then nothing is taken off, and the intervals are wider.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray

_TRIED = (0.0, 0.01, 0.02, 0.03, 0.045, 0.06, 0.08, 0.1, 0.13, 0.17)  # shares of white over the card
# Of the gain, in squared standard deviations of what the fit misses. Of 25 rendered sheens of 3 % and more 20 exceed
# the first and 24 the second; of 135 other rendered cards, tone mapping among them, one exceeds the first.
CLEAR_GAIN, POSSIBLE_GAIN = 14.0, 6.0
_AS_DARK = 0.6  # of the veil's light: what is darker than that lies under none


@dataclass(frozen=True, slots=True)
class Veil:
    """The likeliest veil: which share of the white patch's light it is.

    spread: the standard deviation of that share. gain: by how much less the fit misses with it, in squared standard
    deviations. everywhere: whether it may lie on the whole picture.
    """

    share: float = 0.0
    spread: float = 0.0
    gain: float = 0.0
    everywhere: bool = False

    @property
    def clear(self) -> bool:
        """Whether it lies on the card, by all that the picture shows."""
        return self.gain > CLEAR_GAIN and not self.everywhere

    @property
    def possible(self) -> bool:
        """Whether there may be one, on the card or on the whole picture."""
        return self.gain > POSSIBLE_GAIN


NO_VEIL = Veil()


def likeliest_veil(misfit_with: Callable[[float], float], free: int) -> Veil:
    """Return the veil with which a fit misses least.

    misfit_with: the sum of squares that the fit misses with a veil of some share, 0 to 1. free: how many of them are
    free.
    """
    misfits = [misfit_with(_TRIED[0])]
    for share in _TRIED[1:]:
        misfits.append(misfit_with(share))
        if misfits[-1] > misfits[-2]:
            break
    best = int(np.argmin(misfits))
    if best == 0 or best == len(misfits) - 1:
        return NO_VEIL if best == 0 else Veil(_TRIED[best], 0.0, _gain(misfits[0], misfits[best], free))
    bend, slope, _ = np.polyfit(_TRIED[best - 1 : best + 2], misfits[best - 1 : best + 2], 2)
    share = float(-slope / (2 * bend))
    spread = float(np.sqrt(misfits[best] / free / bend))
    return Veil(share, spread, _gain(misfits[0], misfits[best], free))


def lies_everywhere(darkest: FloatArray, white: FloatArray, share: float) -> bool:
    """Return whether nothing in a picture is darker than a veil; linear values (3,): its darkest parts, its white."""
    return bool((darkest > _AS_DARK * share * white).all())


def _gain(without: float, with_it: float, free: int) -> float:
    return free * (without / max(with_it, 1e-9) - 1)
