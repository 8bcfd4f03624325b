"""How one colour differs from another, in words: lighter, stronger, yellower, and how much.

How much a part of a difference is seen is asked of ΔE00 itself, by changing that part alone. The limits of the words
are common practice, no source.
"""

import numpy as np

from tenter.arrays import ArrayLike, FloatArray, steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import lab_to_lch, lch_to_lab
from tenter.language import Sentence, all_of_lazy, pgettext_lazy

SAME = pgettext_lazy("difference", "the same to the eye")
SAME_BELOW = 1.0  # ΔE00: about where two colours side by side look the same
_TOUCH_BELOW, _LITTLE_BELOW = 2.0, 4.0  # ΔE00
_NEAR_GREY = 5.0  # C*; below it a hue angle says little, and a* and b* are spoken of
_SHARE = 0.5  # of the largest part; smaller ones are not spoken of
_LEAST = 0.5  # ΔE00
# About where red, yellow, green and blue that lean to no other hue lie in CIELAB, in degrees. From memory.
_HUES = ((24.0, "redder"), (90.0, "yellower"), (162.0, "greener"), (246.0, "bluer"))

_OTHERWISE = "different"  # in nothing that has a word
HOW_MUCH = ("a touch", "a little", "clearly")
DIFFERENCES = ("lighter", "darker", "stronger", "softer", *(word for _, word in _HUES), _OTHERWISE)


def difference(wanted: ArrayLike, found: ArrayLike) -> Sentence:
    """Return how the colour found differs from the one wanted, both CIELAB (3,) under the same conditions."""
    first, second = np.asarray(wanted, dtype=float), np.asarray(found, dtype=float)
    whole = steady(float(delta_e_2000(first, second)))
    if whole < SAME_BELOW:
        return SAME
    parts = [(size, word) for size, word in difference_parts(first, second) if size >= _LEAST]
    words = [word for size, word in parts if size >= _SHARE * parts[0][0]]
    changed = all_of_lazy([pgettext_lazy("difference", word) for word in words[:2] or [_OTHERWISE]])
    return pgettext_lazy("difference", f"{_how_much(whole)} {{changed}}", changed=changed)


def difference_parts(first: ArrayLike, second: ArrayLike) -> list[tuple[float, str]]:
    """Return in what one colour differs from another, both CIELAB (3,), the largest part first.

    Of each part its ΔE00 where it alone is changed, and its word as a key: lighter, darker, stronger, softer, redder,
    yellower, greener or bluer.
    """
    one, other = np.asarray(first, dtype=float), np.asarray(second, dtype=float)
    return sorted(_parts(one, other), key=lambda part: -part[0])


def _how_much(delta_e: float) -> str:
    touch, little, clearly = HOW_MUCH
    return touch if delta_e < _TOUCH_BELOW else little if delta_e < _LITTLE_BELOW else clearly


def _parts(first: FloatArray, second: FloatArray) -> list[tuple[float, str]]:
    """Return each part of a difference: its ΔE00 when it alone is changed, and its word."""
    lightness = np.array([second[0], first[1], first[2]])
    parts = [(_seen(first, lightness), "lighter" if second[0] > first[0] else "darker")]
    one, other = lab_to_lch(first), lab_to_lch(second)
    if min(one[1], other[1]) < _NEAR_GREY:
        red, yellow = second[1] - first[1], second[2] - first[2]
        parts.append((_seen(first, first + np.array([0, red, 0])), "redder" if red > 0 else "greener"))
        parts.append((_seen(first, first + np.array([0, 0, yellow])), "yellower" if yellow > 0 else "bluer"))
        return parts
    stronger = lch_to_lab(np.array([one[0], other[1], one[2]]))
    parts.append((_seen(first, stronger), "stronger" if other[1] > one[1] else "softer"))
    turned = lch_to_lab(np.array([one[0], one[1], other[2]]))
    turn = (other[2] - one[2] + 180) % 360 - 180
    parts.append((_seen(first, turned), _towards(float(one[2]), float(turn))))
    return parts


def _seen(first: FloatArray, second: FloatArray) -> float:
    return steady(float(delta_e_2000(first, second)))


def _towards(hue: float, turn: float) -> str:
    """Return the elementary hue that a hue angle turns towards."""
    if turn > 0:
        return next((word for angle, word in _HUES if hue < angle), _HUES[0][1])
    return next((word for angle, word in reversed(_HUES) if hue > angle), _HUES[-1][1])
