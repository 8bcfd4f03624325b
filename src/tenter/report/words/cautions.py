"""What a client should know about the limits of a reading. May be reworded, never dropped."""

from dataclasses import dataclass, replace

from tenter.consultation.client.consent import MINORS_PHOTOGRAPH_DAYS, PHOTOGRAPH_DAYS
from tenter.language import N_, _


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution with its heading."""

    key: str
    title: str
    text: str


_ALWAYS = (
    Caution(
        "over-claim",
        N_("How far to trust it"),
        N_(
            "This is a trained visual judgement supported by measurements. Another trained person may see a "
            "neighbouring result. No study known to us shows that seasons exist in nature."
        ),
    ),
    Caution(
        "money",
        N_("Your wardrobe and your money"),
        N_(
            "Nothing needs to be thrown away. Wear what you have first; nothing has to be bought for this reading to "
            "be of use. If consultants earn on something they recommend, they say so before you buy."
        ),
    ),
    Caution(
        "skin",
        N_("Skin"),
        N_(
            "This paper describes how cloth looks beside your face. It does not assess or treat skin. Ask a clinician "
            "about any change that worries you."
        ),
    ),
    Caution(
        "advice",
        N_("What this is not"),
        N_("No medical, dermatological or psychological advice, and no advice on whether a cosmetic is safe."),
    ),
    Caution(
        "complexion",
        N_("Light and deep skin"),
        N_(
            "No trait and no season was taken from how light or deep your skin is, nor from the colour of hair or "
            "eyes. Cloth moves the look of deep skin less than that of light skin, so differences can be harder to "
            "see."
        ),
    ),
    Caution(
        "privacy",
        N_("Your face and your record"),
        N_(
            "A photograph is your choice, and each use of one is asked for on its own. It stays with the studio and is "
            "deleted within {days} days of the handover, unless you agreed another date. Colours of regions are kept, "
            "never a template that could recognise you. Ask who may see your record, for a copy, or to have it erased."
        ),
    ),
    Caution(
        "next-sitting",
        N_("Before another sitting"),
        N_(
            "The light is bright, and cloth lies at your neck. You are asked first whether bright or flickering light, "
            "wipes, latex, wool or dye trouble you. The light can then be dimmed, and a clean cloth laid there. Never "
            "look into the lamp."
        ),
    ),
)
_MINOR = Caution(
    "minor",
    N_("Under age"),
    N_(
        "A sitting under age is held with a guardian present and consenting. Nothing of it is published, a photograph "
        "has a date by which it is deleted, and the reading is provisional until adulthood."
    ),
)
_LAW = Caution(
    "law",
    N_("For the studio"),
    N_(
        "Rules on consent, data protection, minors, images of faces, withdrawal and refunds, vouchers and advertising "
        "differ from place to place: check the law where you work. This sheet is not legal advice."
    ),
)


def cautions(minor: bool) -> tuple[Caution, ...]:
    """Return the cautions of a sheet, what concerns the client most first."""
    return _said((*_of(minor), _LAW), minor)


def cautions_for_client(minor: bool) -> tuple[Caution, ...]:
    """Return the cautions of the client's paper: all but the one that is for the studio."""
    return _said(_of(minor), minor)


def _of(minor: bool) -> tuple[Caution, ...]:
    return (*((_MINOR,) if minor else ()), *_ALWAYS)


def _said(listed: tuple[Caution, ...], minor: bool) -> tuple[Caution, ...]:
    """Return cautions in the language; the key stays, as programs read it."""
    days = MINORS_PHOTOGRAPH_DAYS if minor else PHOTOGRAPH_DAYS
    return tuple(replace(one, title=_(one.title), text=_(one.text, days=days)) for one in listed)
