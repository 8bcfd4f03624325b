"""What the bench shows: the next cloths, the progress, and what was entered last. Never any odds."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from tenter import Sitting as LiveSitting
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.laid_out.pair_quality import mixed_words
from tenter.consultation.reading.phases import DONE
from tenter.consultation.record.history import Entry
from tenter.consultation.sitting.ahead import likely_next
from tenter.consultation.sitting.enough import hardly_changes
from tenter.consultation.sitting.outlook import HoldingAdvice, outlook, whether_to_go_on
from tenter.consultation.words.answers import Source
from tenter.consultation.words.terms import cloths_worn_together
from tenter.errors import TenterError
from tenter.language import in_a_row
from tenter.report.words.terms import holding_advice
from tenter.report.words.terms import phase as phase_name
from tenter.web.bench.bench_words import entry_words, last_words

# Enough has a place of its own, at the edge; that nothing is left stands where the cloths would.
_NOT_SAID = (HoldingAdvice.GO_ON, HoldingAdvice.ENOUGH, HoldingAdvice.NOTHING_LEFT)
_KINDS = {0: "none", 1: "single", 2: "pair"}
_LISTED = 12  # entries that can be made void from the page, the latest first


@dataclass(frozen=True, slots=True)
class ShownSide:
    """One side: a cloth, or several worn together, whose id is then theirs joined by a plus."""

    id: str
    name: str
    place: str


@dataclass(frozen=True, slots=True)
class Past:
    """An entry that stands, to be made void."""

    number: int
    words: str


@dataclass(frozen=True, slots=True)
class BenchState:
    """The bench at one event of the sitting. `chosen`: the cloths are the analyst's choice, not the plan's."""

    event: int
    phase: str
    phase_count: int  # how many comparisons of the phase are done, of how many the method lets it have
    phase_least: int
    phase_most: int
    done: bool
    kind: str
    cloths: tuple[ShownSide, ...]
    drapes: tuple[ShownSide, ...]  # each cloth by itself, whether worn together or not
    chosen: bool
    mixed: str  # what a pair differs in besides what it tests
    fan: str
    exchange: tuple[str, ...]
    last: str
    recent: tuple[Past, ...]
    entries: int
    evidence: int
    client: int
    third: int
    missing: tuple[str, ...]
    ended: bool

    @property
    def held(self) -> str:
        """The cloths as an entry names them."""
        return " ".join(cloth.id for cloth in self.cloths)


@dataclass(frozen=True, slots=True)
class Prospect:
    """Whether to go on, and with what. It costs more than the cloths themselves: it is told once they are shown."""

    advice: str = ""
    over: bool = False  # the sitting is finished
    enough: bool = False  # the answer would hardly change now
    pairs: tuple[tuple[str, ...], ...] = ()  # that are likely to come next


def bench_state(live: LiveSitting, chosen: Sequence[str] = (), *, ended: bool = False) -> BenchState:
    """Return what to show; `chosen` names the cloths of one's own choice, those worn together joined by a plus.

    Once a sitting has ended no cloth is shown.
    Raises `UnknownName` for a cloth that the kit lacks, and `TenterError` for one that is named twice.
    """
    cloths: tuple[str, ...] = ()
    fan = ""
    if chosen and not ended:
        cloths = _checked(live.kit, chosen)
    elif not ended:
        coming = outlook(live)
        cloths = coming.pair
        fan = " ".join(coming.cloths) if coming.is_fan else ""
    entries = live.entries
    phase = next((p for p in live.method.phases if p.id == live.phase), None)
    return BenchState(
        event=len(live.events),
        phase=phase_name(phase.title) if phase else _("All phases done"),
        phase_count=live.phase_count,
        phase_least=phase.least if phase else 0,
        phase_most=phase.most if phase else 0,
        done=live.phase == DONE,
        kind=_KINDS.get(len(cloths), "fan"),
        cloths=tuple(_shown(live.kit, side) for side in cloths),
        drapes=tuple(_shown(live.kit, drape) for side in cloths for drape in side.split("+")),
        chosen=bool(chosen) and not ended,
        mixed=_mixed(live, cloths),
        fan=fan,
        exchange=tuple(f"{left} {right}" for left, right in live.exchanges_owed),
        last=last_words(live),
        recent=tuple(Past(e.number, entry_words(live.kit, e)) for e in entries[::-1] if e.stands)[:_LISTED],
        entries=sum(e.stands for e in entries),
        evidence=len(live.evidence),
        client=_answered_by(entries, Source.CLIENT),
        third=_answered_by(entries, Source.THIRD),
        missing=tuple(sorted(live.held.missing)),
        ended=ended,
    )


def prospect(live: LiveSitting, held: Sequence[str] = ()) -> Prospect:
    """Return what comes after the cloths that are held: the plan's where none are named.

    Of one's own choice it is not said whether to go on.
    """
    coming = outlook(live)
    if not coming.pair:
        return Prospect()
    if held:
        plain = len(held) == 2 and all(cloth in live.kit for cloth in held)
        return Prospect(pairs=likely_next(live, (held[0], held[1])) if plain else (coming.pair,))
    advice = whether_to_go_on(live, coming)
    said = "" if advice in _NOT_SAID else f"{capfirst(holding_advice(advice))}."
    enough = advice is HoldingAdvice.ENOUGH or hardly_changes(live, coming.pair)
    return Prospect(said, advice is HoldingAdvice.FINISHED, enough, likely_next(live, (coming.pair[0], coming.pair[1])))


def _mixed(live: LiveSitting, cloths: Sequence[str]) -> str:
    plain = len(cloths) == 2 and all(cloth in live.kit.ids for cloth in cloths)
    return mixed_words(live.bench, cloths) if plain else ""


def _answered_by(entries: Sequence[Entry], source: Source) -> int:
    return sum(e.stands and e.judgement.source is source for e in entries)


def _checked(kit: Kit, chosen: Sequence[str]) -> tuple[str, ...]:
    for side in chosen:
        for cloth in side.split("+"):
            kit.row(cloth)
    sides = [frozenset(side.split("+")) for side in chosen]
    if len(set(sides)) < len(sides):
        told = _("%(cloths)s names a side twice; name different cloths, as in D063 D064")
        raise TenterError(told % {"cloths": " ".join(chosen)})
    return tuple(chosen)


def _shown(kit: Kit, side: str) -> ShownSide:
    drapes = [kit[cloth] for cloth in side.split("+")]
    places = dict.fromkeys(drape.place for drape in drapes if drape.place)
    name = str(cloths_worn_together([drape.name for drape in drapes]))
    return ShownSide(side, name, in_a_row(list(places)))
