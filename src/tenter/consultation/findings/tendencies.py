"""Why the odds of a sitting deserve less trust than they state: a sentence or two for each doubt."""

from dataclasses import dataclass

from tenter.consultation.findings.diagnostics import Diagnostics, Doubt
from tenter.consultation.words import terms
from tenter.consultation.words.traits import trait_word
from tenter.language import _


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
    """Return each doubt in the language that is written; `contradicted`: single entries are in doubt besides."""
    words = {
        Doubt.MISFIT: _misfit(contradicted),
        Doubt.POSITION: _position(found),
        Doubt.FATIGUE: _(
            "The answers fit together less well in the second half of the sitting than in the first. Rest, and hold "
            "the last pairs again."
        ),
        Doubt.CHANGE: _change(found),
    }
    return tuple(ToldDoubt(doubt, words[doubt], lowered) for doubt in doubts)


def _misfit(contradicted: bool) -> str:
    if contradicted:
        return _(
            "The answers of this sitting disagree with each other more than these odds allow for. Take the odds as "
            "less sure than they look, and hold the cloths in doubt again."
        )
    return _(
        "The answers of this sitting disagree with each other more than these odds allow for. Take the odds as "
        "less sure than they look, and hold the first pairs again."
    )


def _change(found: Diagnostics) -> str:
    what_to_do = _(
        "A tan or a base may have been seen late, or a flush may have faded. Hold the first pair again, and make void "
        "what was answered before the face was settled."
    )
    change = found.change
    if change is None:
        told = _("The later answers describe another client than the earlier ones.")
    else:
        told = _(
            "The later answers describe a {trait} client than the earlier ones.",
            trait=terms.compared(terms.more_of(trait_word(change.axis, change.sign))),
        )
    return f"{told} {what_to_do}"


def _position(found: Diagnostics) -> str:
    if found.position_bias is not None and found.position_bias.size > 0:
        return _(
            "The left side won more often than the cloths explain, so the place may have counted more than the colour. "
            "Hold the first pairs again, with the sides exchanged."
        )
    return _(
        "The right side won more often than the cloths explain, so the place may have counted more than the colour. "
        "Hold the first pairs again, with the sides exchanged."
    )
