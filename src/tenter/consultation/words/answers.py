"""The words that entries are made of: what was seen, who saw it and how. Each vocabulary is closed."""

from enum import StrEnum

from tenter.errors import UnknownName


class Answer(StrEnum):
    """What a pair showed. The three equal answers are different findings."""

    LEFT = "left"
    RIGHT = "right"
    NOTHING_SEEN = "nothing-seen"
    BOTH_GOOD = "both-good"
    BOTH_WRONG = "both-wrong"

    @property
    def is_equal(self) -> bool:
        """Whether neither side was better."""
        return self not in (Answer.LEFT, Answer.RIGHT)


class Suits(StrEnum):
    """What one cloth on its own does."""

    WORKS = "works"
    TOLERABLE = "tolerable"
    FAILS = "fails"


class Worth(StrEnum):
    """What a colour shown after the verdict did."""

    BEST = "best"
    YES = "yes"
    AWAY = "away"  # from the face
    NO = "no"


class Brought(StrEnum):
    """What a client brings to be looked at."""

    GARMENT = "garment"
    LIPSTICK = "lipstick"
    FRAMES = "frames"
    HAIR = "hair"


class Relative(StrEnum):
    """How a garment differs from a cloth of the kit."""

    WARMER = "warmer"
    COOLER = "cooler"
    LIGHTER = "lighter"
    DEEPER = "deeper"
    BRIGHTER = "brighter"
    SOFTER = "softer"


class View(StrEnum):
    """How the cloths were shown."""

    ALTERNATE = "alternate"
    SPLIT = "split"  # half of the face each: counts half until its sides have been exchanged
    PHOTOGRAPH = "photograph"


class Source(StrEnum):
    """Who answered. Only the analyst's answers are evidence."""

    ANALYST = "analyst"
    CLIENT = "client"
    THIRD = "third"


def member_of(kind: type[StrEnum], value: object, name: str) -> StrEnum:
    """Return a member of a closed vocabulary by its word; raises `UnknownName` for any other.

    name: what the vocabulary is of, in words.
    """
    try:
        return kind(str(value))
    except ValueError:
        raise UnknownName(name, value, kind) from None
