"""Why the odds of a sitting deserve less trust than they state: a sentence or two for each doubt."""

from dataclasses import dataclass

from tenter.consultation.diagnostics import Diagnostics, Doubt
from tenter.consultation.traits import trait_word

_FATIGUE = (
    "The answers fit together less well in the second half of the sitting than in the first. Rest, and hold the last "
    "pairs again."
)
_AGAIN = "Hold the first pairs again, with the sides exchanged"


@dataclass(frozen=True, slots=True)
class ToldDoubt:
    """One doubt in words. `odds_word_lowered` is whether the word for the odds is one step less sure for it.

    What is open by its odds cannot be lowered.
    """

    code: Doubt
    text: str
    odds_word_lowered: bool


def told_doubts(
    found: Diagnostics, doubts: tuple[Doubt, ...], contradicted: bool, lowered: bool
) -> tuple[ToldDoubt, ...]:
    """Return each doubt in words; `contradicted` is whether single entries are in doubt besides."""
    words = {
        Doubt.MISFIT: _misfit(contradicted),
        Doubt.POSITION: _position(found),
        Doubt.FATIGUE: _FATIGUE,
        Doubt.CHANGE: _change(found),
    }
    return tuple(ToldDoubt(doubt, words[doubt], lowered) for doubt in doubts)


def _misfit(contradicted: bool) -> str:
    again = "hold the cloths in doubt again" if contradicted else "hold the first pairs again"
    return (
        "The answers of this sitting disagree among themselves more than these odds allow for. Take the odds as less "
        f"sure than they read, and {again}."
    )


def _change(found: Diagnostics) -> str:
    change = found.change
    towards = f"a {trait_word(change.axis, change.sign)}er client" if change else "another client"
    return (
        f"The later answers speak of {towards} than the earlier ones. A tan or a base may have been seen late, or a "
        "flush may have faded. Hold the first pair again, and make void what was answered before the face was settled."
    )


def _position(found: Diagnostics) -> str:
    side = "left" if found.position_bias is not None and found.position_bias.size > 0 else "right"
    return (
        f"The {side} side won more often than the cloths explain, so the place may have counted more than the colour. "
        f"{_AGAIN}."
    )
