"""Cloths from a photograph to a kit: found, numbered, shown against the kit, and put into a new one that holds."""

import hashlib
import io
import re
from datetime import timedelta
from importlib.resources import files

import numpy as np
import pytest
from django.utils import timezone
from PIL import Image

from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_2, D65_10, Colours
from tenter.consultation.cloths.photographed import is_photographed
from tenter.consultation.readings.cloth_reading import ClothReading, ReadingCircumstances
from tenter.consultation.readings.wash_log import Wash
from tenter.web.backups.backup import write_backup
from tenter.web.backups.restore import restore
from tenter.web.models import Associate, AuditEntry, ClothPhotograph, KitRecord, Photograph, SetAsideReading
from tenter.web.pictures import cloth_measuring, pictures, queue
from tenter.web.pictures import upload_limit as limits
from tenter.web.sealing import passphrase, photo_keys
from tenter.web.sealing.passphrase import Passphrase
from tenter.web.store import kept_readings, store
from tenter.web.sweeping import photo_sweep
from tests.support.cloth_studio import EMPTY, PLACES, print_picture, rack_picture, send, sent, truth
from tests.support.photo_studio import portrait
from tests.web.conftest import browser_of

pytestmark = pytest.mark.usefixtures("folder")

READ = [place for place in PLACES if place != EMPTY]
CORNERS = [[845, 620], [380, 60], [380, 620], [845, 60]]  # of the rack, in no order


_read = {}


@pytest.fixture(autouse=True)
def read_once(monkeypatch):
    """The same picture, asked the same, is read but once for all these tests."""

    def once(reader):
        def read(photo, *asked, **said):
            key = (hashlib.sha256(photo.rgb.tobytes()).digest(), reader, repr((asked, said)))
            if key not in _read:
                _read[key] = reader(photo, *asked, **said)
            return _read[key]

        return read

    for name in ("measure_rack", "measure_cloth"):
        monkeypatch.setattr(cloth_measuring, name, once(getattr(cloth_measuring, name)))


@pytest.fixture
def owner(person):
    """An owner with a kit, and nobody to sit with."""
    user = person("Wenna Castrall")
    csv = (files("tenter.demo_studio") / "drapes.csv").read_text(encoding="utf-8")
    store.add_kit(user, "Demo kit", csv)
    return user


@pytest.fixture
def row(visitor):
    return sent(visitor)


def page_of(visitor, row):
    return visitor.get(f"/kit/cloths/{row.pk}")


def numbered(visitor, row, **numbers):
    """Keep numbers and return the page that shows what would change."""
    answer = visitor.post(f"/kit/cloths/{row.pk}/numbers", numbers)
    assert answer.status_code == 302, answer.context["numbers_form"].errors
    return visitor.get(answer["Location"])


def made(visitor, row, page, name="New kit"):
    said = page.context["form"].initial
    base = said["kit"].pk if said["kit"] else ""
    return visitor.post(f"/kit/cloths/{row.pk}/kit", {"kit": base, "name": name, "seen": said["seen"]})


# -- from upload to page -----------------------------------------------------------------------------------------------


def test_a_rack_is_measured_and_the_truth_lies_in_the_intervals(visitor, row):
    assert (row.state, row.progress, row.problem) == ("done", 100, "")
    cells = cloth_measuring.cloth_result_of(row).document["cells"]
    found = {f"r{cell['row']}c{cell['column']}": cell["cloth"] for cell in cells if cell["cloth"]}
    assert sorted(found) == READ
    for place, cloth in found.items():
        low, high = np.array(cloth["lab_interval_90"]).T
        assert ((truth(place) >= low) & (truth(place) <= high)).all(), place
        assert delta_e_2000(np.array(cloth["lab"]), truth(place)) < 3


