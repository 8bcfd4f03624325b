"""The leading trait in words, and how a season can be sure beside an undertone in the middle."""

import numpy as np

from tenter.arrays import FloatArray
from tenter.consultation.axes import Axis
from tenter.consultation.conventions.method import Method
from tenter.consultation.findings.verdict import Verdict
from tenter.consultation.words import terms as trade
from tenter.consultation.words.odds_words import Degree
from tenter.consultation.words.traits import LeadingTrait, UndertoneSide
from tenter.language import N_, _, local_signed
from tenter.report.words import terms
from tenter.report.words.marks import Mark, Statement
from tenter.report.words.wording import sentence

_MOSTLY = 0.5  # of the two likeliest together: with less, a third is as likely as either, and no trait can be named
_SURE_SEASON = 0.9  # from here on a season beside a middle undertone has to be explained

_YOUR, _THE = "your", "the"  # sheets and screens that consultant and client both read speak of "the face"
_LEADS = {
    _YOUR: {
        LeadingTrait.WARM: N_("colours with gold or yellow in them sit quietly beside your face"),
        LeadingTrait.COOL: N_("colours with blue or blue-pink in them sit quietly beside your face"),
        LeadingTrait.LIGHT: N_("pale, airy colours leave your face in the light, and heavy ones take light from it"),
        LeadingTrait.DEEP: N_("full, dark colours hold your face, and pale ones leave it without a frame"),
        LeadingTrait.BRIGHT: N_(
            "clear, strong colours keep pace with your face, and beside muted ones your features lose definition"
        ),
        LeadingTrait.SOFT: N_("muted, blended colours let your face come first, and strong ones are noticed before it"),
    },
    _THE: {
        LeadingTrait.WARM: N_("colours with gold or yellow in them sit quietly beside the face"),
        LeadingTrait.COOL: N_("colours with blue or blue-pink in them sit quietly beside the face"),
        LeadingTrait.LIGHT: N_("pale, airy colours leave the face in the light, and heavy ones take light from it"),
        LeadingTrait.DEEP: N_("full, dark colours hold the face, and pale ones leave it without a frame"),
        LeadingTrait.BRIGHT: N_(
            "clear, strong colours keep pace with the face, and beside muted ones the features lose definition"
        ),
        LeadingTrait.SOFT: N_("muted, blended colours let the face come first, and strong ones are noticed before it"),
    },
}


def leading_trait(method: Method, verdict: Verdict) -> Statement:
    """Return what the leading trait is, or may be, and what it means for colours beside the face."""
    traits = [method.region(c).leading_trait for c in (verdict.category, verdict.runner_up)]
    if traits[0] is None:
        second = LeadingTrait(verdict.second_route)
        text = _(
            "Furthest from the middle: {trait}. {meaning}. This method names no leading trait, so this one is read "
            "from where the client is on the axes.",
            trait=trade.trait_sentence(second),
            meaning=sentence(lead_words(second, _THE)),
        )
        return Statement(text, Mark.PREDICTED)
    if verdict.is_open:
        return Statement(_open(verdict, traits[0], traits[1]), Mark.PREDICTED)
    return Statement(f"{lead_of(traits[0])} {_route(verdict, traits[0])}", Mark.PREDICTED)


def _open(verdict: Verdict, first: LeadingTrait, other: LeadingTrait | None) -> str:
    """Return what the leading trait may be of a client whose category is open, by those of the two likeliest."""
    names = terms.likeliest_two(verdict)
    if _together(verdict) < _MOSTLY:
        return _(
            "Leading trait: open. {category} and {other} together are less likely than all the others, so no trait can "
            "be named yet.",
            category=sentence(names["category"]),
            other=names["other"],
        )
    if first is other:
        return _(
            "Leading trait: perhaps {trait}, which {category} and {other} share. It would mean that {meaning}.",
            trait=trade.trait_sentence(first),
            meaning=lead_words(first, _THE),
            **names,
        )
    if other is None:
        return f"{lead_of(first)} {_route(verdict, first)}"
    return _(
        "Leading trait: open between {trait} and {other_trait}. {first} would mean that {meaning}; {other_trait}, that "
        "{other_meaning}.",
        trait=trade.trait_sentence(first),
        first=sentence(str(trade.trait_sentence(first))),
        meaning=lead_words(first, _THE),
        other_trait=trade.trait_sentence(other),
        other_meaning=lead_words(other, _THE),
    )


def _route(verdict: Verdict, leading: LeadingTrait) -> str:
    """Say whether the clearest trait is the leading one."""
    if verdict.second_route == leading:
        return _("It is also the clearest trait.")
    return _(
        "The clearest trait is another one, {trait}.", trait=trade.trait_sentence(LeadingTrait(verdict.second_route))
    )


def lead_words(trait: LeadingTrait, whose: str = _YOUR) -> str:
    """Return what a leading trait means for colours beside the face, as half a sentence; `whose` face it is."""
    return _(_LEADS[whose][trait])


def _together(verdict: Verdict) -> float:
    return verdict.probabilities[verdict.category] + verdict.probabilities[verdict.runner_up]


def lead_of(trait: LeadingTrait) -> str:
    """Return what a leading trait means for a client."""
    meaning = sentence(lead_words(trait, _THE))
    return _("Leading trait: {trait}. {meaning}.", trait=trade.trait_sentence(trait), meaning=meaning)


def middle_undertone(method: Method, verdict: Verdict) -> list[Statement]:
    """Return how a season of one undertone can be sure of a client whose undertone is near the middle; else nothing."""
    trait = verdict.traits[Axis.UNDERTONE]
    if trait.degree is not Degree.MIDDLE or verdict.is_open or verdict.season_probability < _SURE_SEASON:
        return []
    place = np.array([verdict.traits[a].mean for a in Axis])
    other, at = _season_across(method, verdict.season, place)
    if other is None:
        return []
    text = _(
        "Undertone is near the middle ({mean}), so it doesn’t decide. With this depth and clarity {season} ends at "
        "{border}, where {other} begins.",
        mean=local_signed(trait.mean),
        season=terms.season(verdict.season),
        border=local_signed(at),
        other=terms.season(other),
    )
    return [Statement(text, Mark.PREDICTED)]


def _season_across(method: Method, season: str, place: FloatArray) -> tuple[str | None, float]:
    """Return the season of the other undertone that lies nearest along undertone from a place (3,), and where."""
    toward = 1 if method.side_of[season] is UndertoneSide.COOL else -1
    for step in np.arange(0, 2.6, 0.05):
        there = place.copy()
        there[Axis.UNDERTONE.column] += toward * step
        found = method.season_of[method.category_at(there)]
        if method.side_of[found] is not method.side_of[season]:
            return found, float(there[Axis.UNDERTONE.column])
    return None, 0.0
