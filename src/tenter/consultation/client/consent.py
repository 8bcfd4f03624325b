"""What a client is asked to agree to: each purpose on its own, in words that are kept with the answer.

Common practice, no source. The rules on consent, on minors and on images of faces differ from place to place: these
words ask plainly and decide no law.
"""

from dataclasses import dataclass, replace
from enum import StrEnum

from tenter.language import N_, _, language

# Raise it with any change of the wordings below or of their translations: a proof says which words were shown.
WORDING_VERSION = 2
OF_FORMS = 0  # the version of what the forms of photographs asked, photograph by photograph, before there was a card
USUAL_DAYS = 365  # until a consent ends, unless another day is agreed; common practice, no source
PHOTOGRAPH_DAYS = 90  # until a photograph is deleted, by default; common practice, no source
MINORS_PHOTOGRAPH_DAYS = 30  # until a minor's photograph is deleted, by default; common practice, no source


class Purpose(StrEnum):
    """What a client may agree to; each is asked for on its own."""

    ANALYSIS = "analysis"
    MEASURE = "measure"
    COMPARE = "compare"
    SHEET = "sheet"
    PRINTED = "printed"
    PUBLISHED = "published"
    TRAINING = "training"
    ASSOCIATES = "associates"


@dataclass(frozen=True, slots=True)
class AskedPurpose:
    """One purpose as it is asked. wording: what the client agrees to; withdrawn: what happens once it is taken back.

    named: the title as it stands within a sentence.

    by_you: the program has no page or file that does it, so that the studio keeps to the answer by itself.
    """

    purpose: Purpose
    title: str
    named: str
    wording: str
    withdrawn: str
    by_you: bool = False


_ASKED = (
    AskedPurpose(
        Purpose.ANALYSIS,
        N_("Colour analysis"),
        N_("colour analysis"),
        N_(
            "I agree to a colour analysis. The studio keeps my card, what I say of light and fabrics that trouble me,"
            " what is seen at the sitting, and my result, for the time it tells me."
        ),
        N_(
            "No sitting is started or goes on, no photograph is measured, and no paper is written. What is recorded "
            "stays, and so does the list of papers handed over, until the studio erases it. Ask for that too, if you "
            "wish."
        ),
    ),
    AskedPurpose(
        Purpose.MEASURE,
        N_("Photographs kept and measured"),
        N_("photographs kept and measured"),
        N_(
            "The studio may photograph me and things of mine, measure their colours, and keep the photographs sealed "
            "until the day it tells me. A photograph is my choice."
        ),
        N_("No photograph is taken or opened any more. Those that are kept are deleted."),
    ),
    AskedPurpose(
        Purpose.COMPARE,
        N_("Photographs compared"),
        N_("photographs compared"),
        N_("My photographs may be laid beside one another, to see whether they agree and what a cloth changes."),
        N_("They are not laid beside one another any more, and what two cloths in turn came to is not shown."),
    ),
    AskedPurpose(
        Purpose.SHEET,
        N_("Measured colours on the papers"),
        N_("measured colours on the papers"),
        N_("Colours measured in my photographs may be used for my result and printed on my papers."),
        N_("No paper written from then on prints them. Papers that you have already stay as they are."),
    ),
    AskedPurpose(
        Purpose.PRINTED,
        N_("Photographs on the papers"),
        N_("photographs on the papers"),
        N_("Photographs of me may be printed on my papers: a best colour beside a less good one."),
        N_("No paper written from then on shows them. Papers that you have already stay as they are."),
    ),
    AskedPurpose(
        Purpose.PUBLISHED,
        N_("Publication"),
        N_("publication"),
        N_(
            "The studio may show my photographs and my result to the public, without my name. What others copy cannot"
            " be called back."
        ),
        N_("Nothing more is published. What others have copied cannot be called back."),
        by_you=True,
    ),
    AskedPurpose(
        Purpose.TRAINING,
        N_("Training"),
        N_("training"),
        N_("My sitting and my photographs may be shown, without my name, to consultants who learn or practise."),
        N_("They are shown to nobody who learns from then on."),
        by_you=True,
    ),
    AskedPurpose(
        Purpose.ASSOCIATES,
        N_("Seen by associates"),
        N_("seen by associates"),
        N_("Others who work in this studio may see my card, my sittings and my photographs."),
        N_("Only the studio's owner sees them, and the consultant who made the card."),
    ),
)
_NEVER_OF_MINORS = (Purpose.PUBLISHED,)


def asked(minor: bool) -> tuple[AskedPurpose, ...]:
    """Return what a client is asked, in the language; nothing of a minor is published, so that is not asked."""
    return tuple(_said(one) for one in _ASKED if not minor or one.purpose not in _NEVER_OF_MINORS)


def asked_for(purpose: Purpose) -> AskedPurpose:
    """Return how a purpose is asked, in the language."""
    return next(_said(one) for one in _ASKED if one.purpose is purpose)


def asked_in() -> str:
    """Return which words are asked just now, as their version and language: '2 en'.

    A page that shows them sends it back, so that no other words are kept than those that were shown.
    """
    return f"{WORDING_VERSION} {language().code}"


def _said(one: AskedPurpose) -> AskedPurpose:
    return replace(one, title=_(one.title), named=_(one.named), wording=_(one.wording), withdrawn=_(one.withdrawn))


def may_be_given(purpose: Purpose, minor: bool) -> bool:
    """Whether a client can agree to a purpose at all."""
    return not minor or purpose not in _NEVER_OF_MINORS
