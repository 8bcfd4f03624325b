"""The drawing of where a surface's light shows: every place is there, darker for more, and readable without colour."""

import re
from xml.etree import ElementTree

import numpy as np
import pytest

from tenter import Face
from tenter.colorimetry.spaces import srgb_to_lab
from tenter.consultation.cloths.reflection_factors import REFLECTION_REGIONS
from tenter.consultation.reflected.effect import ThrowingSurface
from tenter.consultation.reflected.on_face import SurfaceKind, SurfacePlace, drape_surface, predict_on_face
from tenter.report.pictures.reflected_map import reflected_map, surface_on_screen
from tenter.report.workshop_pictures.svg_parts import LOOKING_GREY

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def face():
    within = [[60, 70], [5, 15], [10, 20]]
    regions = {region: {"lab": [65.0, 10.0, 15.0], "lab_interval_90": within} for region in REFLECTION_REGIONS}
    document = {"accepted": True, "basis": "chart", "illuminant": "D65", "observer": "2", "regions": regions}
    return Face.from_json(document)


@pytest.fixture(scope="module")
def white():
    return ThrowingSurface("white <cotton>", np.full(81, 0.9), recovered=False)


def lightness(fill):
    code = [int(fill[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    return srgb_to_lab(np.array(code))[0]


def places(found):
    """Return the fill of each place of the drawing by its name."""
    tree = ElementTree.fromstring(reflected_map(found))
    titled = [(path, path.find(f"{SVG}title")) for path in tree.iter(f"{SVG}path")]
    return {title.text.partition(":")[0]: path.get("fill") for path, title in titled if title is not None}


def test_every_place_is_drawn_and_a_larger_change_is_darker(face, white):
    found = predict_on_face(face, white)
    drawn = places(found)
    assert set(drawn) == {"forehead", "nose", "left cheek", "right cheek", "lips", "chin", "left jaw", "right jaw"}
    assert drawn["forehead"] == LOOKING_GREY
    assert all(len({code[1:3], code[3:5], code[5:7]}) == 1 for code in drawn.values())  # neutral, as around any colour
    assert lightness(drawn["left jaw"]) < lightness(drawn["chin"]) - 5 < lightness(drawn["left cheek"]) - 10


def test_it_is_said_in_words_too(face, white):
    found = predict_on_face(face, white)
    tree = ElementTree.fromstring(reflected_map(found))
    said = tree.find(f"{SVG}desc").text
    for region, effect in found.effects.items():
        assert region.split("_")[0] in said
        assert str(effect.size) in said
    shown = " ".join("".join(text.itertext()) for text in tree.iter(f"{SVG}text"))
    assert "white <cotton>" in shown
    assert "Too small to see: forehead" in shown
    assert "A model, not a photograph" in shown


def test_it_names_what_it_is_compared_with_and_what_no_screen_shows(face, white, demo_kit):
    vivid = ThrowingSurface("vivid", np.where(np.arange(81) < 20, 0.9, 0.01), recovered=False)
    assert surface_on_screen(vivid)[1] is False
    drawn = reflected_map(predict_on_face(face, vivid, against=drape_surface(demo_kit, "D064")))
    assert "compared with D064" in drawn
    assert "A screen cannot show this colour exactly." in drawn
    assert "A screen cannot show" not in reflected_map(predict_on_face(face, drape_surface(demo_kit, "D064")))


def test_a_wall_is_no_cloth_on_the_chest(face, white):
    assert "<polygon" in reflected_map(predict_on_face(face, white))
    assert "<polygon" not in reflected_map(predict_on_face(face, white, SurfacePlace(SurfaceKind.WALL)))


def test_labels_of_a_side_do_not_touch(face, white):
    texts = re.findall(r'<text x="408" y="(\d+)"', reflected_map(predict_on_face(face, white)))
    levels = sorted(map(int, texts))
    assert len(levels) >= 3
    assert min(np.diff(levels)) >= 40
