"""Pages of readings, reflected light, the studio's light and devices in a language that has no letter of English."""

import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from tenter.colorimetry.illuminants import WAVELENGTHS_NM, illuminant_power
from tenter.consultation.worth.best_kit import BestKit
from tenter.web.devices import pairing
from tenter.web.devices.listener import LISTENER
from tenter.web.models import DeviceRight, KitRecord
from tenter.web.readings import kept_worth
from tenter.web.reflected import drapes_page
from tenter.web.store import kept_readings, kept_rooms, store
from tests.support.photo_studio import CARD, portrait, sent
from tests.support.workshop_kit import read_over_years
from tests.web.devices.on_network import HOST, OnNetwork
from tests.web.light.test_light import GOOD
from tests.web.other_language import left_in_english, numbers_of_text, speak_another_language
from tests.web.readings.test_to_buy import WORTH

SAME = {
    *("Lab", "LCh", "Duv", "Ra", "Rf", "Rg", "CCT", "ISO", "ASTM", "CIE", "CSV", "PDF", "CGATS", "TM", "IES", "XML"),
    *("lx", "SHA", "nm", "BH", "FL", "HP", "ID", "LED", "RGB", "Android", "QR", "https", "pair"),
    *("Demo", "kit", "Wenna", "Castrall", "much", "along", "against"),  # what was typed
}
ROOM = {
    "cloths": ["1", "2"],
    "shaded_side": "left",
    "regions": {
        name: {
            "factor": factor,
            "factor_range": [0.01, 0.32],
            "sheen": 0.0,
            "measured": {"estimate": factor, "interval_90": [0.01, 0.32], "kept_default": kept},
        }
        for name, factor, kept in (("chin", 0.3, False), ("jaw_left", 0.01, False), ("cheek_left", 0.02, True))
    },
}


@pytest.fixture
def kit(owner, tmp_path, settings):
    speak_another_language(owner, tmp_path, settings)
    kit = KitRecord.objects.get(owner=owner)
    kept_readings.keep_readings(kit, owner, read_over_years().readings, "all")
    return kit


def wrong_with(kit, pages):
    """Return what is left in English on pages, and numbers in attributes that no browser reads, by page."""
    names = [f"{drape.id} {drape.name} {drape.place}" for drape in store.kit_of(kit).drapes]
    people = [client.name for client in kit.owner.clients.all()]
    left = {
        page: [*(set(left_in_english(text, *names, *people)) - SAME), *numbers_of_text(text)]
        for page, text in pages.items()
    }
    return {page: found for page, found in left.items() if found}


def test_readings_and_what_to_buy(kit, visitor, monkeypatch):
    addresses = (
        "readings",
        "cloth?cloth=D061",
        "cloth?cloth=D003",
        "readings/enter",
        "readings/file",
        "pair",
        "to-buy",
    )
    pages = {address: visitor.get(f"/kit/{kit.pk}/{address}").text for address in addresses}
    wrong = {"cloth": "X9", "L": "much", "a": "200", "b": "1", "given_as": "Lab", "day": "2999-01-01"}
    pages["a wrong reading"] = visitor.post(f"/kit/{kit.pk}/readings/enter", wrong).text
    right = {"illuminant": "D65", "observer": "10", "given_as": "Lab", "times": "1", "key": "k", "uv": "with"}
    right |= {"day": timezone.localdate().isoformat(), "cloth": "D004", "L": "50", "a": "1", "b": "2"}
    pages["a reading"] = visitor.post(f"/kit/{kit.pk}/readings/enter", right, follow=True).text
    washed = {"cloth": "D061", "wash-kind": "1", "wash-day": "2999-01-01", "wash-key": "v"}
    pages["a wash"] = visitor.post(f"/kit/{kit.pk}/wash", washed).text
    monkeypatch.setattr(kept_worth, "kit_worth", lambda bench: WORTH)
    monkeypatch.setattr(kept_worth, "best_kit", lambda bench, count: BestKit(bench.kit.ids[:count], 0.19, 0.2, 0.985))
    pages["worked out"] = visitor.post(f"/kit/{kit.pk}/to-buy", {"best": 3}, follow=True).text
    assert wrong_with(kit, pages) == {}


