"""A guest on the same network tries to come in, and a device does no more than its right."""

from datetime import timedelta

import pytest
from asgiref.sync import async_to_sync
from django.conf import settings
from django.contrib.auth import get_user_model
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db.models import F
from django.urls import URLPattern, get_resolver, reverse
from django.utils import timezone

from tenter.web.devices import door, pairing
from tenter.web.models import Associate, AuditEntry, Client, DeviceRight, PairedDevice, PairingCode, Photograph, Sitting
from tenter.web.rules import consents
from tests.support.photo_studio import CARD, cut, portrait
from tests.web.conftest import agreed, browser_of
from tests.web.devices.on_network import HOST, ORIGIN, OnNetwork, code_for, connected

pytestmark = pytest.mark.usefixtures("folder")
NAMES = {p.name: p for p in get_resolver().url_patterns if isinstance(p, URLPattern)}


@pytest.fixture
def owner(owner):
    owner.is_superuser = True
    owner.save()
    return owner


def address_of(name, sitting):
    pattern = str(NAMES[name].pattern)
    if "<int:pk>" in pattern:
        return reverse(name, args=[sitting.pk])
    return reverse(name, args=[sitting.token]) if "<str:" in pattern else reverse(name)


# -- what is there at all ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("right", [None, *DeviceRight])
def test_every_address_but_a_few_is_404_on_the_network_whoever_is_logged_in(owner, going_on, right):
    phone = connected(owner, right) if right else OnNetwork()
    stolen = browser_of(owner).cookies[settings.SESSION_COOKIE_NAME].value
    phone.cookies[settings.SESSION_COOKIE_NAME] = stolen
    assert settings.SESSION_COOKIE_NAME not in phone.get("/pair/x").asgi_request.COOKIES
    allowed = door.TO_ALL | ({"device"} | door.BY_RIGHT[right] if right else set())
    seen = {name: phone.get(address_of(name, going_on)).status_code for name in NAMES}
    asked = [name for name in NAMES if name not in allowed] if right in (None, DeviceRight.BENCH) else ["login"]
    posts = {name: phone.post(address_of(name, going_on)).status_code for name in asked}
    assert {name for name, status in seen.items() if status != 404} - {"pair"} <= allowed
    assert set(posts.values()) == {404}
    for name in ("login", "welcome", "studio", "day", "people", "photographs", "devices", "backup"):
        assert seen[name] == 404


def test_the_first_page_is_not_there_even_while_nobody_has_opened_the_studio(db):
    get_user_model().objects.all().delete()
    assert OnNetwork().get("/welcome").status_code == 404
    assert OnNetwork().post("/welcome", {"name": "x", "password": "y" * 12}).status_code == 404
    assert not get_user_model().objects.exists()


def test_the_devices_addresses_are_not_there_on_this_machine(visitor, owner):
    code = code_for(owner)
    for address in (
        f"/pair/{code}",
        "/device",
        "/device/camera",
        "/device/label",
        "/device/state",
        "/pair/certificate",
    ):
        assert visitor.get(address).status_code == 404
        assert visitor.post(address).status_code == 404
    assert PairingCode.objects.exists()


def test_style_sheets_come_in_and_nothing_else_from_the_disk(db):
    guest = OnNetwork()
    sheet = guest.get("/static/tenter/tokens.css")
    assert (sheet.status_code, b"--" in sheet.getvalue()) == (200, True)
    assert guest.ask("POST", "/static/tenter/tokens.css", Origin=f"https://{HOST}").status_code == 404
    for path in ("tenter/../../secret-key", "tenter/%2e%2e/settings.py", "django_htmx/htmx.min.js"):
        assert guest.get(f"/static/{path}").status_code == 404


# -- who asks, and from where ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "headers",
    [
        {"Host": "192.168.1.5"},
        {"Host": "localhost:8000"},
        {"Host": "evil.example:8443"},
        {"Host": "127.0.0.1:8443"},
        {"Origin": "https://evil.example"},
        {"Origin": "null"},
        {"Origin": f"http://{HOST}"},
    ],
)
def test_another_host_or_origin_opens_nothing_even_with_a_devices_cookie(owner, going_on, headers):
    phone = connected(owner)
    assert phone.get("/device/camera").status_code == 200
    assert phone.get("/device/camera", **headers).status_code == 404
    assert phone.post("/device/camera", {"of": going_on.pk}, **headers).status_code == 404


