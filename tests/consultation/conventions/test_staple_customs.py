"""Who wears the staples of every shop, as a method file says: near the face, away from it, or another in its place."""

import json
import tomllib

import numpy as np
import pytest

from tenter import Method
from tenter.consultation.colours.colours import StapleAnswer
from tenter.consultation.conventions.method_writing import method_document
from tenter.consultation.conventions.staple_customs import STAPLES, by_custom
from tenter.consultation.personal.making import palette_of
from tests.support.clients.palette_clients import known_about

BUNDLED = Method.bundled()
# Categories of which the bundled method knows none, and staples worn the other way about. Invented.
OWN = """
extends = "four-by-three"
name = "two-stones"
title = "Two stones"
staples = [
  { name = "black", worn = "near", undertone_least = 0.5 },
  { name = "camel", worn = "away", depth_least = -0.5, depth_most = 0.5 },
]
[[seasons]]
name = "jasper"
undertone = "warm"
[[seasons]]
name = "flint"
undertone = "cool"
[[categories]]
name = "red jasper"
season = "jasper"
prototype = [1.0, 0.0, 0.0]
[[categories]]
name = "grey flint"
season = "flint"
prototype = [-1.0, 0.0, 0.0]
"""


def worn(method, ideal):
    return {name: by_custom(method.staples, name, np.array(ideal)) for name in STAPLES}


@pytest.fixture(scope="module")
def own():
    return Method.parse(OWN)


def test_a_method_with_categories_of_its_own_says_who_wears_what(own):
    near, away, swap = StapleAnswer
    assert worn(own, (1.0, 0.0, 0.0)) == dict.fromkeys(STAPLES, swap) | {"black": near, "camel": away}
    assert worn(own, (-1.0, 0.6, 0.0)) == dict.fromkeys(STAPLES, swap)


def test_its_palette_goes_by_it(own):
    [palette, other] = (
        palette_of(known_about(own.region(name).prototype, method=own), categories=(name,)) for name in own.categories
    )
    assert {s.name: s.answer for s in palette.staples}["black"] is StapleAnswer.NEAR
    assert "your black" in [c.title for c in palette.colours]
    assert "your black" not in [c.title for c in other.colours]


def test_the_ends_of_a_range_are_within_it(own):
    ends = (0.5, 0.5), (-0.5, 0.5), (-0.51, 0.51)
    found = [[worn(own, (u, d, 0.0))[name] for name in ("black", "camel")] for u, d in ends]
    near, away, swap = StapleAnswer
    assert found == [[near, away], [swap, away], [swap, swap]]


def test_a_method_that_says_nothing_of_staples_has_the_bundled_ones():
    document = method_document(BUNDLED)
    del document["staples"]
    assert Method.of_document(document).staples == BUNDLED.staples


def test_staples_come_back_from_a_palettes_file_as_they_were(own):
    read = Method.of_document(json.loads(json.dumps(method_document(own), allow_nan=False)))
    assert read.staples == own.staples
    assert len(read.staples) == len(tomllib.loads(OWN)["staples"])
