"""How many entries a reading rests on, and what became of the others."""

from collections.abc import Sequence
from dataclasses import dataclass

from tenter.consultation.reading.weighing import entry_weights
from tenter.consultation.record.history import Entry


@dataclass(frozen=True, slots=True)
class Tally:
    """Entries by what became of them; they add up to all that were made.

    counted: they speak about the face. weightless: so would they, but for half-face views that followed the side of
    the face. void: kept with a reason, not counted. undone: taken back. apart: likings and other remarks.
    """

    counted: int
    weightless: int
    void: int
    undone: int
    apart: int


def tally(entries: Sequence[Entry]) -> Tally:
    """Return what became of a sitting's entries, void and undone ones included; a result that was named is no entry.

    Nor is what was shown after the verdict, which is seen on the client, and no part of how the result came about.
    """
    entries = [e for e in entries if not e.judgement.follows_verdict]
    standing = [e for e in entries if e.is_evidence]
    weights = entry_weights(standing)
    counted = sum(weights[e.number] > 0 for e in standing)
    undone = sum(e.undone for e in entries)
    void = sum(not e.undone and e.void is not None for e in entries)
    return Tally(counted, len(standing) - counted, void, undone, len(entries) - len(standing) - void - undone)