def test_its_page_shows_each_cloth_outlined_numbered_and_with_its_interval(visitor, row):
    page = page_of(visitor, row)
    assert [place["number"] for place in page.context["read"]] == ["D001", "D002", "D003", "D004", "D006"]
    value, half = page.context["read"][0]["colour"]["values"][0].split(" ±\u00a0")
    assert float(value) == pytest.approx(truth("r1c1")[0], abs=float(half) + 0.5)
    drawn = dict(re.findall(r'<g data-place="(\w+)">.*?<text[^>]*>(\w*)</text></g>', page.text))
    assert drawn == {
        "r1c1": "D001", "r1c2": "D002", "r1c3": "D003", "r2c1": "D004", "r2c2": "", "r2c3": "D006"
    }  # fmt: skip
    assert "Row 2, column 2</strong> · empty" in page.text
    assert " style=" not in page.text
    assert page["Cache-Control"] == "max-age=0, no-cache, no-store, must-revalidate, private"


def test_the_picture_is_shown_and_everything_is_sealed(visitor, row, folder):
    for address in ("picture", "small"):
        answer = visitor.get(f"/kit/cloths/{row.pk}/{address}")
        assert (answer.status_code, answer["Content-Type"], answer["Cache-Control"]) == (200, "image/jpeg", "no-store")
    (file,) = (folder / "photographs").iterdir()
    assert file.name == row.name
    assert b"JFIF" not in file.read_bytes()
    assert b"cells" not in bytes.fromhex(row.result)
    assert AuditEntry.objects.filter(action="photograph added", subject=f"clothphotograph {row.pk}").exists()


def test_how_far_it_is_is_told(visitor, row):
    assert visitor.get(f"/kit/cloths/{row.pk}/state").json() == {"state": "done", "progress": 100, "waits": False}
    ClothPhotograph.objects.update(state="measuring", progress=20)
    assert f'data-waits="/kit/cloths/{row.pk}/state"' in page_of(visitor, row).text
    assert visitor.post(f"/kit/cloths/{row.pk}/numbers", {"r1c1": "A"}).status_code == 404
    assert visitor.get(f"/kit/cloths/{row.pk}/kit")["Location"] == f"/kit/cloths/{row.pk}"
    assert queue.put_all_in_line() == 1
    row.refresh_from_db()
    assert (row.state, row.turn) == ("done", 2)


def test_one_cloth_has_its_colour_its_interval_and_its_spread(visitor):
    row = sent(visitor, shows="cloth", rows=None, columns=None, first="G7")
    page = page_of(visitor, row)
    assert (row.rows, row.columns, row.numbers) == (1, 1, {"r1c1": "G7"})
    assert len(page.context["read"]) == 1
    assert "L*, a* and b* spread by" in page.text
    assert "If that is not the cloth, draw around it on the photograph." in page.text
    change = numbered(visitor, row, r1c1="G7").context["told"].changes[0]
    assert (change.id, change.delta_e) == ("G7", "new")


def test_a_print_has_its_palette_and_goes_into_no_kit(visitor):
    row = sent(visitor, print_picture(), shows="print", rows=None, columns=None, first="")
    assert "draw around it" in page_of(visitor, row).text
    outline = [[425, 65], [795, 65], [795, 615], [425, 615]]
    visitor.post(f"/kit/cloths/{row.pk}/again", {"shows": "print", "outline": str(outline)})
    page = page_of(visitor, row)
    palette = page.context["shown"]["palette"]
    areas = sorted(float(colour["area"].rstrip("%")) for colour in palette)
    assert areas == pytest.approx([30, 70], abs=5)
    document = cloth_measuring.cloth_result_of(ClothPhotograph.objects.get()).document
    for colour, place in zip(document["palette"], ("r1c1", "r2c3"), strict=True):
        low, high = np.array(colour["lab_interval_90"]).T
        assert ((truth(place) >= low) & (truth(place) <= high)).all()
    assert visitor.post(f"/kit/cloths/{row.pk}/numbers", {"r1c1": "A"}).status_code == 404


# -- numbers -----------------------------------------------------------------------------------------------------------


