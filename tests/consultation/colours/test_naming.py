"""Names that a shop assistant understands, in the palettes of the twelve prototypes. Common practice, no source."""

from itertools import pairwise

import numpy as np
import pytest

from tenter.consultation.cloths.hue_families import HueFamily, hue_family
from tenter.consultation.colours.colour_words import word_lab
from tenter.consultation.colours.names import STEP_WORDS, colour_names, known_names, typical_lab
from tests.support.clients.palette_clients import CATEGORIES, client

# Words that are a hue by themselves: two of them in a row leave it open which one is meant.
HUES = {
    *(str(family) for family in HueFamily if family not in (HueFamily.METAL, HueFamily.DARK)),
    *("terracotta", "chartreuse", "mauve", "peach", "sage", "plum", "salmon", "lilac", "violet", "coral", "turquoise"),
}
QUIET = {"sage", "old", "dusty", "rosewood", "mauve", "taupe", "pale", "ice", "grey", "stone", "khaki", "beige"}


def clumsy(name):
    """Return what is clumsy about a name; empty where nothing is."""
    words = name.replace("-", " - ").split()
    two = [f"{a} {b}" for a, b in pairwise(words) if a in HUES and b in HUES]
    steps = [w for w in words if w in STEP_WORDS]
    found = [f"two hues: {pair}" for pair in two]
    found += ["a step before two words"] if steps and len(words) > 2 else []
    found += ["bright and quiet"] if words[0] == "bright" and set(words[1:]) & QUIET else []
    found += ["a number"] if any(ch.isdigit() for ch in name) else []
    return found


def test_what_was_clumsy_is_known_to_be():
    for name in ("bright terracotta rose", "soft chartreuse yellow", "mauve pink", "bright sage", "navy 2"):
        assert clumsy(name), name
    assert not any(clumsy(name) for name in ("coral", "air force blue", "soft lagoon", "grey-green", "dusty rose"))


@pytest.mark.parametrize("category", CATEGORIES)
def test_a_palettes_names_are_plain_and_no_two_are_alike(category):
    _, palette = client(category)
    names = [c.name for c in palette.every if c.hue_family is not HueFamily.METAL]
    assert {name: clumsy(name) for name in names if clumsy(name)} == {}
    assert len(set(names)) == len(names)


def test_no_name_of_the_table_is_clumsy_with_a_step_or_without_and_each_is_understood():
    labs = np.array([typical_lab(f"{step} {name}") for name in known_names() for step in STEP_WORDS])
    first = {offered[0] for offered in colour_names(labs, [hue_family(lab) for lab in labs])}
    assert {name: clumsy(name) for name in (*known_names(), *first) if clumsy(name)} == {}
    assert len({name.split()[0] for name in first} & set(STEP_WORDS)) == len(STEP_WORDS)
    assert [name for name in first if typical_lab(name) is None] == []


def test_names_that_were_printed_before_are_understood():
    for name in ("terracotta rose", "teal blue", "mauve pink", "rose grey", "chartreuse yellow"):
        assert word_lab(name) is not None
