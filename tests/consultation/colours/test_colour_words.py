"""Words for colours: what a shop calls the same, ISCC-NBS and CSS, each with a colour that a cloth can have."""

import numpy as np
import pytest

from tenter.colorimetry.real_surfaces import is_real_surface
from tenter.consultation.cloths.hue_families import HueFamily, hue_family
from tenter.consultation.colours.colour_words import book_words, is_wide, other_words, spelt, word_lab, word_meant
from tenter.consultation.colours.names import known_names, typical_lab
from tenter.consultation.conventions.staple_customs import STAPLES


def test_each_other_word_stands_for_a_name_and_is_none_itself():
    own = {spelt(name) for name in known_names()}
    for word, name in other_words().items():
        assert name in known_names()
        assert spelt(word) not in own
        assert word_meant(word.upper()) == name
        assert np.array_equal(word_lab(word), typical_lab(name))
    assert len(other_words()) > 200
    assert {"navy blue", "emerald green", "bordeaux", "eggplant", "off-white"} <= set(other_words())


def test_a_hue_behind_a_name_is_the_names_own():
    for word, name in other_words().items():
        rest = word.removeprefix(f"{name} ")
        if rest in [*HueFamily]:
            hue = HueFamily(rest)
            assert hue is hue_family(typical_lab(name)) or hue in (HueFamily.PINK, HueFamily.GREY, HueFamily.BLUE)


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("  Emerald   GREEN", "emerald"),
        ("duck egg", "duck-egg"),
        ("Blue Gray", "blue-grey"),
        ("offwhite", "soft white"),
    ],
)
def test_capitals_spaces_hyphens_and_gray_do_not_count(written, name):
    assert word_meant(written) == name
    assert np.array_equal(word_lab(written), typical_lab(name))


def test_names_of_any_script_are_told_apart():
    assert spelt("Коралл!") == "коралл"
    assert spelt("زمردي") == "زمردي"
    assert spelt("नीला रंग") == "नीलारंग"
    assert spelt("<b>") == "b"
    assert spelt("…") == ""


def test_every_word_of_a_book_is_a_colour_that_cloth_can_have():
    labs = np.array([word_lab(word) for word in book_words()])
    assert np.isfinite(labs).all()
    drawn_in = labs * (1, 0.93, 0.93)  # the two observers differ a little
    assert is_real_surface(drawn_in).all()
    families = {str(family) for family in HueFamily}
    taken = {spelt(word) for word in (*known_names(), *other_words(), *STAPLES)} | families
    assert not taken & {spelt(word) for word in book_words()}
    assert not {"gold", "silver"} & set(book_words())
    assert {"vivid red", "very pale blue", "reddish orange", "dodger blue", "dark grey"} <= set(book_words())
    assert not any("gray" in word for word in book_words())


def test_a_hue_alone_is_wide_and_a_block_is_not():
    assert is_wide("Reddish Orange")
    assert is_wide("bluish green")
    assert not is_wide("vivid red")
    assert not is_wide("lavender")
    assert not is_wide("purple")


def test_what_is_no_word_is_unknown():
    assert word_lab("blurple") is None
    assert word_lab("") is None
    assert word_meant("blurple") == "blurple"
    plain, light = word_lab("petrol blue"), word_lab("light petrol blue")
    assert light[0] == plain[0] + 6.0
