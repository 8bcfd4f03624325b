"""What is said of a colour of a palette, and of a staple, wherever it is printed or exported."""

from collections.abc import Sequence

from tenter.consultation.colours.colours import (
    Basis,
    MissingHue,
    PaletteColour,
    Part,
    PersonalPalette,
    Staple,
    StapleAnswer,
    Suited,
)
from tenter.errors import TenterError
from tenter.language import N_, _
from tenter.report.words import terms

_PARTS = {
    Part.NEAR_FACE: N_("near your face"),
    Part.AWAY: N_("away from your face"),
    Part.SMALL: N_("in small areas"),
    Part.NEUTRAL: N_("neutral"),
    Part.WHITE: N_("white"),
    Part.ACCENT: N_("accent"),
    Part.METAL: N_("metal"),
}
BASIS_WORDS = {Basis.SEEN: N_("seen on you"), Basis.PREDICTED: N_("predicted"), Basis.CONVENTION: N_("by convention")}
CHOSEN_WORDS = N_("chosen by your consultant")
STRONGER = N_("stronger in cloth than here")
# What is worn away from the face, on paper, phone and everywhere else.
THINGS_AWAY = N_("coats, jackets, trousers, skirts, bags, shoes")
STAPLES_TITLE = N_("What every shop sells")
_STAPLES = {
    "your": {
        StapleAnswer.NEAR: N_("near your face"),
        StapleAnswer.AWAY: N_("away from your face"),
        StapleAnswer.SWAP: N_("swap"),
    },
    "the": {
        StapleAnswer.NEAR: N_("near the face"),
        StapleAnswer.AWAY: N_("away from the face"),
        StapleAnswer.SWAP: N_("swap"),
    },
}

_OWN_SHADE = {"your": N_("swap for your own {colour}"), "the": N_("swap for the client’s own {colour}")}


def part_words(colour: PaletteColour) -> str:
    """Return what a colour is for, as in 'neutral' or 'borrowed, in small areas'."""
    part = _(_PARTS[colour.part])
    return _("borrowed, {part}", part=part) if colour.fit is Suited.BORROW else part


def basis_words(colour: PaletteColour) -> str:
    """Return how it is known that a colour suits."""
    return _(CHOSEN_WORDS if colour.chosen else BASIS_WORDS[colour.basis])


def staple_words(staple: Staple, whose: str = "your") -> str:
    """Return where a colour that every shop sells is worn, or what instead: 'near your face', 'swap for charcoal'.

    Where the client's colour has the same name, it says that it is another shade: 'swap for your own camel'.

    whose: "your" to the client, "the" to the studio.
    """
    if staple.answer is StapleAnswer.SWAP and staple.has_own_shade:
        return _(_OWN_SHADE[whose], colour=terms.colour(staple.swap_for))
    if staple.answer is StapleAnswer.SWAP and staple.swap_for:
        return _("swap for {colour}", colour=terms.colour(staple.swap_for))
    return _(_STAPLES[whose][staple.answer])


def worn_instead(missing: Sequence[MissingHue]) -> tuple[str, ...]:
    """Return what is worn instead of hues of which the client has none."""
    return tuple(
        _("No {hue}: wear {colours} instead.", hue=terms.hue(m.hue_family), colours=terms.instead(m.instead))
        for m in missing
        if m.instead
    )


def colours_to(act: str, palette: PersonalPalette) -> tuple[PaletteColour, ...]:
    """Return every colour of a palette, to do with it what `act` says, such as "print".

    Raises
    ------
    TenterError
        If the palette has no colours.
    """
    if not palette.every:
        raise TenterError(
            _("this palette has no colours yet, so there is nothing to {act}; finish the sitting first", act=act)
        )
    return palette.every
