"""The show round after a verdict: about a dozen cloths to hold up, one a family, whites, metals and neutrals.

It is for the client, and decides where colours are worn; it is no evidence about the season, as everybody knows the
result by then. Which cloths, and in which order, is common practice, no source. The list follows from what was judged
before the verdict alone, so that answering it does not change it.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from tenter.arrays import steady
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.cloths.kit import Drape
from tenter.consultation.findings.named import as_named
from tenter.consultation.palette.palette import ROLE_BORDERS, Palette, palette
from tenter.consultation.palette.palette_parts import PaletteEntry
from tenter.consultation.palette.wear_role import Role
from tenter.consultation.record.history import Entry, Recorded, Undone
from tenter.consultation.record.no_evidence import Showing
from tenter.consultation.sitting.sitting import Sitting
from tenter.consultation.words.answers import Worth

_ROUND = 12  # cloths: twenty minutes with the talk between them
_NEUTRALS, _WHITES, _METALS = 2, 2, 2  # cloths of each that are shown; common practice, no source
_APART = 20.0  # of L*, between the two neutrals
_HUES = (
    HueFamily.RED,
    HueFamily.PINK,
    HueFamily.ORANGE,
    HueFamily.YELLOW,
    HueFamily.GREEN,
    HueFamily.TEAL,
    HueFamily.BLUE,
    HueFamily.PURPLE,
)


class ShowReason(StrEnum):
    """Why a cloth is shown."""

    LIKELIEST = "the likeliest best of its hue"
    NEUTRAL = "a neutral"
    WHITE = "a white"
    METAL = "a metal"
    DECIDES = "decides how near to the face it is worn"
    CHOSEN = "your own choice"


@dataclass(frozen=True, slots=True)
class ClothOffer:
    """A cloth to show, why, and the last answer; None as long as there is none."""

    drape: Drape
    reason: ShowReason
    answer: Worth | None = None


def show_round(sitting: Sitting) -> tuple[ClothOffer, ...]:
    """Return the cloths to show after the verdict, in their order; raises `PhaseMissing` before there is one.

    Cloths that cannot be found are left out. What the consultant shows besides comes after them.
    """
    verdict = sitting.verdict()
    found = palette(sitting, as_named(sitting, verdict) or verdict, shown=False)
    answers = {s.drape: s.worth for s in showings(sitting.entries) if s.drape}
    offered = dict(_chosen(found, sitting))
    extra = {cloth: ShowReason.CHOSEN for cloth in answers if cloth not in offered}
    return tuple(ClothOffer(sitting.kit[c], why, answers.get(c)) for c, why in (offered | extra).items())


def showings(entries: Iterable[Entry]) -> tuple[Showing, ...]:
    """Return what was shown and stands, cloths and brought things, in the order it came."""
    return tuple(e.judgement for e in entries if e.stands and isinstance(e.judgement, Showing))


def ends_in_a_showing(sitting: Sitting) -> bool:
    """Tell whether what `undo` would take back now is a showing, and no answer of the bench."""
    events = sitting.events
    gone = {e.index for e in events if isinstance(e, Undone)}
    last = next((e for i, e in reversed([*enumerate(events)]) if i not in gone and not isinstance(e, Undone)), None)
    return isinstance(last, Recorded) and isinstance(last.judgement, Showing)


def _chosen(found: Palette, sitting: Sitting) -> Iterator[tuple[str, ShowReason]]:
    missing = sitting.held.missing
    pool = [e for e in found.entries if not e.drape.bench_only and e.drape.id not in missing]
    taken: dict[str, ShowReason] = {}
    for family in _HUES:
        _take(taken, _likeliest(pool, family)[:1], ShowReason.LIKELIEST)
    here = {e.drape.id for e in pool}
    lightness = dict(zip(sitting.kit.ids, sitting.kit.bench_colours.lab[:, 0], strict=True))
    neutrals = [e for e in (found.neutrals or found.coats) if e.drape.id in here]
    _take(taken, _two_depths(neutrals, lightness), ShowReason.NEUTRAL)
    _take(taken, [e for e in found.whites if e.drape.id in here][:_WHITES], ShowReason.WHITE)
    _take(taken, [e for e in found.metals if e.drape.id in here][:_METALS], ShowReason.METAL)
    rest = [e for e in pool if e.drape.id not in taken and not e.seen and not e.drape.is_metal]
    _take(taken, sorted(rest, key=_from_a_border)[: max(0, _ROUND - len(taken))], ShowReason.DECIDES)
    yield from taken.items()


def _take(taken: dict[str, ShowReason], entries: Iterable[PaletteEntry], why: ShowReason) -> None:
    for entry in entries:
        taken.setdefault(entry.drape.id, why)


def _likeliest(pool: Sequence[PaletteEntry], family: HueFamily) -> list[PaletteEntry]:
    """Return the cloths of a hue that may be worn, the likeliest best first; one not held before comes sooner."""
    found = [e for e in pool if e.drape.hue_family is family and not e.neutral and e.role is not Role.LEAVE]
    return sorted(found, key=lambda e: (e.role.step, bool(e.seen), -steady(e.expected_utility), e.drape.id))


def _two_depths(neutrals: Sequence[PaletteEntry], lightness: dict[str, float]) -> list[PaletteEntry]:
    """Return the nearest neutral, and the next that is lighter or darker by a clear step."""
    if not neutrals:
        return []
    first = neutrals[0]
    others = [e for e in neutrals[1:] if abs(lightness[e.drape.id] - lightness[first.drape.id]) >= _APART]
    return [first, *(others or neutrals[1:])][:_NEUTRALS]


def _from_a_border(entry: PaletteEntry) -> tuple[float, str]:
    """Return how far a cloth lies from where its role would change, in bench units."""
    return steady(min(abs(entry.distance - border) for border in ROLE_BORDERS)), entry.drape.id
