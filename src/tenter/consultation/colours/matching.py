"""Which colours are worn together, in twos and threes: the contrast of the face first, harmony to break a tie.

Common practice, no source: clothes repeat the step from light to dark that a face has, and a neutral carries a colour.
Which of two equal outfits comes first is for a published model of two-colour harmony to say, and no more than that.
"""

from collections.abc import Callable, Collection, Iterable, Sequence
from itertools import combinations
from typing import Protocol, TypeVar

import numpy as np

from tenter.arrays import steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.harmony import two_colour_harmony
from tenter.consultation.client.contrast import Contrast, ContrastLevel, level_of_step
from tenter.consultation.cloths.hue_families import HueFamily

TOLD_APART = 12.0  # ΔE00 from which two cloths are two colours when worn together
_OUTFITS = 4  # of two colours, and of three
_MOST_WHITES = 1  # outfits that a white carries: the model finds light pairs harmonious, and would choose nothing else


class WornColour(Protocol):
    """A colour that is worn: its name, its CIELAB under D65, 2°, and its hue family."""

    @property
    def name(self) -> str:
        """Its plain name."""

    @property
    def lab(self) -> tuple[float, float, float]:
        """Its CIELAB (3,) under D65/2°."""

    @property
    def family(self) -> HueFamily:
        """Its hue family."""


W = TypeVar("W", bound=WornColour)


def worn_together(
    tops: Sequence[W], neutrals: Sequence[W], accents: Sequence[W], contrast: Contrast | None
) -> tuple[list[tuple[W, ...]], list[tuple[W, ...]]]:
    """Return outfits of two colours and of three, each with another colour at the face, which comes first.

    Parameters
    ----------
    tops, neutrals, accents
        What is worn at the face, what carries it, and what may be added in a smaller piece.
    contrast
        Of the face; None where it was not measured: then lightness ranks nothing.
    """
    pairs = [(top, neutral) for top in tops for neutral in neutrals if top is not neutral]
    ranked: list[tuple[W, ...]] = [*sorted(pairs, key=lambda pair: (misses(pair, contrast), -harmony(pair)))]
    two = _varied(ranked, lambda pair, _: pair)
    return two, _varied(ranked, lambda pair, used: _with_accent(pair, accents, used, contrast), before=two)


def harmony(colours: Iterable[WornColour]) -> float:
    """Return the mean harmony of all pairs of an outfit, in units of `two_colour_harmony`: the higher the better."""
    pairs = list(combinations([s.lab for s in colours], 2))
    return steady(float(np.mean([two_colour_harmony(one, other) for one, other in pairs])))


def misses(colours: Sequence[WornColour], contrast: Contrast | None) -> int:
    """Return by how many levels the largest step of an outfit misses the contrast of the face."""
    if contrast is None:
        return 0
    levels = list(ContrastLevel)
    return min(abs(levels.index(level_of_step(step_of(colours))) - levels.index(level)) for level in contrast.levels)


def step_of(colours: Sequence[WornColour]) -> float:
    """Return L* between the lightest and the darkest of colours worn together."""
    lightness = [s.lab[0] for s in colours]
    return max(lightness) - min(lightness)


def _with_accent(
    pair: tuple[W, ...], accents: Sequence[W], used: Collection[str], contrast: Contrast | None
) -> tuple[W, ...] | None:
    """Return a pair with the accent that fits it best, or None where none reads as a colour of its own beside it."""
    free = [a for a in accents if a.name not in used]
    if not free:
        return None
    apart = delta_e_2000(np.array([s.lab for s in pair])[:, None], np.array([a.lab for a in free])[None]).min(axis=0)
    fitting = [a for a, far in zip(free, apart, strict=True) if far >= TOLD_APART]
    if not fitting:
        return None
    return (*pair, min(fitting, key=lambda a: (misses((*pair, a), contrast), -harmony((*pair, a)))))


def _varied(
    ranked: Sequence[tuple[W, ...]],
    made: Callable[[tuple[W, ...], Collection[str]], tuple[W, ...] | None],
    before: Sequence[tuple[W, ...]] = (),
) -> list[tuple[W, ...]]:
    """Return outfits made of the first pairs, so that no colour comes twice, no hue at the face, and few whites."""
    chosen: list[tuple[W, ...]] = []
    used = {c.name for colours in before for c in colours}
    for pair in ranked:
        whites = sum(s[1].family is HueFamily.WHITE for s in (*before, *chosen))
        one_more_white = pair[1].family is HueFamily.WHITE and whites >= _MOST_WHITES
        if used & {s.name for s in pair} or pair[0].family in {s[0].family for s in chosen} or one_more_white:
            continue
        outfit = made(pair, used)
        if outfit is None:
            continue
        chosen.append(outfit)
        used |= {s.name for s in outfit}
        if len(chosen) == _OUTFITS:
            break
    return chosen
