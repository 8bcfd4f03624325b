"""A portrait beside two drapes as the model has it: the cloth's colour, the light on the face, and what is written."""

import io
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from tenter import Face
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_2
from tenter.colorimetry.reflectance import reflectance_to_lab
from tenter.colorimetry.spaces import srgb_to_lab
from tenter.consultation.reflected.effect import ThrowingSurface
from tenter.consultation.reflected.on_face import drape_surface, predict_on_face
from tenter.photo.files.loading import load_photo
from tenter.photo.together.portrait import portrait_parts
from tenter.report.pictures.reflected_photo import MODEL_MARK, model_sheet, panel_pixels, reflected_photo

BLACK = ThrowingSurface("black", np.zeros(81), recovered=False)


@pytest.fixture(scope="module")
def parts():
    return portrait_parts(load_photo(Path(str(files("tenter.demo_studio") / "portraits" / "K1.jpg"))))


@pytest.fixture(scope="module")
def face(parts):
    return Face.from_json(parts.measured.to_json())


@pytest.fixture(scope="module")
def labs(parts, face):
    """The picture in Lab beside a drape."""
    return lambda surface: srgb_to_lab(panel_pixels(parts, face, predict_on_face(face, surface)) / 255.0)


@pytest.mark.parametrize("drape", ["D015", "D064", "D087"])
def test_the_cloth_has_the_drapes_colour(parts, labs, demo_kit, drape):
    surface = drape_surface(demo_kit, drape)
    true = reflectance_to_lab(surface.reflectance, D65_2.illuminant, D65_2.observer)
    assert delta_e_2000(np.median(labs(surface)[parts.cloth > 0.99], axis=0), true) < 1.5


def test_the_face_changes_as_predicted_and_most_at_the_jaw(parts, face, labs, demo_kit):
    yellow = drape_surface(demo_kit, "D013")
    found = predict_on_face(face, yellow)
    change = labs(yellow) - labs(BLACK)
    inside = (parts.face > 0.95) & (parts.cloth < 0.01)
    for region in ("forehead", "jaw_left", "chin"):
        there = inside & (parts.places[region] > 0.9)
        assert there.sum() > 100
        assert change[there].mean(axis=0)[2] == pytest.approx(found.effects[region].delta_lab[2], abs=0.5)
    assert change[inside & (parts.places["jaw_left"] > 0.9)].mean(axis=0)[2] > 1


def test_nothing_else_is_changed(parts, labs, demo_kit):
    beside = (parts.face == 0) & (parts.cloth == 0)
    assert beside.mean() > 0.2
    assert np.array_equal(labs(drape_surface(demo_kit, "D013"))[beside], labs(BLACK)[beside])


def test_beside_black_the_face_is_the_photographs_own(parts, labs):
    as_it_is = labs(BLACK)[(parts.face > 0.5) & (parts.cloth < 1e-4)]
    luminance = parts.xyz[(parts.face > 0.5) & (parts.cloth < 1e-4)][:, 1]
    assert np.abs(as_it_is[:, 0] - (116 * np.cbrt(luminance) - 16)).mean() < 0.5


def test_what_is_written_says_that_it_is_a_model_and_what_no_screen_shows(face, demo_kit):
    drapes = [drape_surface(demo_kit, name) for name in ("D013", "D086")]
    sheet = model_sheet([predict_on_face(face, surface) for surface in drapes])
    assert sheet.mark == MODEL_MARK
    assert "it has no number" in sheet.note
    shown, hidden = sheet.panels
    assert "Largest change: " in shown.lines[0]
    assert "A screen cannot show this colour exactly." not in shown.lines
    assert "A screen cannot show this colour exactly." in hidden.lines


def test_the_picture_is_a_png_with_both(parts, face, demo_kit):
    found = [predict_on_face(face, drape_surface(demo_kit, name)) for name in ("D013", "D015")]
    picture = Image.open(io.BytesIO(reflected_photo(parts, face, found)))
    assert picture.format == "PNG"
    assert picture.width > picture.height
