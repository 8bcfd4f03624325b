"""A cloth's label scanned by a connected phone: told there at once, and taken by the pages on the computer."""

import io
from datetime import timedelta
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone
from PIL import ExifTags, Image

from tenter.report.workshop.labels import label_pdf, label_sheets
from tenter.report.workshop.qr_code import QUIET_SQUARES, qr_squares
from tenter.web.devices.listener import LISTENER
from tenter.web.devices.scans import SCAN_LASTS, SCANS, LabelSaid, LabelScans, label_said
from tenter.web.models import DeviceRight, KitRecord, PairedDevice, Photograph, StartedKit
from tenter.web.pictures import upload_limit
from tenter.web.store import store
from tests.web.conftest import browser_of
from tests.web.devices.on_network import HOST, connected

pytestmark = pytest.mark.usefixtures("folder")
KEY = "0123456789abcdef" * 2
SIDE = 6  # pixels of a code's square


@pytest.fixture(autouse=True)
def switched_on(monkeypatch):
    monkeypatch.setattr(LISTENER, "host", HOST)
    SCANS.forget()


@pytest.fixture
def kit(owner):
    return KitRecord.objects.get(owner=owner, origin=None)


def drawn(*texts: str) -> bytes:
    """Return a picture of codes side by side."""
    squares = [np.pad(qr_squares(text), QUIET_SQUARES) for text in texts]
    row = np.concatenate(squares, axis=1) if squares else np.zeros((20, 20))
    out = io.BytesIO()
    Image.fromarray(np.where(np.kron(row, np.ones((SIDE, SIDE))), 20, 235).astype(np.uint8)).save(out, "PNG")
    return out.getvalue()


def photographed(record: KitRecord, cloth: str, address: str = "") -> bytes:
    """Return a label as it is printed, photographed with the phone on its side."""
    sheets = label_sheets([store.kit_of(record)[cloth]], address=address)
    page = pypdfium2.PdfDocument(label_pdf(sheets, "2026-11-30")[0])[0].render(scale=6).to_pil().convert("RGB")
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = 6
    out = io.BytesIO()
    page.crop((0, 0, 1700, 900)).rotate(97, expand=True, fillcolor=(90, 60, 70)).save(out, "JPEG", exif=exif)
    return out.getvalue()


def scan(phone, picture: bytes, key: str = KEY):
    phone.get("/device/label")
    return phone.post("/device/label", {"key": key, "picture": SimpleUploadedFile("x.jpg", picture, "image/jpeg")})


def test_a_printed_label_is_told_on_the_phone_and_taken_by_the_pages_of_its_kit(owner, kit, going_on, folder):
    phone, laptop = connected(owner), browser_of(owner)
    assert "/device/label" in phone.get("/device/camera").text
    assert laptop.get(f"/scanned?kit={kit.pk}").json() == {"on": True, "scan": "", "cloth": "", "said": ""}
    answer = scan(phone, photographed(kit, "D038", f"http://127.0.0.1:8000/kit/{kit.pk}/cloth?cloth="))
    assert (answer.status_code, answer["Location"]) == (302, f"/device/label?scan={KEY}")
    name = store.kit_of(kit)["D038"].name
    assert f"D038 {name}</h2>" in phone.get(answer["Location"]).text
    for asked in (f"?kit={kit.pk}", f"?kit={going_on.kit_id}"):
        told = laptop.get(f"/scanned{asked}").json()
        assert told == {"on": True, "scan": KEY, "cloth": "D038", "said": f"Scanned: D038 {name}"}
    assert Photograph.objects.count() == 0
    assert [path for path in Path(folder).rglob("photographs/*") if path.is_file()] == []


def in_page(laptop, page: str, *words: str) -> set[str]:
    text = laptop.get(page).text
    return {one for one in words if one in text}


def test_while_nothing_can_come_a_page_asks_only_when_it_is_turned_to(owner, going_on, monkeypatch):
    monkeypatch.setattr(LISTENER, "host", "")
    laptop = browser_of(owner)
    assert laptop.get("/coming").json() == {"labels": False, "pictures": False, "again": 0}
    assert 'id="arrived" hidden data-coming="/coming" data-off' in laptop.get(f"/sittings/{going_on.pk}/bench").text


def test_the_pages_ask_only_once_a_device_that_may_scan_is_connected(owner, kit, going_on):
    laptop = browser_of(owner)
    started = StartedKit.objects.create(owner=owner, by=owner, name="one", csv=kit.csv, illuminant="D65", observer="10")
    pages = {
        f"/kit/{kit.pk}/readings/enter": f'data-goes="/kit/{kit.pk}/readings/enter"',
        f"/kit/{kit.pk}": f'data-goes="/kit/{kit.pk}/cloth"',
        f"/kit/started/{started.pk}": f'data-goes="/kit/started/{started.pk}"',
        f"/sittings/{going_on.pk}/bench": 'data-fills="#own-cloths"',
        f"/sittings/{going_on.pk}/show": 'data-fills="#own-cloth" data-holds',
    }
    connected(owner, DeviceRight.SCREEN)
    waits = 'data-coming="/coming" data-off data-scanned='
    assert [page for page, what in pages.items() if not {waits, what} <= in_page(laptop, page, waits, what)] == []
    assert laptop.get("/coming").json() == {"labels": False, "pictures": True, "again": 10_000}
    connected(owner, DeviceRight.BENCH)
    assert [page for page, what in pages.items() if in_page(laptop, page, waits, what) != {what}] == []
    assert laptop.get("/coming").json()["labels"] is True
    PairedDevice.objects.all().delete()
    assert laptop.get("/scanned").json()["on"] is False
    assert 'value="X9"' in laptop.get(f"/kit/started/{started.pk}?cloth=X9").text


