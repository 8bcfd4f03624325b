"""Colours from photographs put into a kit: what is written, what differs, and what of the kit stays."""

import csv
import io

import numpy as np
import pytest

from tenter import Kit
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_2, D65_10, Colours
from tenter.consultation.cloths.photographed import PhotographedCloth, is_photographed, with_photographed
from tenter.errors import TenterError

HEAD = "id,name,L,a,b,illuminant,observer"
KIT = f"""{HEAD},hue_family,undertone,notes,place
D001,Peach,82.1,15.7,25.5,D65,10,orange,,cotton lawn,rail A
D002,Gold lamé,70,5,40,D65,10,metal,0.8,,rail A

D003,Unread,,,,D65,10,blue,,,rail B
D004,Left alone,40,-20,10,D65,10,,,"from a photograph ± 9.9, 9.9, 9.9 (L*, a*, b*, 90 %); converted from D65/2°",
"""
HALF = np.array([3.2, 2.0, 2.4])


def cloth(number, lab=(80.0, 16.0, 27.0), doubt=""):
    return PhotographedCloth(number, np.array(lab, dtype=float), HALF, doubt)


def rows_of(text):
    return {row["id"]: row for row in csv.DictReader(io.StringIO(text))}


def test_a_kit_of_photographed_cloths_alone_is_under_d65_10_and_says_how_sure_it_is():
    draft = with_photographed([cloth("D007"), cloth("D008", doubt="only 30 % of the cloth agree")])
    kit = Kit.parse(draft.text)
    assert kit.colours.conditions == draft.conditions == D65_10
    true = Colours(np.array([80.0, 16.0, 27.0]), D65_2).under(D65_10).lab
    assert np.abs(kit.lab - true).max() <= 0.05
    assert kit["D007"].notes == "from a photograph ± 3.2, 2.0, 2.4 (L*, a*, b*, 90 %); converted from D65/2°"
    assert kit["D008"].notes.endswith("converted from D65/2°; doubtful: only 30 % of the cloth agree")
    assert [change.is_new for change in draft.changes] == [True, True]
    assert draft.unchanged == 0


def test_only_the_named_cloths_change_and_by_how_much_is_said():
    draft = with_photographed([cloth("D001"), cloth("E1")], KIT)
    before, after = rows_of(KIT), rows_of(draft.text)
    assert list(after) == ["D001", "D002", "D003", "D004", "E1"]
    assert {name: after[name] for name in ("D002", "D003", "D004")} == {
        name: before[name] for name in ("D002", "D003", "D004")
    }
    kept = ("name", "illuminant", "observer", "hue_family", "undertone", "place")
    assert [after["D001"][name] for name in kept] == [before["D001"][name] for name in kept]
    change, new = draft.changes
    assert (change.is_new, new.is_new, new.before, new.delta_e, draft.unchanged) == (False, True, None, None, 3)
    assert change.before.tolist() == [82.1, 15.7, 25.5]
    assert change.after.tolist() == Kit.parse(draft.text).lab[0].tolist()
    assert change.delta_e == float(delta_e_2000(change.before, change.after))
    assert not change.is_beyond
    assert is_photographed(Kit.parse(draft.text)["D001"])
    assert not is_photographed(Kit.parse(KIT)["D001"])


def test_other_notes_stay_and_an_earlier_photograph_gives_way():
    once = with_photographed([cloth("D001"), cloth("D004", (40, -20, 10))], KIT).text
    assert rows_of(once)["D001"]["notes"].endswith("D65/2° · cotton lawn")
    assert "9.9" not in once
    again = with_photographed([cloth("D001", (70, 10, 20))], once).text
    assert rows_of(again)["D001"]["notes"] == rows_of(once)["D001"]["notes"]


def test_a_kit_keeps_its_own_light_and_needs_no_conversion_under_the_photographs():
    text = f"{HEAD}\nA,one,50,10,10,D65,2\n"
    draft = with_photographed([cloth("A"), cloth("B")], text)
    assert Kit.parse(draft.text).lab.tolist() == [[80.0, 16.0, 27.0]] * 2
    assert "converted" not in draft.text
    d50 = with_photographed([cloth("B")], text.replace("D65,2", "D50,2"))
    assert d50.changes[0].after.tolist() != [80.0, 16.0, 27.0]
    assert rows_of(d50.text)["B"]["illuminant"] == "D50"


def test_what_is_set_by_hand_stays_and_is_said():
    labelled, metal, moved = with_photographed(
        [cloth("D003", (40, 5, -40)), cloth("D002"), cloth("D001", (45, 10, -40))], KIT
    ).changes
    assert (labelled.before, labelled.delta_e) == (None, None)
    assert labelled.remarks == ("known by its label alone until now",)
    assert metal.remarks[0] == "its undertone stays as set by hand"
    assert "it stays in the hue family orange, as the kit says; by its colour it would be blue" in moved.remarks
    assert moved.is_beyond


@pytest.mark.parametrize(
    ("cloths", "said"),
    [([], "at least one a number"), ([cloth("A"), cloth("A")], "given twice: A"), ([cloth("A B")], "'A B' cannot be")],
)
def test_numbers_that_cannot_be_are_errors(cloths, said):
    with pytest.raises(TenterError, match=said):
        with_photographed(cloths, KIT)
