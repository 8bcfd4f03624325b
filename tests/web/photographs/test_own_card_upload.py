"""A photograph with our own card comes in: its number read from the picture, or named and held against it."""

import io
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from PIL import Image

from studies.photo.card_faults import shaded
from studies.scenes.exposure import Shot, expose
from studies.scenes.own_card_scene import calibration_photograph, own_scene, printed_card
from tenter.photo.files.loading import Photo
from tenter.photo.own_card.calibration import calibrate_own_cards
from tenter.photo.own_card.kept import kept_values_path
from tenter.photo.own_card.sighting import find_own_card
from tenter.photo.own_card.values import write_card_values
from tenter.web.models import Photograph
from tests.support.photo_studio import send

pytestmark = [pytest.mark.usefixtures("folder"), pytest.mark.one_database]
SERIAL = 7


@pytest.fixture(autouse=True)
def own_data_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))


@pytest.fixture(scope="module")
def values():
    beside = calibration_photograph(printed_card(SERIAL), seed=1, camera="nikon")
    return calibrate_own_cards([Photo(beside)], date.today()).values[0]


def face_beside(serial):
    """A face beside a print of our own card, as a PNG."""
    return encoded_png(expose(own_scene("p6", serial), "D50", "phone-a", Shot(seed=3)).picture)


def encoded_png(rgb):
    out = io.BytesIO()
    Image.fromarray(rgb).save(out, "PNG")
    return out.getvalue()


@pytest.fixture(scope="module")
def with_own_card():
    return face_beside(SERIAL)


def page_after(visitor, client_row, content, **said):
    answer = send(visitor, client_row, content, name="p.png", **({"chart": "own"} | said))
    assert answer.status_code == 302, dict(answer.context["form"].errors)
    return visitor.get(answer["Location"]), Photograph.objects.get(pk=answer["Location"].rsplit("/", 1)[1])


def test_without_a_number_the_one_in_the_picture_is_used(visitor, client_row, with_own_card, values):
    write_card_values(values, kept_values_path(SERIAL))
    page, row = page_after(visitor, client_row, with_own_card)
    assert (row.state, row.card) == ("done", "")
    assert page.context["absolute"]


def test_a_named_number_is_kept_shown_and_used(visitor, client_row, with_own_card, values):
    write_card_values(values, kept_values_path(SERIAL))
    page, row = page_after(visitor, client_row, with_own_card, own_number=SERIAL)
    assert (row.state, row.card) == ("done", str(SERIAL))
    assert page.context["absolute"]
    assert f"Our own printed card, No. {SERIAL}" in page.text


def test_a_named_number_that_is_another_cards_is_refused_with_both(visitor, client_row, with_own_card, values):
    write_card_values(replace(values, serial=12), kept_values_path(12))
    page, row = page_after(visitor, client_row, with_own_card, own_number=12)
    assert row.state == "refused"
    assert f"The card in the picture is No. {SERIAL}, and No. 12 was named" in page.text


def test_a_number_that_was_never_measured_says_what_to_do(visitor, client_row):
    page, row = page_after(visitor, client_row, face_beside(SERIAL + 1), own_number=SERIAL + 1)
    assert row.state == "done"
    assert not page.context["absolute"]
    assert page.text.count(f"Card No. {SERIAL + 1} was never measured here") == 2  # as it comes in, and with the result
    assert "tenter card calibrate" in page.text


def test_a_shadow_on_our_own_card_can_be_called_none_on_the_page(visitor, client_row, with_own_card, values):
    write_card_values(values, kept_values_path(SERIAL))
    rgb = np.asarray(Image.open(io.BytesIO(with_own_card)))
    corners = find_own_card(Photo(rgb)).reading.corners_px
    shadow = encoded_png(shaded(rgb, corners, (0.55, -0.1, 1.2, 1.2), 0.7))
    page, row = page_after(visitor, client_row, shadow, own_number=SERIAL)
    assert row.state == "refused"
    assert "The card is evenly lit: measure it" in page.text
    page = visitor.post(f"/photographs/{row.pk}/again", {"light": "even"}, follow=True)
    row.refresh_from_db()
    assert row.state == "done"
    assert "You said that the card is evenly lit." in page.text


def test_a_number_goes_with_our_own_card_alone(visitor, client_row, with_own_card):
    answer = send(visitor, client_row, with_own_card, chart="classic24", own_number=SERIAL)
    assert answer.status_code == 422
    assert "Another card is chosen above" in answer.context["form"].errors["own_number"][0]
    assert not Photograph.objects.exists()


def test_the_form_says_what_a_card_needs_and_which_were_measured(visitor, client_row, values):
    for path in (f"/people/{client_row.pk}/photographs", "/kit/cloths"):
        assert "Measure each print once beside a 24-patch card; a borrowed one will do" in visitor.get(path).text
        assert "None has been measured here yet" in visitor.get(path).text
    write_card_values(values, kept_values_path(SERIAL))
    assert f"Measured here: No. {SERIAL}." in visitor.get(f"/people/{client_row.pk}/photographs").text