@pytest.mark.parametrize(
    "path", ["/static/tenter/nothing", "/static/tenter/../../studio", "/pair/a\0b", "/device-certificate"]
)
def test_what_is_not_there_is_answered_alike_wherever_it_is_not(db, folder, path):
    answer = OnNetwork().get(path)
    assert (answer.status_code, answer.text) == (404, "There is nothing here.\n")


@pytest.mark.parametrize(
    ("body", "headers"),
    [
        (b"name=x", {"Content-Type": "application/x-www-form-urlencoded; charset=utf-7"}),
        (b"&".join(b"%d=" % field for field in range(1001)), {}),
        (b"x", {"Content-Type": "multipart/form-data; boundary=b"}),
        (b"x", {"Content-Type": "multipart/form-data"}),
        (b"name=x", {"Content-Length": ""}),
    ],
    ids=["charset", "fields", "multipart", "no boundary", "chunked"],
)
def test_no_form_of_a_guest_but_a_devices_name_is_read_or_fills_the_error_log(owner, caplog, body, headers):
    told = {"Origin": ORIGIN, "Content-Type": "application/x-www-form-urlencoded", "Content-Length": str(len(body))}
    answer = OnNetwork().ask("POST", f"/pair/{code_for(owner)}", body, **told | headers)
    assert (answer.status_code, answer.text) == (404, "There is nothing here.\n")
    assert [record for record in caplog.records if record.levelname == "ERROR"] == []


def test_a_form_without_an_origin_or_a_token_is_refused(owner, going_on):
    phone = connected(owner)
    assert phone.post("/device/camera", {"of": going_on.pk}, Origin="").status_code == 404
    assert phone.post("/device/camera", {"of": going_on.pk}, **{"X-CSRFToken": ""}).status_code == 403


@pytest.mark.parametrize(
    "headers",
    [
        {"X-Forwarded-For": "127.0.0.1", "X-Forwarded-Proto": "https", "X-Forwarded-Host": "localhost"},
        {"X-Real-IP": "127.0.0.1", "Forwarded": "for=127.0.0.1;host=localhost;proto=https"},
        {"tenter.network": "", "Tenter-Network": "", "X-Original-URL": "/studio", "X-Rewrite-URL": "/studio"},
    ],
)
def test_no_header_makes_a_request_one_of_this_machine(owner, headers):
    guest = OnNetwork()
    for address in ("/login", "/studio", "/day"):
        assert guest.get(address, **headers).status_code == 404
    phone = connected(owner)
    assert phone.get("/device", **headers).status_code == 302
    assert phone.ask("GET", "/device", scheme="http", **headers).status_code == 404


def test_a_devices_cookie_travels_by_tls_to_this_host_alone(owner):
    phone = connected(owner)
    said = phone.cookies[door.COOKIE]
    assert door.COOKIE.startswith("__Host-")
    assert (said["secure"], said["httponly"], said["samesite"], said["path"], said["domain"]) == (
        *(True, True, "Strict", "/", ""),
    )
    assert phone.cookies["tenter_csrf"]["secure"] is True


# -- codes -------------------------------------------------------------------------------------------------------------


def test_the_listener_is_told_of_connected_devices_alone(owner):
    phone, guest = connected(owner), OnNetwork()
    assert door.OF_DEVICE in phone.get("/device/camera").scope
    assert door.OF_DEVICE not in phone.get("/studio").scope
    assert door.OF_DEVICE not in guest.get("/device/camera").scope


def test_a_code_has_256_bits_and_is_nowhere_on_the_disk(owner):
    code = code_for(owner)
    assert len(code) == 43
    row = PairingCode.objects.get()
    assert code not in str(vars(row))
    phone = connected(owner)
    assert phone.cookies[door.COOKIE].value not in str(vars(PairedDevice.objects.get()))