def test_the_light(kit, visitor):
    rows = "\n".join(f"{nm},{power}" for nm, power in zip(WAVELENGTHS_NM, illuminant_power("FL2"), strict=True))
    spectrum = {"forehead": "900", "cheek_left": "700", "spectrum": SimpleUploadedFile("FL2.csv", rows.encode())}
    checks = (GOOD, GOOD | {"cheek_left": "800"}, {"cct": "3000", "duv": "-0.03", "ra": "50"}, spectrum)
    pages = {
        f"light {k}": visitor.post("/light", check | {"key": str(k)}, follow=True).text
        for k, check in enumerate(checks)
    }
    pages["a wrong light"] = visitor.post("/light", {"cct": "much", "ra": "300", "key": "a"}).text
    pages["lights"] = visitor.get("/light").text
    pages["thresholds"] = visitor.get("/light/thresholds").text
    wrong = {"least_lux": "9000", "most_lux": "100", "least_ra": "much"}
    pages["wrong thresholds"] = visitor.post("/light/thresholds", wrong).text
    assert wrong_with(kit, pages) == {}


def test_reflected_light(kit, visitor, owner, client_row, folder, monkeypatch):
    monkeypatch.setattr(drapes_page, "_draw", lambda row, shown: (b"one", b"two"))
    row = sent(visitor, client_row)
    drapes = f"/photographs/{row.pk}/drapes"
    surfaces = ("D061&against=D063", "D061&kind=cape", "D001&kind=wall&wall_at=left&metres=2", "X9")
    pages = {surface: visitor.get(f"/kit/{kit.pk}/effect?surface={surface}").text for surface in surfaces}
    pages["no room"] = visitor.get(f"/kit/{kit.pk}/room").text
    pages["drapes"] = visitor.get(drapes, {"first": "D063", "second": "D064"}).text
    kept_rooms.keep_room(owner, owner, ROOM, "one")
    pages["room"] = visitor.get(f"/kit/{kit.pk}/room").text
    pages["in the room"] = visitor.get(f"/kit/{kit.pk}/effect?surface=D061").text
    pages["photographs"] = visitor.get(f"/kit/{kit.pk}/room/photographs?client={client_row.pk}").text
    file = {"file": SimpleUploadedFile("1.json", b"{}"), "room-key": "k"}
    pages["the same drape"] = visitor.get(drapes, {"first": "D063", "second": "D063"}).text
    assert visitor.post(f"/kit/{kit.pk}/room/file", file).status_code == 422
    assert wrong_with(kit, pages) == {}


def test_devices(kit, visitor, owner, going_on, folder, monkeypatch):
    owner.is_superuser = True
    owner.save()
    pages = {"off": visitor.get("/studio/devices").text}
    pages["not on"] = visitor.post("/studio/devices/code", follow=True).text
    monkeypatch.setattr(LISTENER, "host", HOST)
    pages["on"] = visitor.get("/studio/devices").text
    code_page = visitor.post("/studio/devices/code", {"right": DeviceRight.CAMERA, "user": owner.pk}).text
    pages["a code"] = re.sub(r"/pair/[\w-]+", "", code_page)
    code, phone = pairing.new_code(owner, owner, DeviceRight.CAMERA), OnNetwork()
    pages["pair"] = phone.get(f"/pair/{code}").content.decode()
    phone.post(f"/pair/{code}", {"name": ""})
    pages["refused"] = phone.get(f"/pair/{code}").content.decode()
    pages["camera"] = phone.get("/device/camera").content.decode()
    shot = CARD | {"of": str(going_on.pk), "picture": SimpleUploadedFile("1.jpg", portrait(), "image/jpeg")}
    pages["taken"] = phone.get(phone.post("/device/camera", shot)["Location"]).content.decode()
    pages["nothing"] = phone.post("/device/camera", {"of": str(going_on.pk)}).content.decode()
    pages["connected"] = visitor.get("/studio/devices").text
    assert wrong_with(kit, pages) == {}
