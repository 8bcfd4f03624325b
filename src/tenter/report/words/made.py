"""What a reading rests on, in words: how many comparisons count, and what became of the other entries."""

from tenter.consultation.reading.tally import Tally
from tenter.language import _, all_of, ngettext


def made(tally: Tally) -> str:
    """Return how many comparisons were counted and how many entries were not, and why, as a list of words."""
    told = [ngettext("{count} comparison counted", "{count} comparisons counted", tally.counted)]
    if tally.weightless:
        told.append(
            _("{count} on half a face not counted, as the same side won both ways round", count=tally.weightless)
        )
    if tally.void:
        told.append(ngettext("{count} void entry", "{count} void entries", tally.void))
    if tally.undone:
        told.append(_("{count} taken back", count=tally.undone))
    if tally.apart:
        told.append(
            ngettext(
                "{count} favourite or remark, not counted", "{count} favourites or remarks, not counted", tally.apart
            )
        )
    return all_of(told)
