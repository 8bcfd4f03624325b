"""The four marks that tell on what a statement rests, used alike on every page."""

from dataclasses import dataclass
from enum import StrEnum

from tenter.language import N_, _


class Mark(StrEnum):
    """On what a statement rests. Each mark has a shape and a word of its own, so that none is told by colour."""

    SEEN = "seen"
    MEASURED = "measured"
    PREDICTED = "predicted"
    CUSTOM = "custom"


@dataclass(frozen=True, slots=True)
class MarkKey:
    """A mark with its word and what it stands for."""

    mark: Mark
    word: str
    text: str


_TEXTS = {
    Mark.SEEN: (
        N_("seen on the client"),
        N_(
            "The cloth was held under the client’s face and the consultant said what it did. A trained eye judged it; "
            "it is no instrument reading."
        ),
    ),
    Mark.MEASURED: (
        N_("measured"),
        N_(
            "An instrument, or a photograph beside a colour card, gave the number: the colours of the cloths and, "
            "where a face was measured, of its regions."
        ),
    ),
    Mark.PREDICTED: (
        N_("predicted"),
        N_(
            "By a model, from what was seen: every probability, where the client is on each axis, what a reason is "
            "worth, and how a cloth that was not held would do."
        ),
    ),
    Mark.CUSTOM: (
        N_("by convention"),
        N_(
            "A convention of the trade, without a study behind it: the seasons and their names, which hues count as "
            "warm, the degrees, what goes near the face, which white and which metal."
        ),
    ),
}


_IN_A_WORD = {
    Mark.SEEN: N_("seen"),
    Mark.MEASURED: N_("measured"),
    Mark.PREDICTED: N_("predicted"),
    Mark.CUSTOM: N_("by convention"),
}


def in_a_word(mark: Mark) -> str:
    """Return a mark's shortest word, as it is beside its sign on a page."""
    return _(_IN_A_WORD[mark])


def mark_keys() -> tuple[MarkKey, ...]:
    """Return every mark with its word and what it stands for."""
    return tuple(MarkKey(mark, *map(_, _TEXTS[mark])) for mark in Mark)


@dataclass(frozen=True, slots=True)
class Statement:
    """A sentence or two, and on what it rests."""

    text: str
    mark: Mark
