"""The four marks that tell on what a statement rests, used alike on every page."""

from dataclasses import dataclass
from enum import StrEnum


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
        "seen on the client",
        "The cloth was held under the client’s face and the consultant said what it did. A trained eye judged it; it "
        "is no instrument reading.",
    ),
    Mark.MEASURED: (
        "measured",
        "An instrument, or a photograph beside a colour card, gave the number: the colours of the cloths and, where a "
        "face was measured, of its regions.",
    ),
    Mark.PREDICTED: (
        "predicted",
        "By a model, from what was seen: every probability, where the client is on each axis, what a reason is worth, "
        "and how a cloth that was not held would do.",
    ),
    Mark.CUSTOM: (
        "by convention",
        "A convention of the trade, without a study behind it: the seasons and their names, which hues count as warm, "
        "the degrees, what goes near the face, which white and which metal.",
    ),
}
MARK_KEYS = tuple(MarkKey(mark, *_TEXTS[mark]) for mark in Mark)


@dataclass(frozen=True, slots=True)
class Statement:
    """A sentence or two, and on what it rests."""

    text: str
    mark: Mark
