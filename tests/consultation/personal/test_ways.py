"""Of several palettes the one is kept that is surely better than the card of the sub-season, or as surely as any."""

import numpy as np
import pytest

from tenter.consultation.personal.choosing import Chooser, pool
from tenter.consultation.personal.making import palette_of
from tenter.consultation.personal.suitability import prototype
from tenter.consultation.personal.tried import nothing_tried
from tenter.consultation.personal.ways import SURE_ABOVE_CARD, chosen
from tenter.inference.utility import DEFAULT_SHAPES, utilities
from tests.support.clients.palette_clients import CATEGORIES, METHOD, known_about


def off_prototype(category):
    """Return a client of a category who is no typical one, known as after some twenty comparisons."""
    return known_about(tuple(np.array(METHOD.region(category).prototype) + np.array([0.2, 0.25, -0.25])))


def places_of(known, category):
    made = palette_of(prototype(METHOD, category, known.shapes), categories=(category,))
    return known.places(np.array([c.lab for c in made.colours]), [c.hue_family for c in made.colours])


def against_card(known, category, places):
    """Return how probably the mean utility of colours is above the card's, and by how much it is expected to be."""
    mean = [utilities(known.shapes, p, known.ideals).mean(axis=1) for p in (places, places_of(known, category))]
    gain = mean[0] - mean[1]
    return float(known.weights[gain > 0].sum()), float((known.weights * gain).sum())


@pytest.mark.parametrize("category", CATEGORIES)
def test_the_palette_is_surely_better_than_the_card_or_as_surely_as_one_chosen_by_suitability(category):
    known = off_prototype(category)
    chooser = Chooser.of(pool(known, nothing_tried(), ()))
    of_one, of_several = (
        against_card(known, category, chooser.pool.places[[c.row for c in choices]])
        for choices in (chooser.choose(), chosen(chooser, (), category))
    )
    assert of_several[0] >= min(SURE_ABOVE_CARD, of_one[0])
    assert of_several[1] > 0
    if of_one[0] >= SURE_ABOVE_CARD:
        assert of_several[1] >= of_one[1] - 1e-9


def test_ways_other_than_the_first_are_kept_for_some():
    other = 0
    for category in CATEGORIES:
        chooser = Chooser.of(pool(off_prototype(category), nothing_tried(), ()))
        other += chosen(chooser, (), category) != chooser.choose()
    assert other >= 4


@pytest.mark.parametrize("category", CATEGORIES[::5])
def test_where_nothing_is_unsure_the_best_on_average_is_chosen(category):
    known = prototype(METHOD, category, DEFAULT_SHAPES)
    chooser = Chooser.of(pool(known, nothing_tried(), ()))
    assert chosen(chooser, (), category) == chooser.choose()


def test_an_unfinished_sitting_is_held_against_the_card_of_the_likeliest():
    known = off_prototype("warm spring")
    odds = {c: float(c == "warm spring") for c in CATEGORIES}
    unfinished, named = palette_of(known, probabilities=odds), palette_of(known, categories=("warm spring",))
    assert unfinished.colours == named.colours
    others = {c: float(c == "deep winter") for c in CATEGORIES}
    assert palette_of(known, probabilities=others).colours != named.colours
