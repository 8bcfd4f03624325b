"""What is asked and looked at when a client comes in, in the language that is written."""

from collections.abc import Iterable, Iterator

from tenter.consultation.client.arrival import CHECKS, ArrivalFinding, Check, Fitness
from tenter.consultation.client.asked_first import CARES, Care
from tenter.language import pgettext

_LOOKED_AT, _WHY, _TO_DO = "looked at when a client comes in", "why it matters to the cloths", "about a finding"
_ASKED, _TAKES_CARE, _AT_BENCH = "asked before the first cloth", "so that nothing troubles the client", "on the bench"


def check_title(check: Check) -> str:
    """Return what is looked at."""
    return pgettext(_LOOKED_AT, check.title)


def finding_label(check: Check, finding: ArrivalFinding) -> str:
    """Return what may be found there."""
    return pgettext(check.title, finding.label)


def finding_reason(finding: ArrivalFinding) -> str:
    """Return what follows from what was found, in a sentence or more."""
    return pgettext(_WHY, finding.reason)


def fitness_word(fitness: Fitness) -> str:
    """Return in a word what to do about what was found."""
    return pgettext(_TO_DO, fitness)


def care_label(care: Care) -> str:
    """Return what is asked first."""
    return pgettext(_ASKED, care.label)


def care_to_do(care: Care) -> str:
    """Return what is done where it troubles the client, in a sentence or more."""
    return pgettext(_TAKES_CARE, care.to_do)


def care_at_bench(care: Care) -> str:
    """Return the same in a few words, for the bench."""
    return pgettext(_AT_BENCH, care.at_bench)


def arrival_terms() -> Iterator[tuple[str, str, Iterable[str]]]:
    """Yield everything that is looked up here: the context, a note to translators, and the words."""
    yield _LOOKED_AT, "What is looked at in the face.", [check.title for check in CHECKS]
    for check in CHECKS:
        yield check.title, "What may be found.", [finding.label for finding in check.findings]
    reasons = dict.fromkeys(finding.reason for check in CHECKS for finding in check.findings)
    yield _WHY, "What follows from what was found.", reasons
    yield _TO_DO, "What to do about what was found, as in: Tan: postpone.", Fitness
    yield _ASKED, "Does any of these trouble you?", [care.label for care in CARES]
    yield _TAKES_CARE, "What is done where it troubles the client.", [care.to_do for care in CARES]
    yield _AT_BENCH, "The same in a few words.", [care.at_bench for care in CARES]
