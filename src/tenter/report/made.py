"""What a reading rests on, in words: how many comparisons count, and what became of the other entries."""

from tenter.consultation.tally import Tally
from tenter.numerals import how_many, listed


def made(tally: Tally) -> str:
    """Return how many comparisons were counted and how many entries were not, and why, as a list of words."""
    told = [how_many(tally.counted, "comparison counted", "comparisons counted")]
    if tally.weightless:
        told.append(f"{tally.weightless} on half a face not counted, as the same side won both ways round")
    if tally.void:
        told.append(how_many(tally.void, "void entry", "void entries"))
    if tally.undone:
        told.append(f"{tally.undone} taken back")
    if tally.apart:
        told.append(how_many(tally.apart, "liking or remark kept apart", "likings or remarks kept apart"))
    return listed(told)
