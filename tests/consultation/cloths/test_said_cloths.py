"""Cloths as they are typed or scanned."""

import pytest

import tenter
from tenter.consultation.cloths.said_cloths import SeveralCloths, cloths_said
from tenter.errors import UnknownName


@pytest.mark.parametrize(
    ("text", "sides"),
    [
        ("38", ("D038",)),
        ("D038 D039", ("D038", "D039")),
        (" d038  d039\n", ("D038", "D039")),
        ("38, 39; 40", ("D038", "D039", "D040")),
        ("honeycomb", ("D007",)),
        ("Orchard Peach 38", ("D001", "D038")),
        ("38 orchard peach shell", ("D038", "D001", "D002")),
        ("kiln brick, fern", ("D038", "D039")),
        ("61+90 62", ("D061+D090", "D062")),
        ("whey + 38 39", ("D020+D038", "D039")),
        ("http://127.0.0.1:8000/kit/1/cloth?cloth=D038", ("D038",)),
        ("http://127.0.0.1:8000/kit/1/cloth?cloth=D038 http://x/D039", ("D038", "D039")),
        ("", ()),
        ("night", ("D050",)),
    ],
)
def test_a_cloth_is_named_by_number_id_name_part_or_label(demo_kit, text, sides):
    assert cloths_said(demo_kit, text) == sides


def test_what_fits_several_cloths_says_which(demo_kit):
    with pytest.raises(SeveralCloths, match="'cold' fits D022 Cold Berry, D024 Cold Harbour, D047 Cold Pine"):
        cloths_said(demo_kit, "cold")
    with pytest.raises(SeveralCloths, match=r"and [0-9]+ more"):
        cloths_said(demo_kit, "test")


@pytest.mark.parametrize("text", ["999", "nowhere", "38 nowhere", "²"])
def test_what_fits_none_is_refused_with_the_nearest(demo_kit, text):
    with pytest.raises(UnknownName, match="no cloth in this kit"):
        cloths_said(demo_kit, text)


def test_a_number_of_two_cloths_says_which():
    kit = tenter.Kit.from_lab(["D038", "S38", "38b"], [[60, 30, 10], [60, 10, 30], [50, 0, 0]], ["red"] * 3)
    with pytest.raises(SeveralCloths, match=r"'38' fits D038 .*, S38"):
        cloths_said(kit, "38")
    assert cloths_said(kit, "s38 38B") == ("S38", "38b")
