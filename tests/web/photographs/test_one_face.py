"""A client's photographs measured together on a page, given to a reading as one, and erased."""

import io
import json
import re
from dataclasses import asdict, replace
from datetime import timedelta

import numpy as np
import pytest
from PIL import Image

from tenter.colorimetry.spaces import decode_srgb, encode_srgb
from tenter.photo.together.measure import OneOfSeveral, measure_together
from tenter.web.models import MeasuredFace, Photograph, Sitting
from tenter.web.pictures import measuring, tries
from tenter.web.store import sheets, store
from tests.support.photo_studio import PORTRAITS, portrait, send, sent
from tests.web.conftest import browser_of

pytestmark = pytest.mark.usefixtures("folder")


@pytest.fixture
def address(client_row):
    return f"/people/{client_row.pk}/photographs"


@pytest.fixture
def rows(visitor, client_row):
    """One face by two cameras, in two lights."""
    return [sent(visitor, client_row, name) for name in ("p1a.jpg", "p1b.jpg")]


@pytest.fixture
def sitting(client_row):
    row = client_row.sittings.get()
    Sitting.objects.filter(pk=row.pk).update(ended=None)
    return Sitting.objects.get(pk=row.pk)


def asked(rows):
    return {"photograph": [row.pk for row in rows]}


def with_card_near_lamp():
    """The first portrait with a card that gets a third more light than the face."""
    rgb = np.array(Image.open(io.BytesIO(portrait())))
    [truth] = [i for i in json.loads((PORTRAITS / "truth.json").read_text())["images"] if i["file"] == "p1a.jpg"]
    corners = np.array(truth["card"]["corners_px"])
    (left, top), (right, bottom) = corners.min(axis=0).astype(int) - 12, corners.max(axis=0).astype(int) + 12
    light = decode_srgb(rgb / 255)
    light[top:bottom, left:right] *= 1.35
    out = io.BytesIO()
    Image.fromarray((encode_srgb(light) * 255 + 0.5).astype(np.uint8)).save(out, "JPEG", quality=97, subsampling=0)
    return out.getvalue()


def rewritten(row, change):
    """Change what is kept of a photograph's measurement."""
    result = measuring.face_result_of(row)
    document = json.loads(json.dumps(result.document))
    change(document)
    sealed = tries.sealed_document(asdict(replace(result, document=document)), f"{row.name} result")
    Photograph.objects.filter(pk=row.pk).update(result=sealed)


def ticked(page):
    return {int(pk) for pk in re.findall(r'name="photograph" value="(\d+)"[^>]* checked', page)}


# -- offered -----------------------------------------------------------------------------------------------------------


def test_two_accepted_photographs_are_offered_and_one_is_not(visitor, client_row, address):
    first = sent(visitor, client_row)
    assert "Measure together" not in visitor.get(address).text
    sent(visitor, client_row, "p2a.jpg", only=("measure", "sheet"))
    assert "Measure together" not in visitor.get(address).text, "it may not be laid beside others"
    other = sent(visitor, client_row, "p1b.jpg")
    page = visitor.get(address).text
    assert '<h2 id="one-face">Measure together</h2>' in page
    assert ticked(page) == {first.pk, other.pk}


def test_those_of_the_latest_ones_sitting_are_ticked(visitor, client_row, address, sitting):
    of_none, *of_it = (sent(visitor, client_row, sitting=pk) for pk in (None, str(sitting.pk), str(sitting.pk)))
    assert ticked(visitor.get(address).text) == {row.pk for row in of_it}
    assert f'value="{of_none.pk}"' in visitor.get(address).text
    earlier = of_none.taken_at - timedelta(days=3)
    Photograph.objects.filter(pk=of_it[0].pk).update(sitting=None, taken_at=earlier)
    Photograph.objects.filter(pk=of_it[1].pk).update(sitting=None)
    assert ticked(visitor.get(address).text) == {of_none.pk, of_it[1].pk}


def test_one_measured_by_an_earlier_version_is_to_be_measured_again(visitor, rows, address):
    rewritten(rows[1], lambda document: document.pop("for_together"))
    page = visitor.get(address).text
    assert "An earlier version of Tenter measured" in page
    assert ticked(page) == {rows[0].pk}
    visitor.post(f"/photographs/{rows[1].pk}/again", {"excluded": "[]"})
    assert ticked(visitor.get(address).text) == {row.pk for row in rows}


def test_a_second_photograph_is_advised_where_one_is_asked_for_and_shown(visitor, client_row, address):
    assert "move or turn the card between them" in visitor.get(address).text
    row = sent(visitor, client_row)
    assert "Take a second one with the card moved" in visitor.get(f"/photographs/{row.pk}").text


# -- shown -------------------------------------------------------------------------------------------------------------


def test_the_page_shows_what_they_say_together_with_one_interval(visitor, rows, address):
    page = visitor.get(f"{address}/together", asked(rows))
    assert page.status_code == 200
    one, other = (OneOfSeveral.of(measuring.face_result_of(row).face, row.name) for row in rows)
    colour = measure_together([one, other]).measured.regions["forehead"]
    assert f"{colour.lab[1]:.0f} ±\u00a0{colour.half_width_90[1]:.1f}" in page.text
    assert "✓ The photographs agree" in page.text
    assert "lightness is known to ±" in page.text
    assert "Photograph 1 ·" in page.text
    assert page.text.count("its skin compared with all of them: L*") == 2
    assert page["Cache-Control"] == "max-age=0, no-cache, no-store, must-revalidate, private"


