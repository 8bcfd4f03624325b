"""The studio's own room: measured by photographs in the browser, taken from a file, used from then on, and refused."""

import json
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from tenter import TenterError
from tenter.colorimetry.measurement import D65_10
from tenter.consultation.cloths.reflection_factors import default_factors
from tenter.consultation.reflected.effect import ThrowingSurface
from tenter.consultation.reflected.room import measure_room, room_photographs
from tenter.numerals import number
from tenter.photo.series.measure import measure_series
from tenter.web.models import KeptRoom, KitRecord, PhotoSeries
from tenter.web.pictures import series_measuring
from tenter.web.rules import consents
from tenter.web.store import kept_rooms
from tenter.web.store.asked_surface import may_measure_room
from tests.support.photo_studio import day_ahead
from tests.web.conftest import browser_of

SERIES = Path(__file__).parents[2] / "data" / "series"
NAMES = ("a1.jpg", "b2.jpg", "a3.jpg", "b4.jpg")  # black, white, black, white
BLACK, WHITE = "18,0,0", "94,0,0"
TRUE_FACTORS = {"chin": 0.050, "jaw_left": 0.169, "jaw_right": 0.079, "cheek_left": 0.019, "cheek_right": 0.009}
# A room of its own: the chin gets a third of a white cloth's light, the rest next to nothing.
ROOM = {
    "cloths": ["white", "black"],
    "regions": {
        "chin": {"factor": 0.3, "factor_range": [0.28, 0.32], "sheen": 0.0},
        "forehead": {"factor": 0.001, "factor_range": [0.0, 0.002], "sheen": 0.0},
    },
}


@pytest.fixture
def kit(owner):
    return KitRecord.objects.get(owner=owner)


@pytest.fixture(scope="module")
def measured():
    """The public JSON of the series, measured once."""
    return measure_series([SERIES / name for name in NAMES], "ABAB").to_json()


def ask(visitor, kit, client, names=NAMES, **said):
    fields = {"cloth_a": BLACK, "cloth_b": WHITE, "pattern": "ABAB", "chart": "classic24", "deletes_on": day_ahead()}
    files = [SimpleUploadedFile(f"{k}.jpg", (SERIES / name).read_bytes(), "image/jpeg") for k, name in enumerate(names)]
    return visitor.post(f"/kit/{kit.pk}/room/photographs?client={client.pk}", fields | said | {"files": files})


@pytest.fixture
def taken(visitor, kit, client_row, folder):
    answer = ask(visitor, kit, client_row)
    assert answer.status_code == 302, dict(answer.context["form"].errors)
    return answer["Location"]


def series_row(kit, client, document, **said):
    """A series that was measured, without its photographs."""
    fields = {"cloth_a": BLACK, "cloth_b": WHITE, "pattern": "ABAB", "chart": "classic24", "state": "done"} | said
    row = PhotoSeries.objects.create(client=client, by=kit.owner, **fields)
    row.result = series_measuring.tries.sealed_document({"document": document}, f"{row.name} result")
    row.save()
    return f"/kit/{kit.pk}/room/measured?series={row.pk}"


# -- measured by photographs -------------------------------------------------------------------------------------------


def test_four_photographs_measure_the_room_and_it_is_used_from_then_on(visitor, kit, taken, measured):
    page = visitor.get(taken)
    black, white = (ThrowingSurface.of_lab(n, [float(v) for v in n.split(",")], D65_10) for n in (BLACK, WHITE))
    room = measure_room(room_photographs(measured), black, white)
    for region, true in TRUE_FACTORS.items():
        found = room.measured[region]
        assert found.low <= true <= found.high
        said = f"{number(100 * found.low)} to {number(100 * found.high)}"
        assert said in page.text, region
    assert "default" in page.text
    assert "tenter reflect" not in page.text
    assert "Use this room from now on" in page.text
    number_of = taken.split("=")[1]
    for _ in range(2):
        assert visitor.post(f"/kit/{kit.pk}/room/use", {"series": number_of})["Location"] == f"/kit/{kit.pk}/room"
    row = KeptRoom.objects.get()
    assert kept_rooms.factors_in(row)["chin"].value == pytest.approx(room.factors["chin"].value, abs=1e-4)
    assert "Used since" in visitor.get(taken).text
    used = visitor.get(f"/kit/{kit.pk}/room").text
    assert f"with {BLACK} and {WHITE}" in used
    assert f"/kit/{kit.pk}/room/measured?series={number_of}" in visitor.get(f"/series/{number_of}").text
    saved = visitor.get(f"/kit/{kit.pk}/room/room.json")
    assert "attachment" in saved["Content-Disposition"]
    assert json.loads(saved.content) == row.document


def test_where_the_interval_holds_the_default_the_page_says_that_it_stays(visitor, kit, client_row, folder, measured):
    page = visitor.get(series_row(kit, client_row, measured))
    rows = {place.name: place for place in page.context["places"]}
    assert (rows["right jaw"].whose, rows["right jaw"].used) == ("default", "8.0")
    assert rows["forehead"].measured == ""
    other = {name: [[y * (1.3 if k % 2 else 1) for y in xyz] for k, xyz in enumerate(frames)]
             for name, frames in measured["for_room"]["xyz"].items() if name == "chin"}  # fmt: skip
    changed = {**measured, "for_room": measured["for_room"] | {"xyz": measured["for_room"]["xyz"] | other}}
    page = visitor.get(series_row(kit, client_row, changed))
    assert "Chin: your room differs from the default" in page.text
    assert "Chin: more light than by default, " in page.text
    assert "in place of 4.5 %" in page.text


