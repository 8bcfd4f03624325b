"""What is said and advised wherever a photograph beside a card is spoken of, in the same words.

Each is marked for the catalogue, and translated where it is said.
"""

from tenter.kept_words import keeps_words
from tenter.language import N_

HOLD_THE_CARD = N_("Hold the card flat beside the jaw, parallel to the face")
# Where it may be a cloth that is measured.
HOLD_THE_CARD_BESIDE = N_("Hold the card flat beside the jaw, parallel to the face (for a cloth, flat on it)")
MOVE_THE_CARD = N_(
    "Take a second photograph with the card moved or turned a little, out of any shade, and measure both together"
)
# What a doubt does.
WIDER = N_("The intervals are wider for it.")
WIDER_LIGHTNESS = N_("The interval for lightness (L*) is wider for it.")
WIDER_COLOUR = N_("The intervals for a* and b* are wider for it.")


@keeps_words
def then(advice: str) -> str:
    """Return an advice as the second half of a sentence."""
    return advice[0].lower() + advice[1:]