def test_a_wrong_a_used_and_a_late_code_are_answered_alike(owner):
    guest, code = OnNetwork(), code_for(owner)
    phone = OnNetwork("192.168.1.80")
    phone.get(f"/pair/{code}")
    assert phone.post(f"/pair/{code}", {"name": ""}).status_code == 302
    used = guest.get(f"/pair/{code}")
    wrong = guest.get("/pair/" + "x" * 43)
    late = code_for(owner)
    PairingCode.objects.update(at=F("at") - pairing.CODE_LASTS)
    late = guest.get(f"/pair/{late}")
    assert {answer.status_code for answer in (used, wrong, late)} == {404}
    assert used.text == wrong.text == late.text
    assert PairedDevice.objects.count() == 1
    assert AuditEntry.objects.filter(action="device refused").count() == 3


def test_looking_at_a_code_does_not_use_it_up_and_a_new_one_ends_the_one_before(owner):
    first = code_for(owner)
    assert OnNetwork().get(f"/pair/{first}").status_code == 200
    assert OnNetwork().get(f"/pair/{first}").status_code == 200
    second = code_for(owner)
    assert OnNetwork().get(f"/pair/{first}").status_code == 404
    assert OnNetwork().get(f"/pair/{second}").status_code == 200


def test_a_code_that_two_send_at_once_connects_one(owner, monkeypatch):
    code = code_for(owner)
    row = pairing.known_code(code, "192.168.1.9")
    monkeypatch.setattr(pairing, "known_code", lambda *_: row)  # both have looked before either has written
    pairing.connect(code, "one", "192.168.1.9")
    with pytest.raises(pairing.CodeRefused):
        pairing.connect(code, "two", "192.168.1.10")
    assert PairedDevice.objects.count() == 1


def test_a_guesser_has_to_wait_and_nobody_else_does(owner):
    guesser, code = OnNetwork("192.168.1.66"), code_for(owner)
    statuses = [guesser.get(f"/pair/guess{number}").status_code for number in range(7)]
    assert statuses == [404] * 5 + [429] * 2
    assert guesser.get(f"/pair/{code}").status_code == 429
    assert OnNetwork("192.168.1.67").get(f"/pair/{code}").status_code == 200
    assert AuditEntry.objects.filter(action="device refused").count() == 5


# -- devices -----------------------------------------------------------------------------------------------------------


async def _first_part(stream):
    return await anext(aiter(stream), b"")


def test_a_disconnected_device_is_out_at_once_and_hears_nothing_more(owner, going_on):
    phone = connected(owner, DeviceRight.SCREEN)
    assert phone.get(f"/screen/{going_on.token}").status_code == 200
    stream = phone.get(f"/screen/{going_on.token}/events")
    device = PairedDevice.objects.get()
    answer = browser_of(owner).post(f"/studio/devices/{device.pk}/disconnect")
    assert answer.status_code == 302
    assert async_to_sync(_first_part)(stream) == b""
    for address in ("/device", f"/screen/{going_on.token}"):
        assert phone.get(address).status_code == 404
    assert [entry.action for entry in AuditEntry.objects.all()[:3]] == [
        *("device disconnected", "device connected", "code to connect a device made"),
    ]


def test_a_guessed_a_stolen_hash_and_an_unused_device_open_nothing(owner):
    phone = connected(owner)
    device = PairedDevice.objects.get()
    for secret in ("", "guess", device.hashed):
        guest = OnNetwork()
        guest.cookies[door.COOKIE] = secret
        assert guest.get("/device").status_code == 404
    PairedDevice.objects.update(seen=timezone.now() - pairing.UNUSED_ENDS)
    assert phone.get("/device").status_code == 404


def test_a_device_goes_with_the_associate_it_works_for(owner, stranger):
    Associate.objects.create(owner=owner, user=stranger)
    phone = connected(owner, user=stranger)
    assert phone.get("/device/camera").status_code == 200
    stranger.is_active = False
    stranger.save()
    assert phone.get("/device/camera").status_code == 404


