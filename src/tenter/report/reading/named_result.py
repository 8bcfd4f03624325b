"""A result that the consultant names: marked as theirs on the client's paper, beside the odds on the studio's."""

from enum import StrEnum

from tenter.consultation.findings.verdict import Verdict
from tenter.consultation.record.no_evidence import ConsultantVerdict
from tenter.consultation.words.traits import LeadingTrait
from tenter.language import N_, _
from tenter.report.reading.finding import PROVISIONAL, Finding
from tenter.report.reading.why import Settling, Why
from tenter.report.words import terms
from tenter.report.words.leading import lead_of
from tenter.report.words.marks import Mark, Statement
from tenter.report.words.wording import sentence

BY_JUDGEMENT = N_("by your consultant’s judgement")


class Paper(StrEnum):
    """For whom a sheet is: the client, who gets one result, or the studio, which keeps both."""

    CLIENT = "client"
    STUDIO = "studio"


NO_WHY = Why((), "", (), "", (), "", Settling("", ()))


def named_line(named: ConsultantVerdict) -> Statement:
    """Return the studio's line about a result that was named, with the reason if one was given."""
    told = _("The consultant’s judgement: {category}.", category=terms.season(named.category))
    return Statement(f"{told} {_ended(named.reason)}" if named.reason.strip() else told, Mark.SEEN)


def finding_as_named(named: ConsultantVerdict, verdict: Verdict, minor: bool) -> Finding:
    """Return the client's finding of a result that was named: no odds, and nothing that speaks for another.

    verdict: the consultant's, of `as_named`.
    """
    said = [Statement(_ended(named.reason), Mark.SEEN)] if named.reason.strip() else []
    return Finding(
        headline=sentence(terms.season(verdict.category)),
        odds=_(BY_JUDGEMENT),
        lead=Statement(lead_of(LeadingTrait(verdict.leading_trait)), Mark.CUSTOM),
        statements=(*said, *([Statement(_(PROVISIONAL), Mark.CUSTOM)] if minor else [])),
        neighbours=(),
        traits=(),
        categories=(),
        drawn=(),
        odds_mark=Mark.SEEN,
    )


def _ended(text: str) -> str:
    text = text.strip()
    return text if text[-1] in ".!?…" else f"{text}."
