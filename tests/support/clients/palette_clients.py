"""Clients whose posterior is given: a cloud about an ideal, so that no sitting has to be simulated."""

from functools import lru_cache
from itertools import product

import numpy as np

from tenter import Method
from tenter.consultation.colours.colours import PersonalPalette
from tenter.consultation.personal.making import palette_of
from tenter.consultation.personal.suitability import Known
from tenter.inference.utility import DEFAULT_SHAPES

CATEGORIES = Method.bundled().categories
METHOD = Method.bundled()


def known_about(theta: tuple[float, ...], spread: float = 0.3, method: Method = METHOD) -> Known:
    """Return what is known of a client whose ideal lies about theta, as after some twenty comparisons."""
    steps = np.array(list(product((-1.5, 0.0, 1.5), repeat=3)))
    weights = np.exp(-0.5 * np.sum(steps**2, axis=1))
    shares = np.array([[shape.share] for shape in DEFAULT_SHAPES])
    return Known(method, DEFAULT_SHAPES, np.array(theta) + spread * steps, shares * weights)


@lru_cache
def client(category: str) -> tuple[Known, PersonalPalette]:
    """Return what is known of a category's typical client, and their palette."""
    known = known_about(METHOD.region(category).prototype)
    return known, palette_of(known, categories=(category,))
