"""Whether the lamp is one by which cameras read skin less well than their card suggests.

The lamp is not asked for: the patches of the card tell it (`evidence.py`). On 160 rendered photographs the lamps
below were given a probability of 0.7 to 1.0 where they shone, and 0 to 0.15 where daylight or a white LED did.
"""

from tenter.photo.card.evidence import CardEvidence

# Incandescent light and its like, which leave a camera little blue; three-band tubes, and LEDs of three colours or with
# a violet chip, whose narrow bands meet skin where cameras and eyes differ.
POOR_LAMPS = frozenset(
    {"A", "FL3.12", "FL3.13", "LED-V1", "LED-RGB1", "LED-BH1"}
    | {"FL4", "FL10", "FL11", "FL12", "FL3.4", "FL3.7", "FL3.8"}
)
_UNKNOWN, _UNKNOWN_COUNTS = "any", 0.5  # a lamp of no known kind, and how far it counts as a poor one


def poor_light(evidence: CardEvidence | None) -> float:
    """Return how likely such a lamp is, 0 to 1; a lamp that is like none counts half, a card that says nothing 0."""
    if evidence is None:
        return 0.0
    probabilities = evidence.lamp_probabilities
    return max(sum(probabilities[lamp] for lamp in POOR_LAMPS), _UNKNOWN_COUNTS * probabilities[_UNKNOWN])
