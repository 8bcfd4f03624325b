"""What to wear where, what not to worry about, and how to shop. Common practice, no source."""

from collections.abc import Sequence

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_2
from tenter.consultation.axes import Axis
from tenter.consultation.hue_families import HueFamily
from tenter.consultation.no_evidence import Preference
from tenter.consultation.personal.colours import Honoured, Missing, PersonalPalette, StapleAnswer
from tenter.consultation.personal.names import base_name
from tenter.consultation.sitting import Sitting
from tenter.consultation.traits import LeadingTrait
from tenter.numerals import listed
from tenter.report.client_paper.guide import Advice, Sides
from tenter.report.client_paper.shades import Shade
from tenter.report.swatches import plain_words
from tenter.report.wording import sentence

_SAME = 6.0  # ΔE00 within which a liked colour is one of the client's own
_TOO_FAR = {
    LeadingTrait.WARM: "bluish or grey beside them, it is too cool",
    LeadingTrait.COOL: "yellow or brownish beside them, it is too warm",
    LeadingTrait.LIGHT: "heavy beside them, it is too dark",
    LeadingTrait.DEEP: "pale beside them, it is too light",
    LeadingTrait.BRIGHT: "dusty beside them, it is too soft",
    LeadingTrait.SOFT: "loud beside them, it is too bright",
}


def wear_where(near: Sequence[Shade], has_metals: bool) -> tuple[Advice, ...]:
    """Return where each part of the palette is worn."""
    names = listed([s.name.lower() for s in near[:4]], "or")
    first = f" Begin with {names}." if names else ""
    metal = " Buckles, zips and jewellery: your metals." if has_metals else ""
    return (
        Advice("Near your face", f"Collars, scarves, blouses, knitwear, glasses: the large colours.{first}"),
        Advice("Away from it", "Coats, jackets, trousers, skirts, bags, shoes: your neutrals, or any of your colours."),
        Advice("In small areas", f"Prints, linings, belts, socks: any of your colours, and those you borrow.{metal}"),
    )


def not_to_worry(sitting: Sitting, palette: PersonalPalette, own: Sequence[Shade], dissent: bool) -> tuple[str, ...]:
    """Return what need not trouble the client; `dissent`: some answers pointed another way."""
    usual = "Not every answer pointed the same way. That is usual, and your consultant keeps the record."
    return (
        "You need not match a colour exactly. What falls between two of yours is yours as well.",
        "What you wear below the waist matters far less than what is beside your face.",
        *_black(palette),
        *_likings(sitting, own),
        *([usual] if dissent else []),
    )


def how_to_shop(sides: Sides) -> tuple[str, ...]:
    """Return how to try a garment with the palette card."""
    tests = [_TOO_FAR[side] for side in (sides[a] for a in Axis) if side]
    told = (f"If the garment looks {'. If it looks '.join(tests)}.",) if tests else ()
    return (
        "Look by a window, in daylight. Shop lamps change colours.",
        "Hold two or three of your colours to the garment. If they sit quietly together, it is yours.",
        *told,
        "In doubt, hold it under your chin and look at your face, not at the cloth.",
        "Paper and screens shift colours a little. Where you have a piece of cloth, trust the cloth.",
    )


def lacking(missing: Sequence[Missing]) -> tuple[str, ...]:
    """Return what is worn instead of hues of which the client has none."""
    return tuple(f"No {m.hue_family}: wear {m.instead} instead." for m in missing if m.instead)


def what_was_asked(told: Sequence[Honoured]) -> tuple[str, ...]:
    """Return what became of each thing that the client asked for, a sentence or two each."""
    return tuple(" ".join(part for part in (_stopped(one.sentence), one.answer) if part) for one in told)


def _stopped(text: str) -> str:
    """Return a client's own words as a sentence, with a full stop where they have none."""
    said = sentence(text.strip())
    return f"{said}." if said and said[-1] not in ".!?…" else said


def _black(palette: PersonalPalette) -> tuple[str, ...]:
    black = next((s for s in palette.staples if s.name == "black"), None)
    if black is None or black.answer is StapleAnswer.NEAR:
        return ()
    return ("The black you own stays useful: from the waist down, or with one of your colours at the neck.",)


def _likings(sitting: Sitting, own: Sequence[Shade]) -> tuple[str, ...]:
    """Answer each liking by a plain colour: it is the client's own, or the nearest of their own is named."""
    kit = sitting.kit
    liked = [
        cloth
        for entry in sitting.entries
        if entry.stands and isinstance(entry.judgement, Preference)
        for cloth in ([entry.judgement.liked] if isinstance(entry.judgement.liked, str) else entry.judgement.liked)
    ]
    if not liked or not own:
        return ()
    labs = kit.colours.under(D65_2).lab
    told = []
    for cloth in dict.fromkeys(liked):
        row = kit.row(cloth)
        apart = np.asarray(delta_e_2000(np.array([s.lab for s in own]), labs[row]))
        family = kit[cloth].hue_family
        same_hue = np.array([s.family is family for s in own])
        among = np.where(same_hue, apart, np.inf) if same_hue.any() else apart
        nearest = own[int(np.argmin(steady(among)))]
        told.append(_liked(_plainly(kit.bench_colours.lab[row], family), nearest, float(np.min(among))))
    return tuple(dict.fromkeys(told))


def _plainly(lab: FloatArray, family: HueFamily) -> str:
    words = plain_words(lab, family)
    return words if family is HueFamily.METAL else f"{base_name(lab, family)}, a {words}"


def _liked(words: str, nearest: Shade, apart: float) -> str:
    if apart <= _SAME:
        return f"You like {words}. It is among your colours, as {nearest.name.lower()}."
    return (
        f"You like {words}. That did not influence the result, and you may keep it: away from your face, or in a small "
        f"area. The nearest of your own is {nearest.name.lower()}."
    )


def metals_text(metals: Sequence[Shade], sides: Sides) -> str:
    """Return what is said of metals."""
    if not metals:
        return ""
    side = sides[Axis.UNDERTONE]
    if side is None:
        return "Warm and cool metals are both open to you."
    return f"{sentence(side)} metals sit most quietly with your skin."
