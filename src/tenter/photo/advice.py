"""What is said and advised wherever a photograph beside a card is spoken of, in the same words."""

HOLD_THE_CARD = "Hold the card flat beside the jaw, parallel to the face"
# Where it may be a cloth that is measured.
HOLD_THE_CARD_BESIDE = "Hold the card flat beside the jaw, parallel to the face (for a cloth, flat on it)"
MOVE_THE_CARD = (
    "Take a second photograph with the card moved or turned a little, out of any shade, and measure both together"
)
# What a doubt does.
WIDER = "The intervals are wider for it."
WIDER_LIGHTNESS = "The interval for lightness (L*) is wider for it."
WIDER_COLOUR = "The intervals for a* and b* are wider for it."


def then(advice: str) -> str:
    """Return an advice as the second half of a sentence."""
    return advice[0].lower() + advice[1:]