@pytest.mark.parametrize(
    ("texts", "told"),
    [
        ((), "No label was found. Go nearer"),
        (("D038", "D039"), "Several codes are in the picture: D038, D039. None was taken."),
        (("https://evil.example/<b>",), "This code is not a cloth’s label. It says: https://evil.example/&lt;b&gt;"),
        (("http://localhost/kit/{other}/cloth?cloth=D038",), "None of your kits has the cloth of this label: D038."),
        (("http://localhost/kit/{own}/cloth?cloth=D999",), "None of your kits has the cloth of this label: D999."),
        (("D999",), "None of your kits has the cloth of this label: D999."),
    ],
)
def test_what_is_no_one_cloth_of_the_studio_is_said_and_not_taken(owner, stranger, kit, texts, told):
    other = KitRecord.objects.create(owner=stranger, name="other", csv=kit.csv)
    phone = connected(owner)
    answer = scan(phone, drawn(*(text.format(own=kit.pk, other=other.pk) for text in texts)))
    assert answer.status_code == 422
    assert told in answer.text
    assert browser_of(owner).get("/scanned").json()["scan"] == ""


def test_a_label_of_another_kit_is_not_taken_for_a_cloth_that_only_has_its_number(owner, stranger, kit):
    renamed = kit.csv.replace(f",{store.kit_of(kit)['D038'].name},", ",another,")
    same = KitRecord.objects.create(owner=owner, name="a version", csv=kit.csv)
    other = KitRecord.objects.create(owner=owner, name="other", csv=renamed)
    phone, laptop = connected(owner), browser_of(owner)
    scan(phone, drawn(f"http://localhost/kit/{kit.pk}/cloth?cloth=D038"))
    assert laptop.get(f"/scanned?kit={same.pk}").json()["cloth"] == "D038"
    told = laptop.get(f"/scanned?kit={other.pk}").json()
    assert (told["cloth"], told["said"]) == ("", "D038 was scanned. It is no cloth of this kit.")
    page = scan(phone, drawn("D038"), KEY[::-1])
    assert "another in other" in phone.get(page["Location"]).text
    assert browser_of(stranger).get("/scanned").json()["scan"] == ""
    assert browser_of(stranger).get(f"/scanned?kit={kit.pk}").status_code == 404


def test_a_request_sent_again_does_not_choose_its_cloth_again(owner):
    phone, laptop = connected(owner), browser_of(owner)
    for key, cloth in ((KEY, "D038"), (KEY[::-1], "D039"), (KEY, "D038")):
        assert scan(phone, drawn(cloth), key).status_code == 302
    assert laptop.get("/scanned").json()["cloth"] == "D039"
    assert scan(phone, drawn("D040"), "").status_code == 422
    assert laptop.get("/scanned").json()["cloth"] == "D039"


def test_a_huge_and_a_broken_picture_are_refused(owner, monkeypatch):
    phone = connected(owner)
    assert "Not taken in" in scan(phone, b"no picture").text
    bomb = io.BytesIO()
    Image.new("1", (12_000, 12_000)).save(bomb, "PNG")
    assert "at most 120 million are read" in scan(phone, bomb.getvalue()).text
    monkeypatch.setattr(upload_limit, "LARGEST_UPLOAD", 1000)
    assert "The photograph is larger than" in scan(phone, drawn("D038") + bytes(200_000)).text


def test_a_scan_lasts_a_minute_and_the_clients_screen_scans_nothing(owner):
    phone = connected(owner, DeviceRight.SCREEN)
    assert phone.get("/device/label").status_code == 404
    bench = connected(owner, DeviceRight.BENCH)
    assert scan(bench, drawn("D038")).status_code == 302
    now = timezone.now()
    assert SCANS.latest(owner, now).label == LabelSaid("D038")
    assert SCANS.latest(owner, now + SCAN_LASTS + timedelta(seconds=1)) is None
    assert LabelScans().latest(owner, now) is None


@pytest.mark.parametrize(
    "text",
    [
        "http://[/kit/1/cloth?cloth=D1",
        "ftp://localhost/kit/1/cloth?cloth=D1",
        "http://localhost/kit/1/cloth?cloth=D1&cloth=D2",
        "http://localhost/kit/1/cloth?cloth=D1&next=x",
        f"http://localhost/kit/{'9' * 40}/cloth?cloth=D1",
        "http://localhost/studio?cloth=D1",
        "two words",
        "a\u202eb",
        "9" * 41,
        "",
    ],
)
def test_only_a_number_or_the_address_of_a_cloths_page_is_a_label(text):
    assert label_said(text) is None
    assert label_said("http://x.example/kit/3/cloth?cloth=%C3%841") == LabelSaid("Ä1", 3)
