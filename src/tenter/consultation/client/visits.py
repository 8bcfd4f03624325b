"""What a client comes for: the closed list of what an appointment may say.

Common practice, no source: how long each takes is a first guess that the consultant changes.
"""

from enum import StrEnum
from typing import Final


class Visit(StrEnum):
    """What a client comes for."""

    ANALYSIS = "analysis"
    AGAIN = "again"
    PALETTE = "palette"
    GARMENTS = "garments"
    ONLINE = "online"


VISIT_WORDS: Final = {
    Visit.ANALYSIS: "colour analysis",
    Visit.AGAIN: "second look",
    Visit.PALETTE: "palette and papers",
    Visit.GARMENTS: "clothes",
    Visit.ONLINE: "online, by photograph",
}
USUAL_MINUTES: Final = 90  # of a visit; common practice, no source
SHORTEST_MINUTES: Final = 10
LONGEST_MINUTES: Final = 8 * 60
