"""The wearing guide: contrast, prints, and shade families for make-up, hair and frames. Common practice, no source."""

from collections.abc import Mapping
from dataclasses import dataclass

from tenter.consultation.axes import Axis
from tenter.consultation.contrast import Contrast, ContrastLevel
from tenter.consultation.traits import LeadingTrait
from tenter.consultation.verdict import Trait
from tenter.numerals import listed
from tenter.report.client_paper.outfits import Outfits
from tenter.report.client_paper.result import settled_side
from tenter.report.face_colours import region_name
from tenter.report.wording import sentence


@dataclass(frozen=True, slots=True)
class Advice:
    """A piece of advice under its heading."""

    title: str
    text: str


@dataclass(frozen=True, slots=True)
class Guide:
    """What to wear with what. contrast: empty where hair or eyes were not read, and `contrast_note` says so."""

    contrast: str
    contrast_note: str
    prints: tuple[str, ...]
    outfits: Outfits
    outfits_note: str
    shades: tuple[Advice, ...]


Sides = Mapping[Axis, LeadingTrait | None]

_STEP = {
    ContrastLevel.LOW: "Your skin, hair and eyes are close in lightness. Outfits that stay close suit that.",
    ContrastLevel.MEDIUM: "There is a middle step from light to dark in your face. Let your outfits have one too.",
    ContrastLevel.HIGH: "There is a strong step from light to dark in your face. Wear light beside dark.",
}
_SIZE = {ContrastLevel.LOW: "small", ContrastLevel.MEDIUM: "a middle one", ContrastLevel.HIGH: "a strong one"}
_PRINT_STEP = {
    ContrastLevel.LOW: "Choose prints whose colours are close in lightness.",
    ContrastLevel.MEDIUM: "Choose prints with some light and some dark, short of black on white.",
    ContrastLevel.HIGH: "Prints with light and dark side by side suit you.",
}
_PRINT_EDGES = {
    LeadingTrait.BRIGHT: "Clear edges and clean colours before blurred ones.",
    LeadingTrait.SOFT: "Blurred edges, woven mixtures and watercolours before hard outlines.",
}
_BY_AREA = (
    "The colour that fills most of a print counts. Near your face, let it be one of yours.",
    "If about a third of a print or less is a stranger, it does no harm. Half of it does, near the face.",
)
_LIPS = {
    LeadingTrait.WARM: "coral, peach, warm red, brick",
    LeadingTrait.COOL: "rose, berry, plum, blue-red",
    None: "rosewood, soft red, or the tone of your own lips",
}
_EYES = {
    LeadingTrait.WARM: "bronze, moss, warm brown, honey",
    LeadingTrait.COOL: "grey, plum, navy, cool brown",
    None: "taupe and soft brown",
}
_STRENGTH = {
    LeadingTrait.BRIGHT: "Clean shades before smoky ones.",
    LeadingTrait.SOFT: "Smoky, blended shades before bright ones.",
}
_HAIR = {
    LeadingTrait.WARM: "golden, honey and copper tones",
    LeadingTrait.COOL: "ash, cool brown and neutral dark tones",
    None: "neutral tones, neither golden nor ash",
}
_FRAMES = {
    LeadingTrait.WARM: "tortoiseshell, honey, olive, warm brown",
    LeadingTrait.COOL: "grey, navy, plum, cool tortoiseshell, clear",
    None: "taupe, soft brown, grey-green",
}
_HARMONY_NOTE = (
    "Of outfits that fit alike, those come first whose colours a published model finds more harmonious (Ou and Luo, "
    "2006). It was made from colour patches, not from clothes, so your own eye comes before it."
)


def sides_of(traits: Mapping[Axis, Trait]) -> Sides:
    """Return the side of each trait that may be said of a client."""
    return {axis: settled_side(trait) for axis, trait in traits.items()}


def guide(sides: Sides, contrast: Contrast | None, outfits: Outfits, metals: tuple[str, ...], minor: bool) -> Guide:
    """Return the wearing guide; a minor's says nothing of make-up and hair colour."""
    return Guide(
        contrast=_contrast(contrast),
        contrast_note=_contrast_note(contrast),
        prints=_prints(sides, contrast),
        outfits=outfits,
        outfits_note=_HARMONY_NOTE,
        shades=(*(() if minor else _make_up_and_hair(sides)), _frames(sides, metals)),
    )


def _contrast(contrast: Contrast | None) -> str:
    if contrast is None:
        return ""
    others = [_SIZE[level] for level in contrast.levels if level is not contrast.level]
    also = f" As far as it could be measured, the step may also be {listed(others, 'or')}." if others else ""
    return f"{_STEP[contrast.level]}{also}"


def _contrast_note(contrast: Contrast | None) -> str:
    if contrast is None:
        return (
            "The colour of your hair or eyes was not measured, so nothing is said here about how much light and dark "
            "to wear together."
        )
    return f"From a photograph beside a colour card: the step from your skin to your {region_name(contrast.feature)}."


def _prints(sides: Sides, contrast: Contrast | None) -> tuple[str, ...]:
    step = (_PRINT_STEP[contrast.level],) if contrast else ()
    clarity = sides[Axis.CLARITY]
    return (*_BY_AREA, *step, *((_PRINT_EDGES[clarity],) if clarity else ()))


def _make_up_and_hair(sides: Sides) -> tuple[Advice, ...]:
    undertone, strength = sides[Axis.UNDERTONE], sides[Axis.CLARITY]
    how = f" {_STRENGTH[strength]}" if strength else ""
    return (
        Advice("Make-up, if you wear any", f"Lips and cheeks: {_LIPS[undertone]}. Eyes: {_EYES[undertone]}.{how}"),
        Advice("Hair, if you colour it", f"{sentence(_HAIR[undertone])}, within a few steps of your own lightness."),
    )


def _frames(sides: Sides, metals: tuple[str, ...]) -> Advice:
    rims = f" Metal rims: {listed(list(metals), 'or')}." if metals else ""
    return Advice("Glasses", f"Frames in {_FRAMES[sides[Axis.UNDERTONE]]}.{rims}")
