"""The sitting told back to the client: every cloth that was judged, in order, and what it did."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from tenter.consultation.record.history import Entry
from tenter.consultation.record.judgements import DrapeJudgement, FanJudgement, GarmentJudgement, PairJudgement
from tenter.consultation.sitting.sitting import Sitting
from tenter.consultation.words.answers import Answer, Suits
from tenter.language import N_, _
from tenter.report.words.swatches import Swatch


class ClothOutcome(StrEnum):
    """What a cloth did beside the others of its entry."""

    MORE = N_("did more for you")
    BETWEEN = N_("came between")
    LESS = N_("did less for you")
    NO_DIFFERENCE = N_("no difference seen")
    BOTH = N_("both did well")
    NEITHER = N_("neither was yours")
    WORKED = N_("worked on its own")
    TOLERABLE = N_("was tolerable")
    OTHERS = N_("gives more to others")
    HELD_AGAINST = N_("held beside your own")


# How tall a band stands, so that shape tells what colour must not.
_HEIGHTS = {
    ClothOutcome.MORE: 100,
    ClothOutcome.BOTH: 100,
    ClothOutcome.WORKED: 100,
    ClothOutcome.LESS: 45,
    ClothOutcome.NEITHER: 45,
    ClothOutcome.OTHERS: 45,
}
_BETWEEN = 70
_EQUAL = {
    Answer.NOTHING_SEEN: ClothOutcome.NO_DIFFERENCE,
    Answer.BOTH_GOOD: ClothOutcome.BOTH,
    Answer.BOTH_WRONG: ClothOutcome.NEITHER,
}
_ALONE = {Suits.WORKS: ClothOutcome.WORKED, Suits.TOLERABLE: ClothOutcome.TOLERABLE, Suits.FAILS: ClothOutcome.OTHERS}


@dataclass(frozen=True, slots=True)
class ClothBand:
    """One cloth as a band: it stands on the ground line, `height` of 100 tall."""

    swatch: Swatch
    result: ClothOutcome

    @property
    def said(self) -> str:
        """What the cloth did, in the language that is written."""
        return _(self.result)

    @property
    def height(self) -> int:
        """How tall it stands, of 100."""
        return _HEIGHTS.get(self.result, _BETWEEN)

    @property
    def top(self) -> int:
        """Where it begins, from above, of 100."""
        return 100 - self.height


@dataclass(frozen=True, slots=True)
class ScreenLabels:
    """The headings of the client's screen, and what is said there of a cloth that was not held."""

    page: str = N_("Your sitting")
    skip: str = N_("Skip to the page")
    title: str = N_("What you were shown")
    key: str = N_("In the order it was held. The taller band did more for you.")
    not_held: str = N_("predicted, not held")


@dataclass(frozen=True, slots=True)
class ShownEntry:
    """One entry: its number and its bands from left to right."""

    number: int
    bands: tuple[ClothBand, ...]


def told_back(sitting: Sitting, swatches: Mapping[str, Swatch]) -> tuple[ShownEntry, ...]:
    """Return every entry that counted, in the order it came."""
    return tuple(
        ShownEntry(entry.number, tuple(ClothBand(swatches[cloth], result) for cloth, result in _results(entry)))
        for entry in sitting.evidence
    )


def _results(entry: Entry) -> list[tuple[str, ClothOutcome]]:
    judgement = entry.judgement
    if isinstance(judgement, PairJudgement):
        return _of_pair(judgement)
    if isinstance(judgement, FanJudgement):
        return _of_fan(judgement)
    if isinstance(judgement, DrapeJudgement):
        return [(cloth, _ALONE[judgement.suits]) for cloth in judgement.cloths]
    if isinstance(judgement, GarmentJudgement):
        return [(judgement.than, ClothOutcome.LESS if judgement.better else ClothOutcome.HELD_AGAINST)]
    return []


def _of_pair(judgement: PairJudgement) -> list[tuple[str, ClothOutcome]]:
    left, right = judgement.sides
    if judgement.answer in _EQUAL:
        return [(cloth, _EQUAL[judgement.answer]) for cloth in (*left, *right)]
    return [
        (cloth, ClothOutcome.MORE if side == judgement.winner else ClothOutcome.LESS)
        for side in (left, right)
        for cloth in side
    ]


def _of_fan(judgement: FanJudgement) -> list[tuple[str, ClothOutcome]]:
    ranks = judgement.ranks
    if len(ranks) == 1:
        return [(cloth, ClothOutcome.NO_DIFFERENCE) for cloth in judgement.cloths]
    of_rank = {0: ClothOutcome.MORE, len(ranks) - 1: ClothOutcome.LESS}
    return [
        (cloth, of_rank.get(place, ClothOutcome.BETWEEN))
        for place, rank in enumerate(ranks)
        for step in rank
        for cloth in step
    ]
