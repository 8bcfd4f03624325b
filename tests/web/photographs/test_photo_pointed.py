"""A grey card or a paper that is not found by itself is pointed at on the page, and the photograph measured by it."""

import io

import numpy as np
import pytest
from PIL import Image

from tenter.photo.cards import CardChoice, ChartKind
from tenter.photo.face.measure import measure_face
from tenter.photo.files.loading import photo_from_bytes
from tenter.web.models import Client, Photograph
from tenter.web.pictures import measuring
from tests.support.photo_studio import AT_THE_BORDER, SEVERAL, beside_greys, portrait, send
from tests.web.conftest import browser_of

pytestmark = [pytest.mark.usefixtures("folder"), pytest.mark.one_database]

BOX = {"left": "470", "top": "300", "width": "80", "height": "120"}


def put_in(visitor, content, chart="grey"):
    answer = send(visitor, Client.objects.get(name="Ilse Varnholt"), content, chart=chart, values="")
    assert answer.status_code == 302, dict(answer.context["form"].errors)
    return Photograph.objects.get(pk=answer["Location"].rsplit("/", 1)[1])


def codes(row):
    return {reason["code"] for reason in measuring.face_result_of(row).document["reasons"]}


@pytest.mark.parametrize(
    ("greys", "code"), [(AT_THE_BORDER, "neutral_not_found"), (SEVERAL, "neutral_several")], ids=["none", "several"]
)
def test_what_was_not_found_is_pointed_at_and_measured_by(visitor, greys, code):
    row = put_in(visitor, beside_greys(*greys))
    assert row.state == "refused"
    assert code in codes(row)
    page = visitor.get(f"/photographs/{row.pk}").text
    assert "Show the place: grey card" in page
    left, top, right, bottom = greys[-1]
    box = {"left": left + 15, "top": top + 15, "width": right - left - 60, "height": bottom - top - 30}
    visitor.post(f"/photographs/{row.pk}/again", {"excluded": "[]", **box})
    row.refresh_from_db()
    assert row.state == "done", codes(row)
    found = measuring.face_result_of(row)
    at = tuple(float(number) for number in box.values())
    truth = measure_face(photo_from_bytes(beside_greys(*greys), "p"), CardChoice(ChartKind.GREY, at_px=at))
    assert found.document["regions"]["forehead"] == truth.to_json()["regions"]["forehead"]
    assert found.document["chart"]["method"] == "grey by its place"
    page = visitor.get(f"/photographs/{row.pk}").text
    assert "The place: grey card" in page
    assert f'value="{box["width"]}"' in page
    visitor.post(f"/photographs/{row.pk}/again", {"excluded": "[]", "left": "", "top": "", "width": "", "height": ""})
    row.refresh_from_db()
    assert code in codes(row), "without a place it is searched for again"


def test_a_place_with_nothing_to_read_is_refused_plainly(visitor):
    row = put_in(visitor, beside_greys(*SEVERAL), "paper")
    visitor.post(f"/photographs/{row.pk}/again", BOX | {"left": "90000"})
    row.refresh_from_db()
    assert row.state == "refused"
    assert (
        "Nothing can be read where the sheet of white paper was said to be"
        in visitor.get(f"/photographs/{row.pk}").text
    )


@pytest.mark.parametrize(
    ("box", "said"),
    [
        (BOX | {"height": ""}, "all four numbers"),
        (BOX | {"width": "3"}, "Width: "),
        (BOX | {"left": "-1"}, "From the left: "),
        (BOX | {"top": "nan"}, "From the top: "),
        (BOX | {"top": "1e9"}, "From the top: "),
    ],
)
def test_a_place_that_is_none_is_refused_and_nothing_is_measured(visitor, box, said):
    row = put_in(visitor, beside_greys(*SEVERAL))
    answer = visitor.post(f"/photographs/{row.pk}/again", box)
    assert answer.status_code == 422
    assert said in answer.text
    row.refresh_from_db()
    assert row.turn == 1


def test_only_a_grey_and_a_paper_are_pointed_at(visitor):
    row = put_in(visitor, portrait(), "classic24")
    assert "The place:" not in visitor.get(f"/photographs/{row.pk}").text
    visitor.post(f"/photographs/{row.pk}/again", BOX)
    row.refresh_from_db()
    assert row.state == "done", "a place says nothing of the 24-patch card"


def test_the_numbers_are_pixels_of_the_photograph_as_it_came(visitor):
    large = Image.open(io.BytesIO(beside_greys(*SEVERAL))).resize((2560, 3200))
    out = io.BytesIO()
    large.save(out, "JPEG", quality=90)
    row = put_in(visitor, out.getvalue())
    page = visitor.get(f"/photographs/{row.pk}").text
    assert "2560 wide and 3200 high" in page
    assert 'data-reduction="1.33' in page
    box = {"left": 1900, "top": 1740, "width": 360, "height": 440}
    visitor.post(f"/photographs/{row.pk}/again", box)
    row.refresh_from_db()
    assert row.state == "done", codes(row)
    corners = np.array(measuring.face_result_of(row).document["chart"]["corners_px"])
    assert corners.min(axis=0) == pytest.approx([1900, 1740], abs=1)


# -- the part that is shown --------------------------------------------------------------------------------------------


def test_the_page_shows_head_and_card_and_leads_to_the_whole(visitor):
    row = put_in(visitor, portrait(), "classic24")
    part = visitor.get(f"/photographs/{row.pk}/part")
    assert (part["Content-Type"], part["Cache-Control"]) == ("image/jpeg", "no-store")
    left, top, across, down = visitor.get(f"/photographs/{row.pk}").context["part"]
    shown, whole = Image.open(io.BytesIO(part.content)), Image.open(io.BytesIO(portrait()))
    assert shown.size == (across, down)
    assert across * down < 0.7 * whole.width * whole.height
    cut = np.asarray(whole.convert("RGB"), dtype=float)[top : top + down, left : left + across]
    assert np.abs(np.asarray(shown, dtype=float) - cut).mean() < 3
    assert f"/photographs/{row.pk}/part" in visitor.get(f"/photographs/{row.pk}").text
    page = visitor.get(f"/photographs/{row.pk}?whole")
    assert list(page.context["part"]) == [0, 0, whole.width, whole.height]
    assert f"/photographs/{row.pk}/picture" in page.text


def test_of_a_refused_photograph_all_is_shown(visitor):
    row = put_in(visitor, beside_greys(*SEVERAL))
    page = visitor.get(f"/photographs/{row.pk}")
    assert list(page.context["part"]) == [0, 0, 640, 800]
    assert "The whole photograph" not in page.text
    assert "Head and card only" not in page.text


def test_to_a_stranger_there_is_no_part(visitor, stranger):
    row = put_in(visitor, portrait(), "classic24")
    assert browser_of(stranger).get(f"/photographs/{row.pk}/part").status_code == 404
