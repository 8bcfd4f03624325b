"""A client known by photographs alone: how far the odds may go, whatever the answers came to.

On photographs cloth and face come with errors that no answer shows, and that the model, which knows only how people
answer, cannot count. So what is stated is held down to what a study of such sittings supports:
docs/studies/online-study.md.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray
from tenter.consultation.record.history import Entry
from tenter.consultation.words.answers import View
from tenter.errors import TenterError
from tenter.language import _, as_written

_HALVINGS = 50  # of an interval: to the last bit of a float
_LEANING_MOST = 0.70  # a method that names seasons only is held to "leaning" too


@dataclass(frozen=True, slots=True)
class Cap:
    """The highest odds that may be stated.

    category, season: of a sub-season and of a season, 0 to 1. Raises `TenterError` unless 0 < category ≤ season < 1.
    """

    category: float
    season: float

    def __post_init__(self) -> None:
        if not 0 < self.category <= self.season < 1:
            raise TenterError(
                _(
                    "caps {category}, {season} came; 0 < sub-season ≤ season < 1 will do",
                    category=as_written(f"{self.category:g}"),
                    season=as_written(f"{self.season:g}"),
                )
            )


# `./run bench online`: of the sittings that stated as much or more, at least so many were right, on a screen as bought.
# The section "What follows" of docs/studies/online-study.md has the figures.
WITH_CARD = Cap(category=0.60, season=0.90)
WITHOUT_CARD = Cap(category=0.34, season=0.60)


def photographs_alone(evidence: Iterable[Entry]) -> bool:
    """Return whether every entry that counts was judged on a photograph, and there is one."""
    return {entry.judgement.view for entry in evidence} == {View.PHOTOGRAPH}


def advice(with_card: bool) -> str:
    """Return what is said of a sitting by photographs alone; `with_card`: the face was measured beside a card."""
    if with_card:
        return _(
            "Known by photographs alone: at most leaning, whatever the answers came to. Come to the studio, or repeat "
            "the comparisons with cloth by a window."
        )
    return _(
        "Known by photographs alone, and by none that was measured beside a colour card: open, whatever the answers "
        "came to. Come to the studio, or repeat the comparisons with cloth by a window."
    )


def capped(probabilities: Mapping[str, float], season_of: Mapping[str, str], with_card: bool) -> dict[str, float]:
    """Return odds of categories, which sum to 1, held down to what photographs alone support.

    probabilities: of every category, 0 to 1. All of them are tempered as if every answer weighed less, just so far that
    neither the likeliest category nor the likeliest season lies above its cap. Their order stays, and the likeliest
    never rises. The caps are ours.
    """
    cap, names = WITH_CARD if with_card else WITHOUT_CARD, list(probabilities)
    logs = np.log(np.maximum([probabilities[c] for c in names], np.finfo(float).tiny))
    seasons = np.unique([season_of[c] for c in names], return_inverse=True)[1]
    finest = cap.category if seasons.max() + 1 < len(names) else min(cap.season, _LEANING_MOST)

    def tempered(weight: float) -> FloatArray:
        odds = np.exp(weight * (logs - logs.max()))
        whole: FloatArray = odds / odds.sum()
        return whole

    def holds(odds: FloatArray) -> bool:
        return bool(odds.max() <= finest and np.bincount(seasons, odds).max() <= cap.season)

    if holds(tempered(1.0)):
        return dict(probabilities)
    low, high = 0.0, 1.0
    for _halving in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if holds(tempered(middle)) else (low, middle)
    return dict(zip(names, (float(p) for p in tempered(high)), strict=True))  # high: at the cap, not a hair below it
