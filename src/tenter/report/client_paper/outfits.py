"""Outfits of two and of three colours out of the palette, each with its reason in the client's words."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tenter.consultation.client.contrast import Contrast, ContrastLevel, level_of_step
from tenter.consultation.colours.matching import misses, step_of, worn_together
from tenter.language import N_, _
from tenter.report.client_paper.shades import Shade

_STEP_WORDS = {
    ContrastLevel.LOW: N_("close in lightness, like your features"),
    ContrastLevel.MEDIUM: N_("a middle step from light to dark, like your features"),
    ContrastLevel.HIGH: N_("a strong step from light to dark, like your features"),
}
_UNMEASURED = {
    ContrastLevel.LOW: N_("close in lightness"),
    ContrastLevel.MEDIUM: N_("a middle step from light to dark"),
    ContrastLevel.HIGH: N_("a strong step from light to dark"),
}


@dataclass(frozen=True, slots=True)
class ColourOutfit:
    """Colours worn together, the one nearest the face first, and why."""

    shades: tuple[Shade, ...]
    reason: str


@dataclass(frozen=True, slots=True)
class Outfits:
    """Outfits of two colours and of three."""

    of_two: tuple[ColourOutfit, ...]
    of_three: tuple[ColourOutfit, ...]


def colour_outfits(
    tops: Sequence[Shade], neutrals: Sequence[Shade], accents: Sequence[Shade], contrast: Contrast | None
) -> Outfits:
    """Return outfits with their reasons; parameters as of `worn_together`."""
    two, three = worn_together(tops, neutrals, accents, contrast)
    return Outfits(_told(two, contrast), _told(three, contrast))


def _told(found: Iterable[tuple[Shade, ...]], contrast: Contrast | None) -> tuple[ColourOutfit, ...]:
    return tuple(ColourOutfit(shades, _reason(shades, contrast)) for shades in found)


def _reason(shades: Sequence[Shade], contrast: Contrast | None) -> str:
    matches = contrast is not None and not misses(shades, contrast)
    return _((_STEP_WORDS if matches else _UNMEASURED)[level_of_step(step_of(shades))])