def test_numbers_are_changed_and_a_cloth_without_one_is_left_out(visitor, row):
    page = numbered(visitor, row, r1c1="D001", r1c2=" E7 ", r1c3="", r2c1="D004", r2c2="D005", r2c3="")
    assert [change.id for change in page.context["told"].changes] == ["D001", "E7", "D004"]
    row.refresh_from_db()
    assert row.numbers == {"r1c1": "D001", "r1c2": "E7", "r2c1": "D004"}
    drawn = page_of(visitor, row).text
    assert re.search(r'<g data-place="r1c3"><title>[^<]*</title><polygon class="outline unread halo"', drawn)


@pytest.mark.parametrize(
    ("numbers", "said"),
    [
        ({"r1c1": "D001", "r1c2": "D001"}, "D001 is already used for another cloth"),
        ({"r1c1": "D 1"}, "cannot be a cloth"),
        ({"r1c1": ""}, "Give at least one cloth a number"),
    ],
)
def test_numbers_that_cannot_be_are_said_beside_the_cloth_and_stay_as_typed(visitor, row, numbers, said):
    answer = visitor.post(f"/kit/cloths/{row.pk}/numbers", numbers)
    assert answer.status_code == 422
    assert said in answer.text
    assert answer.context["read"][0]["number"] == numbers["r1c1"]
    row.refresh_from_db()
    assert row.numbers["r1c2"] == "D002"


@pytest.mark.parametrize(
    ("order", "skip", "expected"),
    [
        ("rows", False, ["A8", "A9", "A10", "A11", "A13"]),
        ("columns", False, ["A8", "A10", "A12", "A9", "A13"]),
        ("snake", False, ["A8", "A9", "A10", "A13", "A11"]),
        ("snake", True, ["A8", "A9", "A10", "A12", "A11"]),
    ],
)
def test_numbers_are_counted_anew_in_each_order(visitor, row, order, skip, expected):
    said = {"first": "A8", "order": order} | ({"skip": "on"} if skip else {})
    assert visitor.post(f"/kit/cloths/{row.pk}/count", said).status_code == 302
    assert [place["number"] for place in page_of(visitor, row).context["read"]] == expected


def test_a_first_number_without_a_number_is_refused(visitor, row):
    answer = visitor.post(f"/kit/cloths/{row.pk}/count", {"first": "cloth", "order": "rows"})
    assert (answer.status_code, "no number to count on from" in answer.text) == (422, True)
    refused = send(visitor, rack_picture(), first="cloth")
    assert (refused.status_code, "no number to count on from" in refused.text) == (422, True)


# -- into a kit --------------------------------------------------------------------------------------------------------


def test_a_new_kit_is_made_and_what_changed_is_shown_before(visitor, row, owner):
    old = KitRecord.objects.get()
    before = store.kit_of(old)
    page = numbered(visitor, row, r1c1="D001", r1c2="E7")
    first, new = page.context["told"].changes
    assert (page.context["base"], new.delta_e, first.name) == (old, "new", "Orchard Peach")
    assert page.context["told"].summary.endswith("1 cloth added; 95 cloths as before.")
    answer = made(visitor, row, page)
    assert answer.status_code == 302
    record = KitRecord.objects.exclude(pk=old.pk).get()
    assert (answer["Location"], record.owner, record.name) == (f"/kit/{record.pk}", owner, "New kit")
    after = store.kit_of(record)
    assert after.ids == (*before.ids, "E7")
    assert after.lab[1:-1].tolist() == before.lab[1:].tolist()
    delta = float(delta_e_2000(before.lab[0], after.lab[0]))
    assert first.delta_e == f"{delta:.1f}"
    for name, place in (("D001", "r1c1"), ("E7", "r1c2")):
        assert is_photographed(after[name])
        halves = [float(half) for half in re.findall(r"\d+\.\d", after[name].notes)[:3]]
        true = Colours(truth(place), D65_2).under(D65_10).lab
        assert (np.abs(after.lab[after.row(name)] - true) <= halves).all()
    old.refresh_from_db()
    assert store.kit_of(old).ids == before.ids
    row.refresh_from_db()
    assert row.kit == record
    assert AuditEntry.objects.first().action == "kit added"
    shown = visitor.get(answer["Location"], follow=True).text
    assert "1 cloth added; 95 cloths as before" in shown
    assert "2 cloths" in shown
    assert "measured from photographs" in shown


