"""What the sitting came to, for the client: a name, how sure it is in words, and one sentence to take along."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from tenter.consultation.conventions.method import Method
from tenter.consultation.findings.ending import Ending, Owed
from tenter.consultation.findings.verdict import Trait, Verdict
from tenter.consultation.record.no_evidence import ConsultantVerdict
from tenter.consultation.words.odds_words import Degree, OddsWord
from tenter.consultation.words.traits import LeadingTrait
from tenter.language import N_, _, all_of, ngettext
from tenter.report.reading.finding import PROVISIONAL
from tenter.report.words import terms
from tenter.report.words.leading import lead_words
from tenter.report.words.marks import Mark
from tenter.report.words.wording import sentence

_MOST_NAMED = 3  # seasons that are named as near

_SURE = {
    OddsWord.SETTLED: N_("A clear result."),
    OddsWord.FIRM: N_("A clear result."),
    OddsWord.LIKELY: N_("A likely result. Not all of the answers fitted together, so hold it a little loosely."),
}
_SO_FAR = {
    OddsWord.SETTLED: N_("Not finished yet, and what was seen so far agrees on it."),
    OddsWord.FIRM: N_("Not finished yet, and what was seen so far agrees on it."),
    OddsWord.LIKELY: N_("Not finished yet. What was seen so far points to it."),
    OddsWord.LEANING: N_("Not finished yet. It comes first so far, and another result is still possible."),
}
_PHOTOGRAPHS = N_("It was read from photographs alone. Take it as a hint until cloth has been held beside your face.")


@dataclass(frozen=True, slots=True)
class PaperResult:
    """The result on the client’s paper, in sentences.

    cover: its line there. sure: how sure it is, in words. sentence: what to take along. left: how much more would
    complete it, with its numbers; empty where nothing would. notes: what else to know of how sure it is. mark: on what
    the result rests.
    """

    cover: str
    headline: str
    sure: str
    sentence: str
    left: str = ""
    notes: tuple[str, ...] = ()
    mark: Mark = Mark.PREDICTED


def result(method: Method, verdict: Verdict, named: ConsultantVerdict | None, minor: bool) -> PaperResult:
    """Return the result.

    named: the consultant's own where it differs from the odds, None else; `verdict` is then theirs.
    """
    notes = (_(PROVISIONAL),) if minor else ()
    if named is not None:
        reason = (_ended(named.reason),) if named.reason.strip() else ()
        theirs = sentence(terms.season(verdict.category))
        judged = _("By your consultant’s judgement.")
        return PaperResult(theirs, theirs, judged, _sentence(verdict), notes=(*reason, *notes), mark=Mark.SEEN)
    notes = (*([_(_PHOTOGRAPHS)] if verdict.photographs_alone else []), *notes)
    return PaperResult(
        cover=_cover(verdict),
        headline=_headline(verdict),
        sure=_how_sure(verdict),
        sentence=_sentence(verdict),
        left="" if _is_said(verdict) else _what_is_left(method, verdict),
        notes=notes,
    )


def settled_side(trait: Trait) -> LeadingTrait | None:
    """Return the side of a trait that may be said of a client: None in the middle, or where the middle is possible."""
    low, high = trait.interval
    return None if trait.degree is Degree.MIDDLE or low <= 0 <= high else trait.side


def _cover(verdict: Verdict) -> str:
    if verdict.reached.ending is not Ending.UNFINISHED:
        return _headline(verdict)
    return so_far(verdict.category, verdict.odds_word)


def so_far(category: str, word: OddsWord) -> str:
    """Return what an unfinished sitting is called: by the likeliest category, unless that is open."""
    if word is OddsWord.OPEN:
        return _("The first of your colours")
    return sentence(_("{season}, so far", season=terms.season(category)))


def _headline(verdict: Verdict) -> str:
    if verdict.is_between:
        return border_words(verdict.category, verdict.runner_up)
    return _("Not finished yet") if verdict.is_open else sentence(terms.season(verdict.category))


def border_words(one: str, other: str) -> str:
    """Return what a border between two categories is called."""
    return _("Between {season} and {other}", season=terms.season(one), other=terms.season(other))


def _is_said(verdict: Verdict) -> bool:
    """Whether a result is named that nothing more is needed for."""
    return verdict.is_between or (verdict.reached.ending is Ending.FINISHED and verdict.odds_word in _SURE)


def _how_sure(verdict: Verdict) -> str:
    if verdict.is_between:
        return _("A clear place between the two: what both share is yours, and neither has to win.")
    if _is_said(verdict):
        return _(_SURE[verdict.odds_word])
    return nearest(verdict) if verdict.is_open else _(_SO_FAR[verdict.odds_word])


def nearest(verdict: Verdict) -> str:
    """Return which results an open sitting is nearest to, and whether others are nearly as likely."""
    close = [terms.season(name) for name in verdict.nearly_as_likely]
    if len(close) <= _MOST_NAMED:
        return _("Nearest so far: {seasons}.", seasons=all_of(close))
    return _("Nearest so far: {seasons}. Others are nearly as likely.", seasons=all_of(close[:2]))


def _what_is_left(method: Method, verdict: Verdict) -> str:
    if verdict.settling_pair is None:
        return ""
    minutes = max(1, round(verdict.reached.pairs * method.planning.pair_minutes))
    if Owed.ODDS in verdict.reached.owed:
        return ngettext(
            "Half of simulated sittings were settled within {pairs} more comparisons, about {count} minute.",
            "Half of simulated sittings were settled within {pairs} more comparisons, about {count} minutes.",
            minutes,
            pairs=verdict.reached.pairs,
        )
    return ngettext(
        "A few more comparisons, about {count} minute, would complete it.",
        "A few more comparisons, about {count} minutes, would complete it.",
        minutes,
    )


def _sentence(verdict: Verdict) -> str:
    """Return the one sentence; the traits named are those of which the side is beyond doubt, the leading one first."""
    sides = [side for side in map(settled_side, verdict.traits.values()) if side]
    slight = {t.side for t in verdict.traits.values() if t.degree is Degree.SLIGHT}
    if verdict.is_open:
        if not sides:
            return _("What was seen on you names neither warm nor cool, light nor deep, bright nor soft.")
        if not verdict.is_between:
            told = {"traits": _traits(sides, slight), "why": lead_words(sides[0])}
            return _("So far your best colours are {traits}: {why}.", **told)
        return _best(sides, sides[0], slight)
    leading = LeadingTrait(verdict.leading_trait)
    return _best([leading, *(s for s in sides if s.axis is not leading.axis)], leading, slight)


def _best(sides: Sequence[LeadingTrait], leading: LeadingTrait, slight: Collection[LeadingTrait]) -> str:
    return _("Your best colours are {traits}: {why}.", traits=_traits(sides, slight), why=lead_words(leading))


def _traits(sides: Sequence[LeadingTrait], slight: Collection[LeadingTrait]) -> str:
    """Return the traits in a row, those that are slight last and by a little."""
    clearly, little = (all_of([terms.colours_are(s) for s in sides if (s in slight) is so]) for so in (False, True))
    if clearly and little:
        return _("{traits}, and a little {slight}", traits=clearly, slight=little)
    return _("a little {slight}", slight=little) if little else clearly


def _ended(text: str) -> str:
    text = text.strip()
    return text if text[-1] in ".!?…" else f"{text}."
