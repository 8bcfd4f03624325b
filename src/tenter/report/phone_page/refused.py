"""Which of the colours that a client may ask about they hate or may not wear, and what they said of it."""

from collections.abc import Sequence

import numpy as np

from tenter.arrays import FloatArray, IntArray
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.wishes.wishes import Wishes, is_about
from tenter.report.on_screen.garment_words import wished_away_words


def refused_of(wishes: Wishes, lab: FloatArray, families: Sequence[HueFamily]) -> IntArray:
    """Return whether each wish refuses colours (n, 3) of hue families (n): noughts and ones, (n, w), w at least 1."""
    none = np.zeros(len(lab), dtype=np.intp)
    columns = [is_about(wish.what, lab, families).astype(np.intp) for wish in wishes.refused]
    return np.stack(columns or [none], axis=1)


def refused_words(wishes: Wishes, row: Sequence[int]) -> str:
    """Return what is said of a colour by its row of `refused_of`, "" of one that nothing refuses."""
    said = [wish.sentence for wish, refuses in zip(wishes.refused, row, strict=False) if refuses]
    return " ".join(wished_away_words(list(dict.fromkeys(said))))