def test_a_new_kit_keeps_the_readings_of_the_old_one_and_those_of_the_photograph(visitor, row, owner):
    old = KitRecord.objects.get()
    day = ReadingCircumstances(day="2026-01-31", instrument="a meter")
    for cloth in ("D002", "D003"):
        one = ClothReading(cloth=cloth, lab=(50, 0, 0), conditions=D65_10, how=day)
        kept_readings.keep_readings(old, owner, [one], cloth)
    SetAsideReading.objects.create(reading=old.readings.get(cloth="D003"), by=owner)
    kept_readings.keep_wash(old, owner, Wash("D002", "2026-02-01", "by hand"), "w")
    made(visitor, row, numbered(visitor, row, r1c1="D001", r1c2="D002"))
    new = KitRecord.objects.exclude(pk=old.pk).get()
    book = kept_readings.book_of(new)
    said = [(one.cloth, one.day, str(one.given_as)) for one in book.readings]
    today = timezone.localdate().isoformat()
    assert said == [("D002", "2026-01-31", "Lab"), ("D001", today, "photograph"), ("D002", today, "photograph")]
    assert (book.readings[1].conditions, book.washes[0].kind) == (D65_2, "by hand")
    assert min(book.readings[1].half_width_90) > 0
    held, kit = kept_readings.kit_today(new), store.kit_of(new)
    assert set(held.taken) == {"D001", "D002"}
    assert np.abs(held.kit.lab - kit.lab).max() < 0.06  # the kit's table has one decimal
    assert old.readings.count() == 2
    assert "photograph; part of the change" in visitor.get(f"/kit/{new.pk}/cloth?cloth=D002").text


def test_pressed_twice_it_is_one_kit(visitor, row):
    page = numbered(visitor, row, r1c1="D001")
    assert made(visitor, row, page)["Location"] == made(visitor, row, page)["Location"]
    assert KitRecord.objects.count() == 2


def test_what_was_not_looked_at_is_not_put_into_a_kit(visitor, row):
    page = numbered(visitor, row, r1c1="D001")
    numbered(visitor, row, r1c1="D002")
    answer = made(visitor, row, page)
    assert answer.status_code == 409
    assert "changed meanwhile" in answer.text
    assert answer.context["told"].changes[0].id == "D002"
    assert KitRecord.objects.count() == 1


def test_a_kit_needs_a_name(visitor, row):
    assert made(visitor, row, numbered(visitor, row, r1c1="D001"), name=" ").status_code == 422
    assert KitRecord.objects.count() == 1


def test_without_a_kit_the_cloths_become_one_of_their_own(stranger):
    visitor = browser_of(stranger)
    assert visitor.get("/kit/cloths").context["form"].initial["first"] == "D001"
    row = sent(visitor)
    page = numbered(visitor, row, **{place["key"]: place["number"] for place in page_of(visitor, row).context["read"]})
    assert made(visitor, row, page).status_code == 302
    kit = store.kit_of(KitRecord.objects.get(owner=stranger))
    assert kit.ids == ("D001", "D002", "D003", "D004", "D006")
    assert kit.colours.conditions == D65_10


def test_a_kit_of_these_cloths_alone_can_be_asked_for_and_anothers_cannot(visitor, row, stranger):
    foreign = store.add_kit(stranger, "Foreign", "id,name,L,a,b,illuminant,observer\nX,x,50,0,0,D65,10\n")
    address = numbered(visitor, row, r1c1="D001").request["PATH_INFO"]
    assert visitor.get(address, {"kit": ""}).context["told"].summary == "1 cloth added; no other cloth."
    for said in (str(foreign.pk), "x", "9" * 40):
        assert visitor.get(address, {"kit": said}).status_code == 404
        assert visitor.post(address, {"kit": said, "name": "N", "seen": "0"}).status_code == 404


