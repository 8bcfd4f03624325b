"""What is said of a colour of a palette wherever it is printed or exported: its part, and how that is known."""

from tenter.consultation.personal.colours import Basis, PaletteColour, Part, PersonalPalette, Suited
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


def part_words(colour: PaletteColour) -> str:
    """Return what a colour is for, as in 'neutral' or 'borrowed, in small amounts'."""
    borrowed = "borrowed, " if colour.fit is Suited.BORROW else ""
    return f"{borrowed}{_PARTS[colour.part]}"


def basis_words(colour: PaletteColour) -> str:
    """Return how it is known that a colour suits."""
    return CHOSEN_WORDS if colour.chosen else BASIS_WORDS[colour.basis]


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
