"""What to wear where, what not to worry about, and how to shop. Common practice, no source."""

from collections.abc import Sequence

from tenter.arrays import FloatArray
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.colours.colours import Honoured, PaletteColour, PersonalPalette, StapleAnswer
from tenter.consultation.colours.names import base_name
from tenter.consultation.palette.seen import seen_on_client
from tenter.consultation.record.no_evidence import Preference
from tenter.consultation.sitting.sitting import Sitting
from tenter.consultation.words.traits import LeadingTrait
from tenter.language import N_, _, one_of
from tenter.report.client_paper.guide import GuideAdvice, Sides
from tenter.report.client_paper.shades import Shade, nearest_shade
from tenter.report.words import terms
from tenter.report.words.palette_words import THINGS_AWAY
from tenter.report.words.swatches import plain_words
from tenter.report.words.wording import sentence, stopped

_LOOKS = {
    LeadingTrait.WARM: N_("If the garment looks bluish or grey beside them, it is too cool."),
    LeadingTrait.COOL: N_("If the garment looks yellow or brownish beside them, it is too warm."),
    LeadingTrait.LIGHT: N_("If the garment looks heavy beside them, it is too dark."),
    LeadingTrait.DEEP: N_("If the garment looks pale beside them, it is too light."),
    LeadingTrait.BRIGHT: N_("If the garment looks dusty beside them, it is too soft."),
    LeadingTrait.SOFT: N_("If the garment looks loud beside them, it is too bright."),
}
_LOOKS_TOO = {
    LeadingTrait.WARM: N_("If it looks bluish or grey beside them, it is too cool."),
    LeadingTrait.COOL: N_("If it looks yellow or brownish beside them, it is too warm."),
    LeadingTrait.LIGHT: N_("If it looks heavy beside them, it is too dark."),
    LeadingTrait.DEEP: N_("If it looks pale beside them, it is too light."),
    LeadingTrait.BRIGHT: N_("If it looks dusty beside them, it is too soft."),
    LeadingTrait.SOFT: N_("If it looks loud beside them, it is too bright."),
}


def wear_where(near: Sequence[Shade], has_metals: bool, has_borrowed: bool) -> tuple[GuideAdvice, ...]:
    """Return where each part of the palette is worn."""
    near_face = [_("Collars, scarves, blouses, knitwear, glasses: the large colours.")]
    if near:
        near_face.append(_("Begin with {colours}.", colours=one_of([s.in_line for s in near[:4]])))
    away = sentence(_("{things}: your neutrals, or any of your colours.", things=_(THINGS_AWAY)))
    if has_borrowed:
        small = [_("Prints, linings, belts, socks: any of your colours, and those you borrow.")]
    else:
        small = [_("Prints, linings, belts, socks: any of your colours.")]
    if has_metals:
        small.append(_("Buckles, zips and jewellery: your metals."))
    return (
        GuideAdvice(_("Near your face"), " ".join(near_face)),
        GuideAdvice(_("Away from your face"), away),
        GuideAdvice(_("In small areas"), " ".join(small)),
    )


def not_to_worry(sitting: Sitting, palette: PersonalPalette, own: Sequence[Shade], dissent: bool) -> tuple[str, ...]:
    """Return what need not trouble the client; `dissent`: some answers pointed another way."""
    usual = _("Not every answer pointed the same way. That is usual, and your consultant keeps the record.")
    return (
        _("You need not match a colour exactly. What falls between two of yours is yours as well."),
        _("What you wear below the waist matters far less than what is beside your face."),
        *_black(palette),
        *_likings(sitting, own),
        *([usual] if dissent else []),
    )


def how_to_shop(sides: Sides) -> tuple[str, ...]:
    """Return how to try a garment with the palette card."""
    settled = [side for side in (sides[axis] for axis in Axis) if side]
    tests = [_((_LOOKS_TOO if n else _LOOKS)[side]) for n, side in enumerate(settled)]
    return (
        _("Look by a window, in daylight. Shop lamps change colours."),
        _("Hold two or three of your colours to the garment. If they sit quietly together, it is yours."),
        *([" ".join(tests)] if tests else []),
        _("In doubt, hold it under your chin and look at your face, not at the cloth."),
        _("Paper and screens shift colours a little. Where you have a piece of cloth, trust the cloth."),
    )


def what_was_asked(told: Sequence[Honoured]) -> tuple[str, ...]:
    """Return what became of each thing that the client asked for, a sentence or two each."""
    return tuple(
        " ".join(part for part in (stopped(terms.of_a_wish(one.sentence)), terms.of_a_wish(one.answer)) if part)
        for one in told
    )


def _black(palette: PersonalPalette) -> tuple[str, ...]:
    black = next((s for s in palette.staples if s.name == "black"), None)
    if black is None or black.answer is not StapleAnswer.SWAP:
        return ()
    return (_("The black you own stays useful: from the waist down, or with one of your colours at the neck."),)


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
    told = []
    for cloth in dict.fromkeys(liked):
        words = _plainly(kit.bench_colours.lab[kit.row(cloth)], kit[cloth].hue_family)
        told.append(_liked(words, *nearest_shade(kit, cloth, own)))
    return tuple(dict.fromkeys(told))


def _plainly(lab: FloatArray, family: HueFamily) -> str:
    words = plain_words(lab, family)
    if family is HueFamily.METAL:
        return words
    return _("{colour}, a {words}", colour=terms.colour(base_name(lab, family)), words=words)


def _liked(words: str, nearest: Shade, same: bool) -> str:
    if same:
        return _("You like {colour}. It is among your colours, as {nearest}.", colour=words, nearest=nearest.in_line)
    return _(
        "You like {colour}. That did not influence the result, and you may keep it: away from your face, or in a small "
        "area. The nearest of your own is {nearest}.",
        colour=words,
        nearest=nearest.in_line,
    )


def metals_text(sitting: Sitting, metals: Sequence[PaletteColour], sides: Sides) -> str:
    """Return what is said of metals: how they sit with the skin only where that was seen, else the convention."""
    if not metals:
        return ""
    side = sides[Axis.UNDERTONE]
    if side is None:
        return _("You can wear both warm and cool metals.")
    seen = seen_on_client(sitting.entries, sitting.kit, sitting.method.flags)
    own = {metal.cloth for metal in metals if metal.cloth}
    found = [seen[cloth] for cloth in own if cloth in seen]
    beside = [c for one in found for c in (*one.level_with, *one.lost_to) if c not in own and sitting.kit[c].is_metal]
    values = {"trait": terms.colour_trait(side), "other": terms.colour_trait(side.opposite)}
    if beside:
        said = _("{trait} metals go with your colouring by convention. On you, {other} ones did no worse.", **values)
    elif any(one.won_over or one.blends for one in found):
        said = _("{trait} metals sit most quietly with your skin.", **values)
    else:
        said = _("{trait} metals go with your colouring by convention.", **values)
    return sentence(said)