def test_an_associate_measures_for_the_studio_she_works_in(owner, stranger, row):
    Associate.objects.create(owner=owner, user=stranger)
    visitor = browser_of(stranger)
    assert page_of(visitor, row).status_code == 200
    answer = made(visitor, row, numbered(visitor, row, r1c1="D001"))
    assert KitRecord.objects.get(pk=answer["Location"].rsplit("/", 1)[1]).owner == owner
    assert sent(visitor).owner == owner


# -- refused, and read another way -------------------------------------------------------------------------------------


def test_another_number_of_rows_says_what_to_do_and_is_corrected(visitor):
    row = sent(visitor, rows="3", columns="3")
    page = page_of(visitor, row)
    assert row.state == "refused"
    assert "3 rows of 3 cloths were not found" in page.text
    assert "mark the rack’s four corners" in page.text
    assert "--" not in re.sub(r"(?s)<head>.*</head>", "", page.text)
    answer = visitor.post(f"/kit/cloths/{row.pk}/again", {"shows": "rack", "rows": "2", "columns": "3", "outline": ""})
    assert answer.status_code == 302
    row.refresh_from_db()
    assert (row.state, row.rows, row.columns, row.turn) == ("done", 2, 3, 2)
    assert [place["number"] for place in page_of(visitor, row).context["read"]][-1] == "D006"


def test_corners_are_tapped_in_any_order(visitor, row):
    said = {"shows": "rack", "rows": "2", "columns": "3", "outline": str(CORNERS)}
    assert visitor.post(f"/kit/cloths/{row.pk}/again", said).status_code == 302
    row.refresh_from_db()
    assert row.state == "done"
    page = page_of(visitor, row)
    assert [place["key"] for place in page.context["read"]] == READ
    assert page.context["again_form"].initial["outline"].count("845.0") == 2


