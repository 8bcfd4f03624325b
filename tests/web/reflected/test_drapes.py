"""Two drapes on a client's own photograph: shown in memory, marked as a model, refused in words, and left nowhere."""

import io

import numpy as np
import pytest
from PIL import Image

from tenter import Face
from tenter.consultation.client.consent import Purpose
from tenter.consultation.reflected.on_face import drape_surface, predict_on_face
from tenter.numerals import number
from tenter.report.handing_over.just_drawn import forget_just_drawn
from tenter.web.models import KitRecord, Photograph
from tenter.web.pictures import measuring
from tenter.web.reflected import drapes_page
from tenter.web.rules import consents
from tenter.web.store import store
from tests.support.photo_studio import sent
from tests.web.conftest import browser_of

pytestmark = pytest.mark.usefixtures("folder")


@pytest.fixture
def shot(visitor, client_row):
    return sent(visitor, client_row)


@pytest.fixture
def undrawn(monkeypatch):
    """The pictures are none of this test's business."""
    monkeypatch.setattr(drapes_page, "_draw", lambda row, shown: (b"one", b"two"))


def ask(browser, row, first="D063", second="D064", **more):
    return browser.get(f"/photographs/{row.pk}/drapes", {"first": first, "second": second} | more)


def picture(browser, row, of, first="D063", second="D064"):
    return browser.get(f"/photographs/{row.pk}/drapes/picture", {"first": first, "second": second, "of": of})


def pixels(answer):
    return np.asarray(Image.open(io.BytesIO(answer.content)).convert("RGB"), dtype=float)


def test_both_drapes_are_shown_on_the_photograph_and_nothing_unsealed_is_left(visitor, shot, folder):
    def on_disk():
        return {path: path.stat().st_size for path in folder.rglob("*") if path.is_file() and "sqlite" not in path.name}

    before = on_disk()
    page = ask(visitor, shot)
    assert page.text.count("Model, not a photograph: ") == 2
    assert "D063 (Test Pink W)" in page.text
    assert "Too small to see: forehead" in page.text
    assert "cloth in your own light decides" in page.text
    first, second = (picture(visitor, shot, of) for of in ("first", "second"))
    assert first["Cache-Control"] == "no-store"
    warm, cool = pixels(first)[-40:, 200:360].mean(axis=(0, 1)), pixels(second)[-40:, 200:360].mean(axis=(0, 1))
    assert warm[2] < warm[1] < warm[0]
    assert cool[2] > warm[2] + 20
    assert np.array_equal(pixels(first)[:60, :60], pixels(second)[:60, :60]), "the mark is the same"
    assert on_disk() == before
    assert f"/photographs/{shot.pk}/drapes" in visitor.get(f"/photographs/{shot.pk}").text


def test_the_second_is_told_beside_the_first_as_the_model_has_it(visitor, shot, undrawn):
    page = ask(visitor, shot).text
    kit = store.kit_of(KitRecord.objects.get())
    face = Face.of_written(measuring.face_result_of(shot).face, "this photograph")
    one, other = drape_surface(kit, "D063"), drape_surface(kit, "D064")
    for effect in predict_on_face(face, other, against=one).effects.values():
        assert f">{number(effect.delta_e_2000, 2)}</td>" in page
    effect_page = visitor.get(
        "/kit/1/effect?surface=D063&against=D064".replace("/1/", f"/{KitRecord.objects.get().pk}/")
    )
    assert f"/photographs/{shot.pk}/drapes?kit=" in effect_page.text


@pytest.mark.parametrize(
    ("first", "second", "words"),
    [
        ("X9", "D064", "X9"),
        ("D063", "d063", "a different drape"),
        ("D063", "50,300,0", "300"),
        ("", "D063", "required"),
    ],
)
def test_what_is_no_drape_is_said_at_its_field(visitor, shot, first, second, words):
    answer = ask(visitor, shot, first, second)
    assert answer.status_code == 422
    assert words in answer.text
    assert "<figure>" not in answer.text
    assert picture(visitor, shot, "first", first, second).status_code == 404


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"state": "queued"}, "still being measured"),
        ({"state": "refused"}, "was not accepted"),
        ({"chart": "grey"}, "has no colour card"),
        ({"deletes_on": "2020-01-01"}, "day of deletion has passed"),
        ({"purposes": ["measure"]}, "did not agree to comparing this photograph"),
    ],
)
def test_a_photograph_that_no_drape_can_be_shown_on_says_why(visitor, shot, said, words):
    Photograph.objects.filter(pk=shot.pk).update(**said)
    page = ask(visitor, shot)
    assert page.status_code == 200, "nothing is asked for that cannot be shown"
    assert words in page.text
    assert "<figure>" not in page.text
    assert picture(visitor, shot, "first").status_code == 404


def test_too_little_cloth_below_the_chin_is_said(visitor, shot, monkeypatch):
    monkeypatch.setattr("tenter.photo.together.portrait._LEAST_CLOTH", 0.9)
    answer = ask(visitor, shot)
    assert answer.status_code == 422
    assert "Too little of the cloth can be seen" in answer.text


def test_without_consent_and_for_others_there_is_nothing(visitor, shot, owner, stranger, undrawn):
    assert picture(visitor, shot, "first").status_code == 200
    assert browser_of(stranger).get(f"/photographs/{shot.pk}/drapes/picture?first=D063").status_code == 404
    assert ask(browser_of(stranger), shot).status_code == 404
    consents.take_back_consent(shot.client, Purpose.COMPARE, owner)
    for answer in (ask(visitor, shot), picture(visitor, shot, "first")):
        assert answer.status_code == 409
        assert "no consent to" in answer.text.casefold()


def test_what_was_drawn_is_let_go_of_with_the_photograph(visitor, shot, undrawn):
    ask(visitor, shot)
    assert drapes_page._DRAWN._kept
    visitor.post(f"/photographs/{shot.pk}/erase")
    assert not drapes_page._DRAWN._kept
    forget_just_drawn()
