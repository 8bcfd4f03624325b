"""What is asked before the first cloth: closed words, what is done about each, and the cloths of a fabric."""

import pytest

from tenter import Kit
from tenter.consultation.client.asked_first import CARES, ClientTrouble, cares_for, off_the_skin
from tenter.errors import UnknownName

TABLE = """id,name,L,a,b,illuminant,observer,notes
A1,Wool Rust,45,25,20,D65,10,
A2,Navy,25,2,-18,D65,10,merino jersey
A3,Woolly Sheep,60,2,4,D65,10,cotton
A4,Silver,75,0,2,D65,10,lamé; shines
"""


def test_each_trouble_is_asked_once_and_says_what_to_do():
    assert [care.trouble for care in CARES] == list(ClientTrouble)
    assert all(care.label and care.to_do.endswith(".") and care.at_bench for care in CARES)
    assert "looks into the lamp" in cares_for(["light"])[0].to_do


def test_words_come_back_in_the_order_in_which_they_are_asked():
    assert [care.trouble for care in cares_for(["wool", "light"])] == [ClientTrouble.LIGHT, ClientTrouble.WOOL]
    assert cares_for([]) == ()
    with pytest.raises(UnknownName, match="pollen"):
        cares_for(["light", "pollen"])


@pytest.mark.parametrize(
    ("words", "cloths"),
    [(["wool"], ["A1", "A2"]), (["metal"], ["A4"]), (["light"], []), (["wool", "metal"], ["A1", "A2", "A4"])],
)
def test_a_fabric_is_found_by_whole_words_of_name_and_notes(words, cloths):
    kit = Kit.parse(TABLE, "a kit")
    assert [drape.id for drape in off_the_skin(cares_for(words), kit)] == cloths