def test_a_series_of_two_colours_offers_no_room(visitor, kit, client_row, folder, measured):
    address = series_row(kit, client_row, measured, cloth_a="D063", cloth_b="D064")
    assert "Use a white and a black" in visitor.get(address).text
    kit_record, row = KitRecord.objects.get(pk=kit.pk), PhotoSeries.objects.get()
    assert not may_measure_room(kit_record, row)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"cloth_a": WHITE, "cloth_b": BLACK}, "The two drapes are mixed up"),
        ({"pattern": "ABBA"}, "Photographs 3 and 4 show the other drape"),
        ({"chart": "none"}, "without a card"),
        ({"cloth_a": "X9"}, "X9"),
    ],
)
def test_photographs_that_measure_no_room_are_refused_in_words(visitor, kit, client_row, folder, measured, said, words):
    document = {**measured, "pattern": said.get("pattern", "ABAB")}
    address = series_row(kit, client_row, document, **said)
    page = visitor.get(address)
    assert words in page.text
    assert "Use this room" not in page.text
    assert visitor.post(f"/kit/{kit.pk}/room/use", {"series": address.split("=")[1]})["Location"] == address
    assert not KeptRoom.objects.exists()


@pytest.mark.parametrize(
    ("names", "said", "field", "words"),
    [
        (("a1.jpg", "b2.jpg", "a1.jpg", "b4.jpg"), {}, "files", "2.jpg and 0.jpg are the same photograph"),
        (NAMES, {"cloth_b": BLACK}, "cloth_b", "Use a white and a black"),
        (NAMES, {"cloth_b": "60,0,0", "cloth_a": "50,0,0"}, "cloth_b", "Use a white and a black"),
        (NAMES, {"cloth_a": "X9"}, "cloth_a", "X9"),
        (NAMES, {"pattern": "AAAA"}, "pattern", "two photographs of each"),
        (NAMES, {"chart": "none"}, "chart", "valid choice"),
    ],
)
def test_what_can_measure_no_room_is_refused_before_anything_is_kept(
    visitor, kit, client_row, folder, names, said, field, words
):
    answer = ask(visitor, kit, client_row, names, **said)
    assert answer.status_code == 422
    assert any(words in one for one in answer.context["form"].errors[field])
    assert not PhotoSeries.objects.exists()


def test_without_consent_nothing_is_taken_in(visitor, kit, client_row, owner, folder):
    consents.take_back_consent(client_row, consents.Purpose.COMPARE, owner)
    answer = ask(visitor, kit, client_row)
    assert answer.status_code == 409
    assert "no consent" in answer.text.casefold()
    assert not PhotoSeries.objects.exists()


def test_anothers_client_and_series_do_not_exist(visitor, kit, client_row, folder, measured, stranger):
    address = series_row(kit, client_row, measured)
    assert browser_of(stranger).get(address).status_code == 404
    assert visitor.get(f"/kit/{kit.pk}/room/photographs?client=999999").status_code == 404
    assert visitor.get(f"/kit/{kit.pk}/room/measured?series=999999").status_code == 404


# -- from a file -------------------------------------------------------------------------------------------------------


def send(browser, kit, document, key="k1"):
    text = document if isinstance(document, str) else json.dumps(document)
    return browser.post(
        f"/kit/{kit.pk}/room/file",
        {"room-file": SimpleUploadedFile("room.json", text.encode()), "room-key": key},
    )


def asked(browser, kit, **said):
    return browser.get(f"/kit/{kit.pk}/effect", {"surface": "D001", "skin": "light"} | said)


def test_the_studios_own_room_is_used_from_then_on(visitor, kit, owner, stranger):
    assert send(visitor, kit, ROOM)["Location"] == f"/kit/{kit.pk}/room"
    send(visitor, kit, ROOM)
    row = KeptRoom.objects.get()
    assert (row.owner, kept_rooms.factors_in(row)["chin"].value) == (owner, 0.3)
    page = asked(visitor, kit).text
    assert "<strong>Chin.</strong>" in page
    assert "Too small to see: forehead." in page
    assert "was measured in your room" in page
    usual = asked(visitor, kit, usual_room="on").text
    assert "jaw" in usual
    assert "was measured in your room" not in usual
    assert send(browser_of(stranger), kit, ROOM).status_code == 404


@pytest.mark.parametrize(
    ("document", "words"),
    [
        ("{", "not JSON"),
        ({}, "not a measured room"),
        ({"regions": {"chin": {"factor": 9, "factor_range": [0, 9], "sheen": 0}}}, "not a measured room"),
        ({"regions": {"ear": ROOM["regions"]["chin"]}}, "names no place of the face"),
        ("", "empty"),
    ],
)
def test_a_file_that_is_no_room_is_refused_and_nothing_is_kept(visitor, kit, document, words):
    answer = send(visitor, kit, document)
    assert answer.status_code == 422
    assert words.casefold() in answer.text.casefold()
    assert not KeptRoom.objects.exists()


def test_a_row_that_is_no_room_is_refused(owner):
    kept_rooms.check_room_rows([kept_rooms.keep_room(owner, owner, kept_rooms.room_document(default_factors()), "one")])
    chin = ROOM["regions"]["chin"]
    for said in (3, chin | {"measured": 3}, chin | {"measured": {"estimate": "x", "interval_90": [0, 1]}}):
        with pytest.raises(TenterError):
            kept_rooms.check_room_rows([KeptRoom(document={"regions": {"chin": said}})])
