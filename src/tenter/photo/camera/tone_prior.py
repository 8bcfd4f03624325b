"""What is expected of a camera's tone curve before a photograph is looked at.

Of a camera that nothing is known of: sRGB, with a little more contrast or a little lighter middle tones, on each
channel by itself. Of one that was learned (`learned_camera.py`): the curve that its earlier photographs had, and how
much of it works on luminance (`ToneCurve.by_luminance`).
"""

from dataclasses import dataclass

import numpy as np

from tenter.arrays import ArrayLike, FloatArray
from tenter.errors import TenterError

_SD = 0.3  # a camera's tone curve is sRGB with a little more contrast


@dataclass(frozen=True, slots=True)
class TonePrior:
    """What a tone curve is expected to be: contrast and lift and, where it is fitted too, the part by luminance.

    mean and sd: means and standard deviations of the two or three, as a `ToneCurve` has them, without unit. Raises
    `TenterError` if there are not two or three of each, or a standard deviation is not above 0.
    """

    mean: tuple[float, ...]
    sd: tuple[float, ...]

    def __post_init__(self) -> None:
        if len(self.mean) != len(self.sd) or len(self.mean) not in {2, 3} or not min(self.sd) > 0:
            raise TenterError(
                f"a tone curve is expected by {len(self.mean)} means and {len(self.sd)} spreads; give two or three of "
                "each, contrast and lift first, and spreads above 0"
            )

    @property
    def by_luminance(self) -> bool:
        """Whether the part of the curve that works on luminance is fitted."""
        return len(self.mean) == 3

    def missed(self, tone: ArrayLike) -> FloatArray:
        """Return by how many standard deviations the k numbers of curves (..., k) are unexpected, in their shape."""
        found: FloatArray = (np.asarray(tone, dtype=float) - self.mean) / self.sd
        return found


ANY_CAMERA = TonePrior((0.0, 0.0), (_SD, _SD))  # of contrast and lift
ANY_PHONE = TonePrior((0.0, 0.0, 0.0), (_SD, _SD, _SD))  # its curve may work on luminance as well
