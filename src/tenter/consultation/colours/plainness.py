"""Which colours count as a plain colour of their hue, and not as a brown, a grey or mud: what an accent has to be.

From memory, common practice, no source. A red without chroma is a brown, an orange a beige, a dark yellow an olive; and
the clearer a client, the lighter their yellows have to be, as a dark yellow looks dull however strong it is. Beside the
other colours of a clear client a dark amber or an olive looks as dull.
"""

from collections.abc import Sequence

import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.consultation.cloths.hue_families import HueFamily

# Least C*ab of a plain colour of each family; set by judgement.
_LEAST_CHROMA = {
    HueFamily.RED: 22.0,
    HueFamily.PINK: 14.0,
    HueFamily.ORANGE: 25.0,
    HueFamily.YELLOW: 19.0,
    HueFamily.GREEN: 13.0,
    HueFamily.TEAL: 13.0,
    HueFamily.BLUE: 14.0,
    HueFamily.PURPLE: 13.0,
}
_LEAST_LIGHTNESS = 24.0  # darker, it is a neutral to whoever sees it
_YELLOW_FROM, _GREENISH_FROM = (62.0, 72.0), 92.0  # least L* of a yellow for a soft and a clear client; of a lemon more
_LEMON_LIGHTER = 14.0  # L* by which a plain lemon is lighter than a plain golden yellow; set by judgement
_DULL_HUES, _DULL_FROM = (65.0, 118.0), (0.0, 60.0)  # least L* of an orange or a green of these hues, likewise
_SOFT, _CLEAR = -0.5, 1.0  # bench units of clarity
_RED_CHROMA, _RED_HUES = 30.0, (14.0, 40.0)  # of what everyone calls red


def is_plain(lch: FloatArray, families: Sequence[HueFamily], clarity: float) -> BoolArray:
    """Tell which colours (n, 3) in L*, C*, h are plain ones of their families (n), shape (n,).

    clarity: of the client, in bench units; a soft client's accents may be duller. The borders are ours, set by
    judgement.
    """
    L, C, h = lch.T
    least = np.array([_LEAST_CHROMA.get(f, np.inf) for f in families])
    yellow = np.array([f is HueFamily.YELLOW for f in families], dtype=bool)
    lemon = _LEMON_LIGHTER * np.clip((h - 84.0) / (_GREENISH_FROM - 84.0), 0, 1)
    lightest = np.interp(clarity, (_SOFT, _CLEAR), _YELLOW_FROM) + lemon
    dull = (h >= _DULL_HUES[0]) & (h <= _DULL_HUES[1]) & (np.interp(clarity, (_SOFT, _CLEAR), _DULL_FROM) > L)
    plain: BoolArray = (least <= C) & (L >= _LEAST_LIGHTNESS) & (~yellow | (lightest <= L)) & ~dull
    return plain


def is_red(lch: FloatArray, families: Sequence[HueFamily]) -> BoolArray:
    """Tell which colours (n, 3) in L*, C*, h everyone calls red, shape (n,)."""
    _, C, h = lch.T
    of_family = np.array([f is HueFamily.RED for f in families], dtype=bool)
    red: BoolArray = of_family & (C >= _RED_CHROMA) & (h >= _RED_HUES[0]) & (h <= _RED_HUES[1])
    return red