@pytest.mark.parametrize(
    "wrong",
    [
        {"outline": "[[1,2],[3,4],[5,6]]"},
        {"outline": "{"},
        {"outline": "[[1,2],[3,4],[NaN,6],[7,8]]"},
        {"outline": "[[1,2],[3,4],[1e9,6],[7,8]]"},
        {"rows": ""},
        {"rows": "0"},
        {"rows": "40", "columns": "40"},
        {"shows": "cloth", "outline": "[[1,2],[3,4]]"},
        {"shows": "shoe"},
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_measured(visitor, row, wrong):
    said = {"shows": "rack", "rows": "2", "columns": "3", "outline": ""} | wrong
    assert visitor.post(f"/kit/cloths/{row.pk}/again", said).status_code == 422
    row.refresh_from_db()
    assert (row.turn, row.state) == (1, "done")


def test_without_the_card_it_is_refused_with_the_reason(visitor):
    picture = Image.open(io.BytesIO(rack_picture()))
    out = io.BytesIO()
    picture.crop((340, 0, picture.width, picture.height)).save(out, "JPEG", quality=95)
    row = sent(visitor, out.getvalue())
    page = page_of(visitor, row)
    assert row.state == "refused"
    assert "take it again, or read it another way" in page.text
    assert page.context["shown"]["reasons"][0]["refuses"]
    assert page.context["read"] == []


@pytest.mark.parametrize(
    ("content", "said", "words"),
    [
        (b"no picture", {}, "fault-line"),
        (None, {"rows": None}, "Say how many rows"),
        (None, {"chart": "none"}, "fault-line"),
        (None, {"rows": "41"}, "fault-line"),
        (None, {"deletes_on": "2020-01-01"}, "Choose a day after today"),
    ],
)
def test_an_upload_that_cannot_be_keeps_nothing(visitor, folder, content, said, words):
    answer = send(visitor, rack_picture() if content is None else content, **said)
    assert answer.status_code == 422
    assert words in answer.text
    assert not ClothPhotograph.objects.exists()
    assert not (folder / "photographs").exists()


def test_a_file_that_is_too_large_is_not_read(visitor, monkeypatch):
    monkeypatch.setattr(limits, "LARGEST_UPLOAD", 1000)
    answer = send(visitor, rack_picture())
    assert (answer.status_code, "larger than" in answer.text) == (422, True)
    assert not ClothPhotograph.objects.exists()


def test_without_a_key_nothing_is_kept(visitor, monkeypatch):
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase())
    monkeypatch.setattr(photo_keys, "keyring_works", lambda: False)
    assert "Photographs are locked" in visitor.get("/kit/cloths").text
    assert send(visitor, rack_picture()).status_code == 422
    assert not ClothPhotograph.objects.exists()


def test_a_file_that_is_gone_says_so(visitor, row):
    pictures.remove_picture(row.name)
    queue.put_in_line(row)
    row.refresh_from_db()
    assert row.state == "failed"
    assert "not in the data folder" in page_of(visitor, row).text
    assert visitor.get(f"/kit/cloths/{row.pk}/picture").status_code == 404


# -- kept, deleted, carried by a backup --------------------------------------------------------------------------------


def test_on_its_day_it_is_deleted_and_not_before(visitor, row, folder):
    day = timezone.localdate() + timedelta(days=3)
    assert visitor.post(f"/kit/cloths/{row.pk}/date", {"deletes_on": day.isoformat()}).status_code == 302
    assert visitor.post(f"/kit/cloths/{row.pk}/date", {"deletes_on": "2020-01-01"}).status_code == 422
    assert photo_sweep.sweep().photographs == 0
    assert ClothPhotograph.objects.get().deletes_on == day
    ClothPhotograph.objects.update(deletes_on=timezone.localdate())
    assert photo_sweep.sweep().photographs == 1
    assert not ClothPhotograph.objects.exists()
    assert list((folder / "photographs").iterdir()) == []
    assert AuditEntry.objects.first().action == "photograph deleted on its date"


def test_its_file_is_no_stray(row, folder, monkeypatch):
    monkeypatch.setattr(pictures, "_YOUNG_SECONDS", -10)
    assert photo_sweep.sweep().strays == 0
    assert (folder / "photographs" / row.name).exists()


def test_a_button_erases_it_and_the_kit_stays(visitor, row, folder):
    made(visitor, row, numbered(visitor, row, r1c1="D001"))
    assert visitor.post(f"/kit/cloths/{row.pk}/erase")["Location"] == "/kit/cloths"
    assert not ClothPhotograph.objects.exists()
    assert list((folder / "photographs").iterdir()) == []
    assert KitRecord.objects.count() == 2


def test_a_backup_carries_it_and_brings_it_back(visitor, row, owner, folder, tmp_path):
    made(visitor, row, numbered(visitor, row, r1c1="D001"))
    client = owner.clients.create(name="Ada")
    face = Photograph.objects.create(client=client, by=owner, chart="none", state="done")
    pictures.keep_picture(face.name, portrait())
    row.refresh_from_db()
    backup = write_backup(tmp_path / "all.zip")
    assert set(backup.photographs) == {row.name, face.name}
    photo_sweep.erase_pictures([row], None)
    restore(tmp_path / "all.zip", replace=True)
    back = ClothPhotograph.objects.get()
    assert (back.name, back.numbers, back.kit_id, back.result) == (row.name, row.numbers, row.kit_id, row.result)
    assert pictures.shown_picture(row.name).startswith(b"\xff\xd8")
    assert cloth_measuring.cloth_result_of(back).document["accepted"]


def test_the_studio_counts_it(visitor, row):
    told = visitor.get("/studio").context
    assert (told["photographs"], told["next_deleted"]) == (1, row.deletes_on)
