"""A suspected shadow on the card is drawn on the photograph; a consultant who sees none has it measured anyway."""

from dataclasses import asdict
from pathlib import Path

import pytest

from tenter.web.models import Client, ClothPhotograph, Photograph
from tenter.web.pictures import measuring, tries
from tests.support import cloth_studio
from tests.support.photo_studio import portrait, send, shaded

pytestmark = [pytest.mark.usefixtures("folder"), pytest.mark.one_database]

REAL = Path(__file__).parents[2] / "data" / "real_chart_photos"
BUTTON = "The card is evenly lit: measure it"


def put_in(visitor, content, name="portrait.png"):
    answer = send(visitor, Client.objects.get(name="Ilse Varnholt"), content, name)
    assert answer.status_code == 302, dict(answer.context["form"].errors)
    return Photograph.objects.get(pk=answer["Location"].rsplit("/", 1)[1])


def press(visitor, row, **said):
    visitor.post(f"/photographs/{row.pk}/again", {"excluded": "[]", **said})
    row.refresh_from_db()


def codes(row):
    return {reason["code"] for reason in measuring.face_result_of(row).document["reasons"]}


def page_of(visitor, row):
    return visitor.get(f"/photographs/{row.pk}").text


def test_a_shadow_is_drawn_overruled_and_taken_back(visitor):
    row = put_in(visitor, shaded())
    assert row.state == "refused"
    page = page_of(visitor, row)
    assert '<polyline class="edge"' in page
    assert ">suspected shadow</text>" in page
    assert BUTTON in page
    press(visitor, row, light="even")
    assert row.state == "done", codes(row)
    assert "card_called_even" in codes(row)
    page = page_of(visitor, row)
    assert BUTTON not in page
    assert "Take that back" in page
    assert ">called evenly lit</text>" in page
    press(visitor, row, evenly_lit="on", drop="lips")
    assert row.state == "done", "another correction leaves what was said of the card"
    press(visitor, row, evenly_lit="on", light="uneven")
    assert row.state == "refused"
    assert BUTTON in page_of(visitor, row)


def test_what_was_said_before_there_was_the_button_is_still_read(visitor):
    row = put_in(visitor, portrait(), "portrait.jpg")
    kept = {name: said for name, said in asdict(measuring.Corrections()).items() if name != "evenly_lit"}
    assert measuring.corrections_from(kept) == measuring.Corrections()
    result = tries.result_of(row)
    del result["picture"]["edges"], result["corrections"]["evenly_lit"]
    Photograph.objects.filter(pk=row.pk).update(result=tries.sealed_document(result, f"{row.name} result"))
    assert "✓ Measured" in page_of(visitor, row)


def test_an_even_card_is_asked_nothing(visitor):
    page = page_of(visitor, put_in(visitor, portrait(), "portrait.jpg"))
    assert BUTTON not in page
    assert 'class="edge' not in page


@pytest.mark.parametrize(
    ("name", "code"), [("printed-1.jpg", "card_other"), ("cabinet-3.jpg", "chart_cut")], ids=["a print", "cut"]
)
def test_a_card_that_is_another_or_cut_is_called_even_in_vain(visitor, name, code):
    row = put_in(visitor, (REAL / name).read_bytes(), name)
    assert BUTTON not in page_of(visitor, row)
    press(visitor, row, light="even")
    assert row.state == "refused"
    assert code in codes(row)
    assert measuring.face_result_of(row).document["regions"]["forehead"]["lab"] is None


def test_beside_another_reason_there_is_no_button():
    codes = ["chart_covered", "uneven_light", "chosen"]
    assert measuring.only_covered(codes)
    for code in ("card_other", "chart_cut", "blurred"):
        assert not measuring.only_covered([*codes, code])


def test_a_shadow_beside_cloths_is_overruled_and_taken_back(visitor):
    row = cloth_studio.sent(visitor, cloth_studio.shaded_rack_picture())
    address = f"/kit/cloths/{row.pk}"
    page = visitor.get(address).text
    assert row.state == "refused"
    assert ">suspected shadow</text>" in page
    assert BUTTON in page
    laid_out = {"shows": "rack", "rows": row.rows, "columns": row.columns, "outline": "[]"}

    def press_again(**said):
        visitor.post(f"{address}/again", laid_out | said)
        return ClothPhotograph.objects.get(pk=row.pk).state

    assert press_again(light="even") == "done"
    page = visitor.get(address).text
    assert "Take that back" in page
    assert '<input type="hidden" name="evenly_lit"' in page
    assert press_again(evenly_lit="on") == "done"
    assert press_again(evenly_lit="on", light="uneven") == "refused"
