"""A drape's effect on the studio's pages: where its light shows, on whose skin, in which room."""

import pytest

from tenter.colorimetry.typology import ItaClass
from tenter.consultation.reflected.on_face import drape_surface, predict_on_face
from tenter.numerals import number
from tenter.web.models import KitRecord, MeasuredFace
from tenter.web.reflected.effect_form import face_of_skin
from tenter.web.store import store
from tests.web.conftest import browser_of


@pytest.fixture
def kit(owner):
    return KitRecord.objects.get(owner=owner)


def asked(browser, kit, **said):
    return browser.get(f"/kit/{kit.pk}/effect", {"surface": "D001", "skin": "light"} | said)


def test_the_page_asks_before_anything_is_predicted(visitor, kit):
    page = visitor.get(f"/kit/{kit.pk}/effect").text
    assert "Which cloth?" in page
    assert "Where it shows" not in page
    assert 'value="D001"' in page


@pytest.mark.parametrize("against", ["", "d002"])
def test_each_place_is_as_the_model_has_it_and_drawn(visitor, kit, against):
    page = asked(visitor, kit, against=against).text
    cloths = store.kit_of(kit)
    other = drape_surface(cloths, "D002") if against else None
    found = predict_on_face(face_of_skin(ItaClass.LIGHT), drape_surface(cloths, "D001"), against=other)
    for effect in found.effects.values():
        assert f">{number(effect.delta_e_2000, 2)}</td>" in page
    assert "<svg" in page
    assert " style=" not in page
    assert "Too small to see: " in page
    assert "The default room is used" in page or "the default room is used" in page
    assert "No published model gives a number" in page


def test_skins_of_other_classes_change_otherwise(visitor, kit):
    light, brown = (asked(visitor, kit, skin=name).text for name in ("light", "brown"))
    assert light[light.index("<tbody") :] != brown[brown.index("<tbody") :]


def test_a_colour_a_cape_and_a_wall_are_predicted_too(visitor, kit):
    assert "Light of the cape 94,0,1" in asked(visitor, kit, surface="94,0,1", kind="cape").text
    wall = asked(visitor, kit, surface="70,-25,20", against="70,0,0", kind="wall", wall_at="left", metres="1.5").text
    assert "The wall is taken to be 1.5 m from the face" in wall


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"surface": "X9"}, "X9"),
        ({"surface": "50,300,0"}, "300"),
        ({"surface": ""}, "This field is required"),
        ({"against": "X9"}, "X9"),
        ({"kind": "lamp"}, "Select a valid choice"),
        ({"skin": "green"}, "Select a valid choice"),
        ({"kind": "wall", "metres": "40"}, "less than or equal to 10"),
    ],
)
def test_what_throws_no_light_is_said_at_its_field(visitor, kit, said, words):
    answer = asked(visitor, kit, **said)
    assert answer.status_code == 422
    assert "fault-line" in answer.text
    assert words in answer.text
    assert "Where it shows" not in answer.text


def test_a_metal_is_refused_in_words(visitor, kit):
    metal = next(drape.id for drape in store.kit_of(kit).drapes if drape.is_metal)
    assert "is a metal. Where its light falls depends on how it shines" in asked(visitor, kit, surface=metal).text


def test_a_clients_own_face_is_used_where_the_sitting_has_one(visitor, kit, owner, going_on, stranger):
    address = f"/kit/{kit.pk}/effect?surface=D001&sitting={going_on.pk}"
    assert "A drape’s effect on Ada" not in visitor.get(address).text
    lab = {"lab": [60.0, 15.0, 18.0], "lab_interval_90": [[59, 61], [14, 16], [17, 19]]}
    face = {
        "accepted": True,
        "basis": "chart",
        "illuminant": "D65",
        "observer": "10",
        "regions": {"chin": lab, "cheek_left": lab},
    }
    MeasuredFace.objects.create(sitting=going_on, by=owner, colours=face)
    page = visitor.get(address).text
    assert "A drape’s effect on Ada" in page
    assert "forehead" not in page[page.index("<tbody") : page.index("</tbody")]
    assert browser_of(stranger).get(address).status_code == 404
    assert visitor.get(f"/kit/{kit.pk}/effect?surface=D001&sitting=999999").status_code == 404
