"""What the show round shows: the cloth held up now, the others with their answers, and what the client brought."""

from dataclasses import dataclass

from tenter import Sitting as LiveSitting
from tenter.consultation.sitting.show_round import ClothOffer, ShowReason, ends_in_a_showing, show_round
from tenter.consultation.words.answers import Brought
from tenter.report.words.terms import shown_because
from tenter.web.bench.bench_words import WORTHS, last_words
from tenter.web.bench.brought_things import BroughtThing, brought_things


@dataclass(frozen=True, slots=True)
class RoundCloth:
    """A cloth of the round, with its answer in a word; empty as long as there is none."""

    id: str
    name: str
    place: str
    reason: str
    answer: str


@dataclass(frozen=True, slots=True)
class ShowState:
    """The show round at one event of the sitting. `cloth` is held up now; None once every one is answered."""

    event: int
    cloth: RoundCloth | None
    before: str  # the cloths to go back and on to, by number; empty where there is none
    after: str
    cloths: tuple[RoundCloth, ...]
    brought: tuple[BroughtThing, ...]
    kind: str  # of what was brought last, which is likely to come again
    answered: int
    last: str
    undoes: bool  # whether the last that happened can be taken back here
    chosen: bool
    ended: bool


def show_state(live: LiveSitting, wanted: str = "", *, ended: bool = False) -> ShowState:
    """Return what to show; `wanted` names a cloth, or else it is the next without an answer.

    Raises `PhaseMissing` before there is a verdict, and `UnknownName` for a cloth that the kit lacks.
    """
    offers = list(show_round(live))
    if wanted and wanted not in {o.drape.id for o in offers}:
        offers.append(ClothOffer(live.kit[wanted], ShowReason.CHOSEN))
    cloths = [_held(o) for o in offers]
    at = next((i for i, c in enumerate(cloths) if (c.id == wanted if wanted else not c.answer)), None)
    brought = brought_things(live)
    ids = ["", *(c.id for c in cloths), ""]
    return ShowState(
        event=len(live.events),
        cloth=None if at is None or ended else cloths[at],
        before=ids[at] if at is not None else ids[-2],
        after=ids[at + 2] if at is not None else "",
        cloths=tuple(cloths),
        brought=brought,
        kind=brought[-1].kind if brought else str(Brought.GARMENT),
        answered=sum(bool(c.answer) for c in cloths),
        last=last_words(live),
        undoes=ends_in_a_showing(live) and not ended,
        chosen=bool(wanted),
        ended=ended,
    )


def _held(offer: ClothOffer) -> RoundCloth:
    drape = offer.drape
    answer = str(WORTHS[offer.answer]) if offer.answer else ""
    return RoundCloth(drape.id, drape.name, drape.place, shown_because(offer.reason), answer)