def test_a_card_in_more_light_is_told_and_the_interval_holds_both(visitor, client_row, rows, address):
    answer = send(visitor, client_row, with_card_near_lamp())
    odd = Photograph.objects.get(pk=answer["Location"].rsplit("/", 1)[1])
    assert odd.state == "done"
    page = visitor.get(f"{address}/together", asked([*rows, odd])).text
    assert "▲ The photographs disagree" in page
    assert "Photograph 3 shows the whole face" in page
    assert "Its card got more light" in page
    assert page.count("▲ differs from the others") == 1
    two = visitor.get(f"{address}/together", asked([rows[0], odd])).context["found"].measured.regions["forehead"]
    for row in (rows[0], odd):
        lab = np.array(measuring.face_result_of(row).document["regions"]["forehead"]["lab"])
        assert (np.abs(lab - two.lab) <= two.half_width_90 + 1e-3).all()


def test_the_same_photograph_twice_is_told_to_count_once(visitor, client_row, rows, address):
    again = sent(visitor, client_row)
    page = visitor.get(f"{address}/together", asked([*rows, again])).text
    assert "left out: the same photograph again" in page


@pytest.mark.parametrize("sent_along", [{}, {"photograph": "x"}, {"photograph": ["1", "999999", "٣"]}])
def test_fewer_than_two_lead_back_with_what_to_do(visitor, rows, address, sent_along):
    answer = visitor.get(f"{address}/together", sent_along | ({"photograph": rows[0].pk} if not sent_along else {}))
    assert answer.status_code == 302
    assert "Choose two photographs or more" in visitor.get(answer["Location"]).text


# -- used and erased ---------------------------------------------------------------------------------------------------


def test_they_are_given_to_a_reading_as_one_face(visitor, rows, address, sitting):
    plain = sheets.screen_of(sitting)
    assert visitor.post(f"{address}/together/use", asked(rows) | {"sitting": sitting.pk}).status_code == 302
    kept = MeasuredFace.objects.get()
    assert kept.photograph is None
    assert kept.colours["photographs"] == [{"file": row.name, "used": True} for row in rows]
    assert set(kept.colours["regions"]["forehead"]) == {"lab", "lab_interval_90"}
    told = sheets.screen_of(sitting)
    assert told.sheet.finding == plain.sheet.finding
    said = " ".join(statement.text for statement in told.sheet.face.statements)
    assert "2 photographs, measured together, beside a card" in said
    for page in (f"/photographs/{rows[0].pk}", f"/photographs/{rows[1].pk}"):
        assert "has used this face since" in visitor.get(page).text
    assert "has used these photographs since" in visitor.get(f"{address}/together", asked(rows)).text
    visitor.post(f"/sittings/{sitting.pk}/face/leave")
    assert sheets.screen_of(sitting).sheet == plain.sheet


def test_an_erased_photograph_takes_its_part_and_what_was_given_stays(visitor, client_row, rows, address, sitting):
    third = sent(visitor, client_row, "p2a.jpg")
    visitor.post(f"{address}/together/use", asked(rows) | {"sitting": sitting.pk})
    before = MeasuredFace.objects.get().colours
    visitor.post(f"/photographs/{rows[0].pk}/erase")
    assert MeasuredFace.objects.get().colours == before
    assert "has used this face since" in visitor.get(f"/photographs/{rows[1].pk}").text
    assert "has used this face since" not in visitor.get(f"/photographs/{third.pk}").text
    left = visitor.get(f"{address}/together", asked([*rows, third]))
    assert [member.row.pk for member in left.context["members"]] == [rows[1].pk, third.pk]
    visitor.post(f"/photographs/{third.pk}/erase")
    assert visitor.get(f"{address}/together", asked(rows)).status_code == 302


def test_without_consent_for_each_they_are_not_given(visitor, client_row, rows, address, sitting):
    third = sent(visitor, client_row, "p1a.jpg", only=("measure", "compare"))
    answer = visitor.post(f"{address}/together/use", asked([*rows, third]) | {"sitting": sitting.pk})
    assert answer.status_code == 409
    assert "has not agreed" in answer.text
    assert "No consent to print" in visitor.get(f"{address}/together", asked([*rows, third])).text
    assert not MeasuredFace.objects.exists()


def test_an_ended_sitting_another_clients_and_one_photograph_take_no_face(visitor, rows, address, client_row):
    ended, other = client_row.sittings.get(), Sitting.objects.exclude(client=client_row).first()
    assert visitor.post(f"{address}/together/use", asked(rows) | {"sitting": ended.pk}).status_code == 409
    for said in (
        asked(rows) | {"sitting": other.pk},
        asked(rows) | {"sitting": "x"},
        asked(rows[:1]) | {"sitting": ended.pk},
    ):
        assert visitor.post(f"{address}/together/use", said).status_code == 404
    assert not MeasuredFace.objects.exists()


def test_what_is_hidden_from_somebody_is_not_measured_together_for_her(visitor, rows, address, stranger, client_row):
    strange = browser_of(stranger)
    assert strange.get(f"{address}/together", asked(rows)).status_code == 404
    assert strange.post(f"{address}/together/use", asked(rows) | {"sitting": "1"}).status_code == 404
    first = client_row.sittings.get()
    Photograph.objects.filter(pk=rows[0].pk).update(sitting=first)
    client_row.accesses.create(user=stranger)
    store.start_sitting(client_row, stranger, first.kit, blind_to=first)
    assert browser_of(stranger).get(f"{address}/together", asked(rows)).status_code == 302
