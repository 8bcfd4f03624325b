"""The wearing guide: contrast, prints, and shade families for make-up, hair and frames. Common practice, no source."""

from collections.abc import Mapping
from dataclasses import dataclass

from tenter.consultation.axes import Axis
from tenter.consultation.client.contrast import Contrast, ContrastLevel
from tenter.consultation.findings.verdict import Trait
from tenter.consultation.words.traits import LeadingTrait
from tenter.language import N_, _, one_of
from tenter.report.client_paper.outfits import Outfits
from tenter.report.client_paper.result import settled_side
from tenter.report.pictures.face_colours import region_name
from tenter.report.words.wording import sentence


@dataclass(frozen=True, slots=True)
class GuideAdvice:
    """A piece of advice under its heading."""

    title: str
    text: str


@dataclass(frozen=True, slots=True)
class Guide:
    """What to wear with what, in sentences.

    contrast: empty where hair or eyes were not read, and `contrast_note` says so. shades: of make-up, hair and frames.
    """

    contrast: str
    contrast_note: str
    prints: tuple[str, ...]
    outfits: Outfits
    outfits_note: str
    shades: tuple[GuideAdvice, ...]


Sides = Mapping[Axis, LeadingTrait | None]

_STEP = {
    ContrastLevel.LOW: N_("Your skin, hair and eyes are close in lightness. Outfits that stay close suit that."),
    ContrastLevel.MEDIUM: N_("There is a middle step from light to dark in your face. Let your outfits have one too."),
    ContrastLevel.HIGH: N_("There is a strong step from light to dark in your face. Wear light beside dark."),
}
_SIZE = {
    ContrastLevel.LOW: N_("small"),
    ContrastLevel.MEDIUM: N_("a middle one"),
    ContrastLevel.HIGH: N_("a strong one"),
}
_PRINT_STEP = {
    ContrastLevel.LOW: N_("Choose prints whose colours are close in lightness."),
    ContrastLevel.MEDIUM: N_("Choose prints with some light and some dark, short of black on white."),
    ContrastLevel.HIGH: N_("Prints with light and dark side by side suit you."),
}
_PRINT_EDGES = {
    LeadingTrait.BRIGHT: N_("Clear edges and clean colours before blurred ones."),
    LeadingTrait.SOFT: N_("Blurred edges, woven mixtures and watercolours before hard outlines."),
}
_BY_AREA = (
    N_("The colour that fills most of a print counts. Near your face, let it be one of yours."),
    N_("A colour that is not yours may fill up to about a third of a print. Near your face, half is too much."),
)
_LIPS = {
    LeadingTrait.WARM: N_("coral, peach, warm red, brick"),
    LeadingTrait.COOL: N_("rose, berry, plum, blue-red"),
    None: N_("rosewood, soft red, or the tone of your own lips"),
}
_EYES = {
    LeadingTrait.WARM: N_("bronze, moss, warm brown, honey"),
    LeadingTrait.COOL: N_("grey, plum, navy, cool brown"),
    None: N_("taupe and soft brown"),
}
_STRENGTH = {
    LeadingTrait.BRIGHT: N_("Clean shades before smoky ones."),
    LeadingTrait.SOFT: N_("Smoky, blended shades before bright ones."),
}
_HAIR = {
    LeadingTrait.WARM: N_("golden, honey and copper tones"),
    LeadingTrait.COOL: N_("ash, cool brown and neutral dark tones"),
    None: N_("neutral tones, neither golden nor ash"),
}
_FRAMES = {
    LeadingTrait.WARM: N_("tortoiseshell, honey, olive, warm brown"),
    LeadingTrait.COOL: N_("grey, navy, plum, cool tortoiseshell, clear"),
    None: N_("taupe, soft brown, grey-green"),
}
_HARMONY_NOTE = N_(
    "Where outfits suit you equally well, the more harmonious come first, by a published model (Ou and Luo, 2006). "
    "The model was made from colour patches, not from clothes, so trust your own eye before it."
)


def sides_of(traits: Mapping[Axis, Trait]) -> Sides:
    """Return the side of each trait that may be said of a client; None where the middle is possible."""
    return {axis: settled_side(trait) for axis, trait in traits.items()}


def guide(sides: Sides, contrast: Contrast | None, outfits: Outfits, metals: tuple[str, ...], minor: bool) -> Guide:
    """Return the wearing guide; a minor's says nothing of make-up and hair colour."""
    return Guide(
        contrast=_contrast(contrast),
        contrast_note=_contrast_note(contrast),
        prints=_prints(sides, contrast),
        outfits=outfits,
        outfits_note=_(_HARMONY_NOTE),
        shades=(*(() if minor else _make_up_and_hair(sides)), _frames(sides, metals)),
    )


def _contrast(contrast: Contrast | None) -> str:
    if contrast is None:
        return ""
    told = _(_STEP[contrast.level])
    others = [_(_SIZE[level]) for level in contrast.levels if level is not contrast.level]
    if not others:
        return told
    also = _("As far as it could be measured, the step may also be {sizes}.", sizes=one_of(others))
    return f"{told} {also}"


def _contrast_note(contrast: Contrast | None) -> str:
    if contrast is None:
        return _(
            "The colour of your hair or eyes was not measured, so nothing is said here about how much light and dark "
            "to wear together."
        )
    feature = region_name(contrast.feature)
    return _("From a photograph beside a colour card: the step from your skin to your {feature}.", feature=feature)


def _prints(sides: Sides, contrast: Contrast | None) -> tuple[str, ...]:
    step = (_PRINT_STEP[contrast.level],) if contrast else ()
    clarity = sides[Axis.CLARITY]
    return tuple(map(_, (*_BY_AREA, *step, *((_PRINT_EDGES[clarity],) if clarity else ()))))


def _make_up_and_hair(sides: Sides) -> tuple[GuideAdvice, ...]:
    undertone, strength = sides[Axis.UNDERTONE], sides[Axis.CLARITY]
    make_up = _("Lips and cheeks: {lips}. Eyes: {eyes}.", lips=_(_LIPS[undertone]), eyes=_(_EYES[undertone]))
    how = (_(_STRENGTH[strength]),) if strength else ()
    hair = _("{tones}, within a few steps of your own lightness.", tones=_(_HAIR[undertone]))
    return (
        GuideAdvice(_("Make-up, if you wear any"), " ".join((make_up, *how))),
        GuideAdvice(_("Hair, if you colour it"), sentence(hair)),
    )


def _frames(sides: Sides, metals: tuple[str, ...]) -> GuideAdvice:
    frames = _("Frames in {colours}.", colours=_(_FRAMES[sides[Axis.UNDERTONE]]))
    rims = (_("Metal rims: {metals}.", metals=one_of(metals)),) if metals else ()
    return GuideAdvice(_("Glasses"), " ".join((frames, *rims)))
