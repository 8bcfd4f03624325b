"""Which white: by undertone, then by softness. Common practice, no source; what was seen of a white comes first.

A cream goes with warm colouring, a blue-white with cool; of those that share the undertone the softer goes with soft
colouring. A brightened, optic white is for bright cool clients alone.
"""

from collections.abc import Sequence

from tenter.arrays import steady
from tenter.consultation.axes import Axis
from tenter.consultation.client.contrast import Contrast, wanted_white_lightness
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.cloths.kit import Drape
from tenter.consultation.laid_out.pair_quality import is_brightened
from tenter.consultation.palette.palette_parts import PaletteClient, PaletteEntry
from tenter.consultation.words.answers import Worth
from tenter.consultation.words.odds_words import Degree
from tenter.consultation.words.traits import LeadingTrait

TINTED = 0.75  # bench units of undertone from which a white reads as warm or cool


def whites(
    client: PaletteClient, entries: Sequence[PaletteEntry], contrast: Contrast | None
) -> tuple[tuple[PaletteEntry, ...], PaletteEntry | None]:
    """Return the whites of a kit, the one to wear first, and the one that would come first had nothing been seen."""
    wanted = wanted_white_lightness(contrast, client.verdict.traits[Axis.CLARITY].mean)

    def predicted(entry: PaletteEntry) -> tuple[int, float, str]:
        lightness = client.sitting.kit.bench_colours.lab[client.sitting.kit.row(entry.drape.id), 0]
        return _undertone_apart(client, entry.drape), steady(float(abs(lightness - wanted))), entry.drape.id

    found = sorted((e for e in entries if e.drape.hue_family is HueFamily.WHITE), key=predicted)
    return _by_what_was_seen(found), next(iter(found), None)


def _undertone_apart(client: PaletteClient, white: Drape) -> int:
    """Return 0 for a white of the client's undertone, 2 for one of the other, 3 for an optic one that is not theirs."""
    if is_brightened(client.sitting.bench, client.sitting.kit.row(white.id)) and not _bright_and_cool(client):
        return 3
    tint = client.undertone(white)
    side = 0 if abs(tint) < TINTED else 1 if tint > 0 else -1
    return abs(side - _undertone_side(client))


def _undertone_side(client: PaletteClient) -> int:
    trait = client.verdict.traits[Axis.UNDERTONE]
    return 0 if trait.degree is Degree.MIDDLE else 1 if trait.side is LeadingTrait.WARM else -1


def _bright_and_cool(client: PaletteClient) -> bool:
    clarity = client.verdict.traits[Axis.CLARITY]
    bright = clarity.side is LeadingTrait.BRIGHT and clarity.degree is not Degree.MIDDLE
    return bright and _undertone_side(client) < 0


_ORDER = (Worth.BEST, Worth.YES, None, Worth.AWAY, Worth.NO)


def _shown(entry: PaletteEntry) -> tuple[bool, int]:
    return entry.found.off, _ORDER.index(entry.found.shown)


def _by_what_was_seen(found: Sequence[PaletteEntry]) -> tuple[PaletteEntry, ...]:
    """Return whites in their order, but none before one that it lost to, and those that were off last.

    What was shown after the verdict comes before all that.
    """
    left, ordered = sorted(found, key=_shown), []
    while left:
        ids = {e.drape.id for e in left}
        unbeaten = [e for e in left if e.found.shown in (Worth.BEST, Worth.YES) or not ids & set(e.found.lost_to)]
        ordered.append((unbeaten or left)[0])
        left.remove(ordered[-1])
    return tuple(ordered)
