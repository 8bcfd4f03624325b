"""Why the odds of a sitting deserve less trust than they state, in words."""

from tenter.consultation.diagnostics import Doubt
from tenter.consultation.odds_words import odds_word
from tenter.consultation.traits import trait_word
from tenter.consultation.verdict import Verdict

_FATIGUE = (
    "The answers fit together less well in the second half of the sitting than in the first. Rest, and hold the last "
    "pairs again."
)
_AGAIN = "Hold the first pairs again, with the sides exchanged"


def doubt_words(verdict: Verdict) -> tuple[str, ...]:
    """Return a sentence or two for each doubt, and whether the word for the odds is lowered; nothing without any.

    What is open by its odds cannot be lowered.
    """
    words = {
        Doubt.MISFIT: _misfit(verdict),
        Doubt.POSITION: _position(verdict),
        Doubt.FATIGUE: _FATIGUE,
        Doubt.CHANGE: _change(verdict),
    }
    told = tuple(words[doubt] for doubt in verdict.doubts)
    lowered = "So the word for the verdict is one step less sure than its odds alone would make it."
    return (*told, lowered) if verdict.odds_word is not odds_word(verdict.probability) else told


def _misfit(verdict: Verdict) -> str:
    again = "hold the cloths in doubt again" if verdict.contradictions else "hold the first pairs again"
    return (
        "The answers of this sitting disagree among themselves more than these odds allow for. Take the odds as less "
        f"sure than they read, and {again}."
    )


def _change(verdict: Verdict) -> str:
    found = verdict.diagnostics.change
    towards = f"a {trait_word(found.axis, found.sign)}er client" if found else "another client"
    return (
        f"The later answers speak of {towards} than the earlier ones. A tan or a base may have been seen late, or a "
        "flush may have faded. Hold the first pair again, and make void what was answered before the face was settled."
    )


def _position(verdict: Verdict) -> str:
    bias = verdict.diagnostics.position_bias
    side = "left" if bias is not None and bias.size > 0 else "right"
    return (
        f"The {side} side won more often than the cloths explain, so the place may have counted more than the colour. "
        f"{_AGAIN}."
    )
