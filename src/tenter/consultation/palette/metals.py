"""Which metals: those of the client's undertone; of a slight undertone both, the one that was seen to blend first.

Common practice, no source: a metal that suits blends with the skin, and one that does not stands apart.
"""

from collections.abc import Sequence

from tenter.arrays import steady
from tenter.consultation.axes import Axis
from tenter.consultation.palette.palette_parts import PaletteClient, PaletteEntry
from tenter.consultation.words.answers import Worth
from tenter.consultation.words.odds_words import Degree
from tenter.consultation.words.traits import UndertoneSide

SURE_OF_SIDE = 0.75  # below this probability of the side, both metals are the client's


def metals(client: PaletteClient, entries: Sequence[PaletteEntry]) -> tuple[PaletteEntry, ...]:
    """Return the metals that are the client's, the one that was seen to blend first.

    Both sides where the undertone is slight or its side is not known to `SURE_OF_SIDE`. Common practice, no source.
    """
    found = [e for e in entries if e.drape.is_metal]
    sides = client.sitting.posterior().masses(client.sitting.focus.frame.sides)
    warm = float(sides[list(UndertoneSide).index(UndertoneSide.WARM)])
    slight = client.verdict.traits[Axis.UNDERTONE].degree in (Degree.MIDDLE, Degree.SLIGHT)
    if max(warm, 1 - warm) >= SURE_OF_SIDE and not slight:
        found = [e for e in found if ((e.drape.undertone or 0.0) > 0) == (warm > 0.5)]
    return tuple(sorted(found, key=lambda e: (_seen(e), -steady(e.expected_utility), e.drape.id)))


def _seen(entry: PaletteEntry) -> int:
    """Return 0 for one that blended, won or was shown well, 2 for one that stood apart, lost or failed, 1 otherwise."""
    found = entry.found
    if found.shown is not None:
        return {Worth.AWAY: 1, Worth.NO: 2}.get(found.shown, 0)
    if found.blends is not None:
        return 0 if found.blends else 2
    if found.off or (found.lost_to and not found.won_over):
        return 2
    return 0 if found.won_over and not found.lost_to else 1
