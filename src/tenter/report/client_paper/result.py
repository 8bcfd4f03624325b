"""What the sitting came to, for the client: a name, how sure it is in words, and one sentence to take along."""

from dataclasses import dataclass

from tenter.consultation.ending import Ending, Owed
from tenter.consultation.method import Method
from tenter.consultation.no_evidence import ConsultantVerdict
from tenter.consultation.odds_words import Degree, OddsWord
from tenter.consultation.traits import LeadingTrait
from tenter.consultation.verdict import Trait, Verdict
from tenter.numerals import listed
from tenter.report.finding import PROVISIONAL
from tenter.report.leading import lead_words
from tenter.report.named_result import BY_JUDGEMENT
from tenter.report.wording import sentence

_MOST_NAMED = 3

_SURE = {
    OddsWord.SETTLED: "A clear result.",
    OddsWord.FIRM: "A clear result.",
    OddsWord.LIKELY: "A likely result. Not all of the answers fitted together, so hold it a little loosely.",
}
_SO_FAR = {
    OddsWord.SETTLED: "Not finished yet, and what was seen so far agrees on it.",
    OddsWord.FIRM: "Not finished yet, and what was seen so far agrees on it.",
    OddsWord.LIKELY: "Not finished yet. What was seen so far points to it.",
    OddsWord.LEANING: "Not finished yet. It comes first so far, and another result is still possible.",
}
_PHOTOGRAPHS = "It was read from photographs alone. Take it as a hint until cloth has been held beside your face."


@dataclass(frozen=True, slots=True)
class Result:
    """The result on the client’s paper. cover: its line there. notes: what else to know of how sure it is."""

    cover: str
    headline: str
    sure: str
    sentence: str
    notes: tuple[str, ...] = ()


def result(method: Method, verdict: Verdict, named: ConsultantVerdict | None, minor: bool) -> Result:
    """Return the result; `named` is the consultant's own where it differs from the odds, and `verdict` is then hers."""
    notes = (PROVISIONAL,) if minor else ()
    if named is not None:
        reason = (_ended(named.reason),) if named.reason.strip() else ()
        hers = sentence(verdict.category)
        return Result(hers, hers, f"{sentence(BY_JUDGEMENT)}.", _sentence(verdict), (*reason, *notes))
    notes = (*([_PHOTOGRAPHS] if verdict.photographs_alone else []), *notes)
    return Result(_cover(verdict), _headline(verdict), _how_sure(method, verdict), _sentence(verdict), notes)


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
    return "The first of your colours" if word is OddsWord.OPEN else f"{sentence(category)}, so far"


def _headline(verdict: Verdict) -> str:
    if verdict.is_between:
        return f"Between {verdict.category} and {verdict.runner_up}"
    return "Not finished yet" if verdict.is_open else sentence(verdict.category)


def _how_sure(method: Method, verdict: Verdict) -> str:
    if verdict.is_between:
        return "A clear place between the two: what both share is yours, and neither has to win."
    if verdict.reached.ending is Ending.FINISHED and verdict.odds_word in _SURE:
        return _SURE[verdict.odds_word]
    so_far = nearest(verdict) if verdict.is_open else _SO_FAR[verdict.odds_word]
    return f"{so_far} {_what_is_left(method, verdict)}".strip()


def nearest(verdict: Verdict) -> str:
    """Return which results an open sitting is nearest to, and whether others are nearly as likely."""
    close = verdict.nearly_as_likely
    if len(close) <= _MOST_NAMED:
        return f"Nearest so far: {listed(close)}."
    return f"Nearest so far: {listed(close[:2])}. Others are nearly as likely."


def _what_is_left(method: Method, verdict: Verdict) -> str:
    if verdict.settling_pair is None:
        return ""
    minutes = max(1, round(verdict.reached.pairs * method.planning.pair_minutes))
    time = f"about {minutes} minute{'' if minutes == 1 else 's'}"
    if Owed.ODDS in verdict.reached.owed:
        return f"A few more comparisons, often {time}, may settle it."
    return f"A few more comparisons, {time}, would complete it."


def _sentence(verdict: Verdict) -> str:
    """Return the one sentence; the traits named are those of which the side is beyond doubt, the leading one first."""
    sides = [side for side in map(settled_side, verdict.traits.values()) if side]
    if verdict.is_open:
        if not sides:
            return "What was seen on you names neither warm nor cool, light nor deep, bright nor soft."
        begins = "Your" if verdict.is_between else "So far your"
        return f"{begins} best colours are {listed([str(s) for s in sides])}: {lead_words(sides[0])}."
    leading = LeadingTrait(verdict.leading_trait)
    words = dict.fromkeys((str(leading), *(str(s) for s in sides if s.axis is not leading.axis)))
    return f"Your best colours are {listed(list(words))}: {lead_words(leading)}."


def _ended(text: str) -> str:
    text = text.strip()
    return text if text[-1] in ".!?…" else f"{text}."