def test_a_bench_answers_in_the_sitting_in_progress_and_reaches_no_other(owner, going_on):
    phone = connected(owner, DeviceRight.BENCH)
    assert phone.get("/device")["Location"] == f"/sittings/{going_on.pk}/bench"
    page = phone.get(f"/sittings/{going_on.pk}/bench")
    assert page.status_code == 200
    for address in ("/verdict", "/end", f'/sittings/{going_on.pk}"'):
        assert address not in page.text
    ended = Sitting.objects.exclude(ended=None).filter(analyst=owner).first()
    assert phone.get(f"/sittings/{ended.pk}/bench").status_code == 404
    assert phone.get(f"/sittings/{going_on.pk}/bench/state", Accept="application/json").status_code == 200


def test_a_clients_screen_shows_the_latest_sitting_and_waits_where_there_is_none(owner, going_on):
    phone = connected(owner, DeviceRight.SCREEN)
    assert phone.get("/device")["Location"] == f"/screen/{going_on.token}"
    other = Sitting.objects.exclude(pk=going_on.pk).first()
    assert phone.get(f"/screen/{other.token}").status_code == 404
    before = phone.get("/device/state").json()
    Sitting.objects.filter(pk=going_on.pk).update(ended=timezone.now() - timedelta(hours=2))
    assert "No sitting in progress" in phone.get("/device").text
    assert phone.get(f"/screen/{going_on.token}").status_code == 404
    assert phone.get("/device/state").json() != before


# -- the camera --------------------------------------------------------------------------------------------------------


def shoot(phone, sitting, content=None, **said):
    fields = {"of": sitting.pk, "picture": SimpleUploadedFile("x.jpg", content or portrait(), "image/jpeg")}
    return phone.post("/device/camera", fields | CARD | said)


def test_a_photograph_of_the_phone_is_in_the_sitting_measured_and_judged_on_the_phone(owner, going_on):
    phone = connected(owner)
    page = phone.get("/device/camera").text
    assert 'accept="image/*" capture="environment"' in page
    assert "Ada" in page
    laptop = browser_of(owner)
    version = laptop.get(f"/people/{going_on.client.pk}/photographs/latest").json()
    answer = shoot(phone, going_on)
    row = Photograph.objects.get()
    assert (row.sitting, row.client, row.by, row.state) == (going_on, going_on.client, owner, "done")
    assert laptop.get(f"/people/{going_on.client.pk}/photographs/latest").json() != version
    assert "Good: card whole, face sharp" in phone.get(answer["Location"]).text


def test_a_cut_card_is_told_on_the_phone_at_once(owner, going_on):
    phone = connected(owner)
    phone.get("/device/camera")
    answer = shoot(phone, going_on, cut("p1a.jpg"))
    page = phone.get(answer["Location"]).text
    assert "Take it again" in page
    assert "No 24-patch card was found" in page


def test_consent_comes_before_the_first_picture(owner, going_on):
    client = Client.objects.create(owner=owner, name="Beda")
    sitting = Sitting.objects.create(client=client, analyst=owner, kit=going_on.kit, method=going_on.method, seed=2)
    phone = connected(owner)
    page = phone.get("/device/camera")
    assert 'name="picture"' not in page.text
    assert shoot(phone, sitting).status_code == 409
    assert Photograph.objects.count() == 0
    before = phone.get("/device/state").json()
    agreed(client)
    assert phone.get("/device/state").json() != before
    assert shoot(phone, sitting).status_code == 302
    consents.take_back_consent(client, consents.Purpose.MEASURE, owner)
    assert shoot(phone, sitting).status_code == 409


def test_a_camera_reaches_no_other_consultants_sitting_and_no_ended_one(owner, stranger, going_on):
    phone = connected(owner)
    phone.get("/device/camera")
    ended = Sitting.objects.exclude(ended=None).filter(analyst=owner).first()
    assert shoot(phone, ended).status_code == 409
    assert f'name="of" value="{going_on.pk}"' in phone.get(f"/device/camera?of={ended.pk}").text
    Sitting.objects.filter(pk=going_on.pk).update(analyst=stranger)
    assert shoot(phone, going_on).status_code == 409
    assert Photograph.objects.count() == 0


def test_what_is_no_photograph_is_said_on_the_phone(owner, going_on):
    phone = connected(owner)
    phone.get("/device/camera")
    answer = shoot(phone, going_on, b"no picture")
    assert answer.status_code == 422
    assert "Not taken in" in answer.text
    assert phone.post("/device/camera", {"of": going_on.pk} | CARD).status_code == 422
