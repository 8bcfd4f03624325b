"""What a reading rests on, in words: how many comparisons count, and what became of the other entries."""

from tenter.consultation.tally import Tally
from tenter.numerals import listed


def made(tally: Tally) -> str:
    """Return how many comparisons were counted and how many entries were not, and why, as a list of words."""
    told = [_many(tally.counted, "comparison counted", "comparisons counted")]
    if tally.weightless:
        told.append(f"{tally.weightless} on half a face not counted, as the same side won both ways round")
    if tally.void:
        told.append(_many(tally.void, "void entry", "void entries"))
    if tally.undone:
        told.append(f"{tally.undone} taken back")
    if tally.apart:
        told.append(_many(tally.apart, "liking or remark kept apart", "likings or remarks kept apart"))
    return listed(told)


def _many(count: int, one: str, more: str) -> str:
    return f"{count} {one if count == 1 else more}"
