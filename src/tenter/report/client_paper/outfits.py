"""Outfits of two and of three colours out of the palette: the contrast of the face first, harmony to break a tie.

Common practice, no source: clothes repeat the step from light to dark that a face has, and a neutral carries a colour.
Which of two equal outfits comes first is for a published model of two-colour harmony to say, and no more than that.
"""

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import TypeAlias

import numpy as np

from tenter.arrays import steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.harmony import two_colour_harmony
from tenter.consultation.contrast import Contrast, ContrastLevel, level_of
from tenter.consultation.hue_families import HueFamily
from tenter.report.client_paper.shades import Shade

Colours: TypeAlias = tuple[Shade, ...]

_OUTFITS = 4  # of two colours, and of three
_ACCENT_APART = 12.0  # ΔE00 between a third colour and the other two, so that it reads as a colour of its own
_MOST_WHITES = 1  # outfits that a white carries: the model finds light pairs harmonious, and would choose nothing else
_STEP_WORDS = {
    ContrastLevel.LOW: "close in lightness, like your features",
    ContrastLevel.MEDIUM: "a middle step from light to dark, like your features",
    ContrastLevel.HIGH: "a strong step from light to dark, like your features",
}
_UNMEASURED = {
    ContrastLevel.LOW: "close in lightness",
    ContrastLevel.MEDIUM: "a middle step from light to dark",
    ContrastLevel.HIGH: "a strong step from light to dark",
}


@dataclass(frozen=True, slots=True)
class Outfit:
    """Colours worn together, the one nearest the face first, and why."""

    shades: tuple[Shade, ...]
    reason: str


@dataclass(frozen=True, slots=True)
class Outfits:
    """Outfits of two colours and of three."""

    of_two: tuple[Outfit, ...]
    of_three: tuple[Outfit, ...]


def outfits(
    tops: Sequence[Shade], neutrals: Sequence[Shade], accents: Sequence[Shade], contrast: Contrast | None
) -> Outfits:
    """Return outfits, each with another colour at the face.

    Parameters
    ----------
    tops, neutrals, accents
        What is worn at the face, what carries it, and what may be added in a smaller piece.
    contrast
        Of the face; None where it was not measured: then lightness ranks nothing.
    """
    pairs = [(top, neutral) for top in tops for neutral in neutrals if top is not neutral]
    ranked = sorted(pairs, key=lambda pair: (_misses(pair, contrast), -harmony(pair)))
    two = _varied(ranked, lambda pair, _: pair)
    three = _varied(ranked, lambda pair, used: _with_accent(pair, accents, used, contrast), before=two)
    return Outfits(_told(two, contrast), _told(three, contrast))


def harmony(shades: Iterable[Shade]) -> float:
    """Return the mean two-colour harmony of all pairs of an outfit."""
    pairs = list(combinations([s.lab for s in shades], 2))
    return steady(float(np.mean([two_colour_harmony(one, other) for one, other in pairs])))


def _misses(shades: Sequence[Shade], contrast: Contrast | None) -> int:
    """Return by how many levels the largest step of an outfit misses the contrast of the face."""
    if contrast is None:
        return 0
    levels = list(ContrastLevel)
    return min(abs(levels.index(level_of(_step(shades))) - levels.index(level)) for level in contrast.levels)


def _step(shades: Sequence[Shade]) -> float:
    lightness = [s.lab[0] for s in shades]
    return max(lightness) - min(lightness)


def _with_accent(
    pair: Colours, accents: Sequence[Shade], used: Collection[str], contrast: Contrast | None
) -> Colours | None:
    """Return a pair with the accent that fits it best, or None where none reads as a colour of its own beside it."""
    free = [a for a in accents if a.name not in used]
    if not free:
        return None
    apart = delta_e_2000(np.array([s.lab for s in pair])[:, None], np.array([a.lab for a in free])[None]).min(axis=0)
    fitting = [a for a, far in zip(free, apart, strict=True) if far >= _ACCENT_APART]
    if not fitting:
        return None
    return (*pair, min(fitting, key=lambda a: (_misses((*pair, a), contrast), -harmony((*pair, a)))))


def _varied(
    ranked: Sequence[Colours],
    made: Callable[[Colours, Collection[str]], Colours | None],
    before: Sequence[Colours] = (),
) -> list[Colours]:
    """Return outfits made of the first pairs, so that no colour comes twice, no hue at the face, and few whites."""
    chosen: list[Colours] = []
    used = {shade.name for shades in before for shade in shades}
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


def _told(found: Iterable[Colours], contrast: Contrast | None) -> tuple[Outfit, ...]:
    return tuple(Outfit(shades, _reason(shades, contrast)) for shades in found)


def _reason(shades: Sequence[Shade], contrast: Contrast | None) -> str:
    matches = contrast is not None and not _misses(shades, contrast)
    return (_STEP_WORDS if matches else _UNMEASURED)[level_of(_step(shades))]
