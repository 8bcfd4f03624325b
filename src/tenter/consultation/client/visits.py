"""What a client comes for: the closed list of what an appointment may say.

Common practice, no source: how long each takes is a first guess that the consultant changes.
"""

from datetime import datetime, timedelta
from enum import StrEnum
from typing import Final

from tenter.language import N_, _


class Visit(StrEnum):
    """What a client comes for."""

    ANALYSIS = "analysis"
    AGAIN = "again"
    PALETTE = "palette"
    GARMENTS = "garments"
    ONLINE = "online"


_VISIT_WORDS: Final = {
    Visit.ANALYSIS: N_("colour analysis"),
    Visit.AGAIN: N_("second look"),
    Visit.PALETTE: N_("palette and papers"),
    Visit.GARMENTS: N_("clothes"),
    Visit.ONLINE: N_("online, by photograph"),
}
USUAL_MINUTES: Final = 90  # of a visit; common practice, no source
SHORTEST_MINUTES: Final = 10
LONGEST_MINUTES: Final = 8 * 60


def visit_words(visit: Visit) -> str:
    """Return what a client comes for in words, as they stand within a line."""
    return _(_VISIT_WORDS[visit])


def over_by(began: datetime, booked_until: datetime | None, next_begins: datetime | None) -> datetime:
    """Return when a sitting has to be over: before the next visit, and else as booked or after the usual time.

    booked_until: the end of the client's own visit, None for a client who came without one. next_begins: the next
    visit that the same consultant expects, None where there is none.
    """
    usual = booked_until or began + timedelta(minutes=USUAL_MINUTES)
    return min(usual, next_begins) if next_begins else usual
