"""Several palettes of one client, and the one that surely suits them better than the card of their sub-season would.

Colours are chosen one after another, each apart from those before, so that what is best at every step need not be best
together; and what is best on average need not be what is likeliest to be good. So a palette is chosen in several ways,
between what is predicted of the client and what the prototype of their sub-season would have, and the posterior says of
each how probably its mean utility is above the card's. Of those that are `SURE_ABOVE_CARD`, or as sure as any,
the one of the greatest expected utility is kept. What it gains was measured (docs/how-it-works/palette.md). Nothing
here is random.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.consultation.conventions.method import Method
from tenter.consultation.personal.choosing import Choice, Chooser, Pool, pool
from tenter.consultation.personal.suitability import Known, moved_to, prototype
from tenter.consultation.personal.tried import nothing_tried
from tenter.inference.utility import Shape, utilities

SURE_ABOVE_CARD = 0.95  # that the mean utility is above the card's: surer is not worth a lower expectation
# Of the score from the season's own colours, the rest from the client; tuned on seed 17 of bench_palette.py.
_PARTS_OF_PROTOTYPE = (0.0, 0.15, 0.25, 0.4, 0.55)
# The same where expected utility is the score; tuned on seed 17 of studies/clients/bench_palette.py.
_PARTS_BY_UTILITY = (0.0, 0.25, 0.4)
_STEP_TO_PROTOTYPE = 0.25  # of the way to the season's middle; tuned on seed 17 of studies/clients/bench_palette.py


def chosen(chooser: Chooser, among: Sequence[Known], category: str) -> list[Choice]:
    """Return the colours of a palette: of several ways to choose them, the one to keep.

    among: what is known within each category that the client is between, or nothing. category: whose card it has to be
    better than. Our own: of the ways that surely beat the card, the one of the highest expected utility.
    """
    offered = chooser.pool
    known = offered.known
    if len(known.ideals) == 1:  # nothing is unsure, so that what is best on average is what is best
        return chooser.choose()
    of_card = _utility(known, _card(known.method, category, known.shapes))
    ways = dict.fromkeys(tuple(chooser.choose(score)) for score in _scores(offered, among or (known,), category))
    above = [_utility(known, offered.places[[c.row for c in way]]) - of_card for way in ways]
    sure = steady(np.array([known.weights[gain > 0].sum() for gain in above]))
    expected = steady(np.array([(known.weights * gain).sum() for gain in above]))
    kept = np.argmax(np.where(sure >= min(SURE_ABOVE_CARD, sure.max()), expected, -np.inf))
    return list(list(ways)[kept])


def _scores(offered: Pool, among: Sequence[Known], category: str) -> Iterator[FloatArray]:
    """Yield what colours may be chosen by, each of shape (n,)."""
    known, places = offered.known, offered.places
    typical = prototype(known.method, category, known.shapes)
    of_type = typical.suitability(places)
    for part in _PARTS_OF_PROTOTYPE:
        yield (1 - part) * offered.score + part * of_type
    expected, of_type = np.min([k.utility(places) for k in among], axis=0), typical.utility(places)
    for part in _PARTS_BY_UTILITY:
        yield np.exp((1 - part) * expected + part * of_type)
    nearer = [moved_to(k, k.ideal + _STEP_TO_PROTOTYPE * (typical.ideal - known.ideal)) for k in among]
    yield np.min([k.suitability(places) for k in nearer], axis=0)


def _utility(known: Known, places: FloatArray) -> FloatArray:
    """Return the mean utility of colours at places (m, 3) under each shape at each ideal, shape (h, n)."""
    mean: FloatArray = utilities(known.shapes, places, known.ideals).mean(axis=1)
    return mean


@lru_cache(maxsize=64)
def _card(method: Method, category: str, shapes: tuple[Shape, ...]) -> FloatArray:
    """Return where the colours of a category's card lie, (m, 3): the same routine, run on the prototype alone."""
    offered = pool(prototype(method, category, shapes), nothing_tried(), ())
    places: FloatArray = offered.places[[c.row for c in Chooser.of(offered).choose()]]
    return places
