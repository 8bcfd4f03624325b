"""Swatches: a colour with its name, its plain words, and whether a screen or a printer can show it truly."""

from dataclasses import dataclass

from tenter.arrays import FloatArray
from tenter.colorimetry.measurement import D65_2, D65_10, Colours, Conditions
from tenter.colorimetry.spaces import chroma
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.cloths.kit import Drape, Kit
from tenter.language import N_, _, pgettext
from tenter.report.words import terms
from tenter.report.words.wording import plain_number

NOT_SHOWN_TRULY = N_("A screen or printer cannot show this one truly; trust the cloth.")
SET_BY_HAND = N_("Undertone set by hand.")

# L* from which a colour is called so, and C* likewise: ours, for a reader who goes by words.
_LIGHTNESS_FROM = ((84.0, N_("very light")), (68.0, N_("light")), (45.0, N_("medium")), (30.0, N_("dark")))
_DARKEST = N_("very dark")
_CHROMA_FROM = ((45.0, N_("vivid")), (25.0, N_("clear")))  # least C*ab of each word; set by judgement
_QUIETEST = N_("muted")
_TINT = 4.0  # b* beyond which a white or a grey is called warm or cool


@dataclass(frozen=True, slots=True)
class Swatch:
    """One colour as it is drawn and named.

    hex: sRGB, '#rrggbb', clipped where `shown_truly` is false. words: the colour without its hue being seen. numbers:
    its Lab. `notes` holds what must be said wherever it is drawn.
    """

    id: str
    name: str
    hex: str
    words: str
    numbers: str
    place: str
    shown_truly: bool
    notes: tuple[str, ...]


def plain_words(lab: FloatArray, family: HueFamily) -> str:
    """Return a colour, CIELAB (3,), in words that need no eye for hue: how light, how strong, which hue family.

    The borders between the words are ours, set by judgement.
    """
    lightness = _(next((word for bound, word in _LIGHTNESS_FROM if lab[0] >= bound), _DARKEST))
    if family is HueFamily.DARK:
        return _("near-black")
    if family in (HueFamily.GREY, HueFamily.METAL, HueFamily.WHITE):
        said = _tinted(terms.hue(family), float(lab[2]))
        return (
            said
            if family is HueFamily.WHITE
            else pgettext("a colour", "{lightness} {hue}", lightness=lightness, hue=said)
        )
    strength = _(next((word for bound, word in _CHROMA_FROM if float(chroma(lab)) >= bound), _QUIETEST))
    return _("{lightness} {strength} {hue}", lightness=lightness, strength=strength, hue=terms.hue(family))


def _tinted(hue: str, b: float) -> str:
    """Return a white, a grey or a metal with what its b* makes of it."""
    if b > _TINT:
        return _("warm {hue}", hue=hue)
    return _("cool {hue}", hue=hue) if b < -_TINT else hue


def lab_numbers(lab: FloatArray, conditions: Conditions) -> str:
    """Return the CIELAB (3,) of a colour as 'Lab 62, −26, 43 (D65/10°)', in whole numbers."""
    return f"Lab {', '.join(plain_number(float(v)) for v in lab)} ({conditions})"


def kit_swatches(kit: Kit) -> dict[str, Swatch]:
    """Return the swatch of every cloth by id."""
    shown, truly = kit.colours.on_screen()
    return {
        drape.id: _swatch(drape, lab, screen, in_gamut)
        for drape, lab, screen, in_gamut in zip(kit.drapes, kit.bench_colours.lab, shown, truly, strict=True)
    }


def _swatch(drape: Drape, lab: FloatArray, screen: str, in_gamut: bool) -> Swatch:
    notes = {SET_BY_HAND: drape.undertone is not None, NOT_SHOWN_TRULY: not in_gamut}
    return Swatch(
        id=drape.id,
        name=drape.name,
        hex=screen,
        words=plain_words(lab, drape.hue_family),
        numbers=lab_numbers(lab, D65_10),
        place=drape.place,
        shown_truly=in_gamut,
        notes=tuple(_(n) for n, said in notes.items() if said),
    )


def colour_note(colours: Colours) -> str:
    """Return how the drawn colours come from the measured ones."""
    measured = _("The cloths' colours were measured under {conditions}.", conditions=colours.conditions)
    if not colours.under(D65_2).recovered:
        return " ".join((measured, _("They are drawn as measured.")))
    drawn = _(
        "What is drawn here was computed from that through a recovered reflectance, for a screen's light and observer "
        "({conditions}): a prediction. A printer without a profile of its own will shift it further, so the cloth, or "
        "a swatch of it, is what to shop by.",
        conditions=D65_2,
    )
    return f"{measured} {drawn}"
