"""What is said of a colour of a palette, and of a staple, wherever it is printed or exported."""

from tenter.consultation.personal.colours import (
    Basis,
    PaletteColour,
    Part,
    PersonalPalette,
    Staple,
    StapleAnswer,
    Suited,
)
from tenter.errors import TenterError

_PARTS = {
    Part.NEAR_FACE: "near your face",
    Part.AWAY: "away from your face",
    Part.SMALL: "in small amounts",
    Part.NEUTRAL: "neutral",
    Part.WHITE: "white",
    Part.ACCENT: "accent",
    Part.METAL: "metal",
}
BASIS_WORDS = {Basis.SEEN: "seen on you", Basis.PREDICTED: "predicted", Basis.CONVENTION: "by convention"}
CHOSEN_WORDS = "chosen by your consultant"
STAPLES_TITLE = "What every shop sells"
_STAPLES = {StapleAnswer.NEAR: "near {} face", StapleAnswer.AWAY: "away from {} face", StapleAnswer.SWAP: "swap"}


def part_words(colour: PaletteColour) -> str:
    """Return what a colour is for, as in 'neutral' or 'borrowed, in small amounts'."""
    borrowed = "borrowed, " if colour.fit is Suited.BORROW else ""
    return f"{borrowed}{_PARTS[colour.part]}"


def basis_words(colour: PaletteColour) -> str:
    """Return how it is known that a colour suits."""
    return CHOSEN_WORDS if colour.chosen else BASIS_WORDS[colour.basis]


def staple_words(staple: Staple, whose: str = "your") -> str:
    """Return where a colour that every shop sells is worn, or what instead: 'near your face', 'swap for charcoal'."""
    if staple.answer is StapleAnswer.SWAP and staple.swap_for:
        return f"swap for {staple.swap_for}"
    return _STAPLES[staple.answer].format(whose)


def colours_to(act: str, palette: PersonalPalette) -> tuple[PaletteColour, ...]:
    """Return every colour of a palette, to do with it what `act` says, such as "print".

    Raises
    ------
    TenterError
        If the palette has no colours.
    """
    if not palette.every:
        raise TenterError(f"this palette has no colours yet, so there is nothing to {act}; finish the sitting first")
    return palette.every
