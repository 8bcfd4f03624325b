"""Why the odds of a sitting deserve less trust than they state, as a page says it."""

from tenter.consultation.findings.verdict import Verdict
from tenter.language import _


def doubt_words(verdict: Verdict) -> tuple[str, ...]:
    """Return a sentence or two for each doubt, and whether the word for the odds is lowered; nothing without any."""
    told = tuple(doubt.text for doubt in verdict.tendencies)
    lowered = _("So the word for the verdict is one step less sure than its odds alone would make it.")
    return (*told, lowered) if any(doubt.odds_word_lowered for doubt in verdict.tendencies) else told
