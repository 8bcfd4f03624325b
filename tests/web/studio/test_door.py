"""The first run, logging in, being kept out, and what every answer carries."""

import re
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta

import pytest
from django.contrib.auth import get_user_model
from django.contrib.auth.hashers import Argon2PasswordHasher
from django.contrib.auth.views import LoginView
from django.test import Client as Browser
from django.test import RequestFactory
from django.urls import reverse
from django.utils import timezone

from tenter.web import settings
from tenter.web.models import AuditEntry, Client, KitRecord, LoginAttempt, Sitting
from tenter.web.server import hashing, throttle
from tenter.web.store import store
from tenter.web.studio.door_views import LogIn
from tests.web.conftest import PASSWORD, browser_of


def welcome(browser, **said):
    return browser.post("/welcome", {"name": "Wenna  Castrall", "password": PASSWORD, **said}, follow=True)


# -- the first run -----------------------------------------------------------------------------------------------------


def test_every_address_leads_to_the_first_run(db):
    page = Browser().get("/", follow=True)
    assert page.redirect_chain[-1][0] == "/welcome"
    assert "Open your studio" in page.text


def test_the_first_run_makes_an_owner_and_the_demo_studio(db):
    page = welcome(Browser(), demo="on")
    assert page.redirect_chain == [("/day", 302)]
    user = get_user_model().objects.get()
    assert user.username == "Wenna Castrall"
    assert user.password.startswith("argon2$argon2id$")
    assert settings.PASSWORD_HASHERS == ["tenter.web.server.hashing.TwoAtOnce"]  # at its full price
    assert [c.name for c in Client.objects.filter(owner=user)] == [
        "Georgi Amsel",
        "Ilse Varnholt",
        "Maren Tolliver",
        "Marlon Adeyemi-Lind",
        "Pia Rosendal",
    ]
    assert len(store.kit_of(KitRecord.objects.get(owner=user))) == 96
    assert sum(s.events.count() for s in Sitting.objects.all()) == 88


def test_the_demo_studio_is_a_choice(db):
    welcome(Browser())
    assert get_user_model().objects.count() == 1
    assert not Client.objects.exists()


def test_there_is_one_first_run(db):
    welcome(Browser())
    assert Browser().get("/welcome").status_code == 404
    assert welcome(Browser()).status_code == 404
    assert get_user_model().objects.count() == 1


@pytest.mark.parametrize("password", ["short", "password123", "wenna castrall"])
def test_a_weak_password_is_refused(db, password):
    page = Browser().post("/welcome", {"name": "Wenna Castrall", "password": password})
    assert "fault-line" in page.text
    assert not get_user_model().objects.exists()


# -- logging in and out ------------------------------------------------------------------------------------------------


def log_in(browser, name, password=PASSWORD, **said):
    return browser.post("/login", {"username": name, "password": password, **said})


def test_logging_in_and_out(stranger):
    browser = Browser()
    assert browser.get("/people").url == "/login?next=/people"
    assert log_in(browser, "Ludo Marsh", next="/people").url == "/people"
    assert browser.get("/people").status_code == 200
    assert browser.post("/logout").url == "/login"
    assert browser.get("/people").status_code == 302
    assert [e.action for e in AuditEntry.objects.all()] == ["logged out", "logged in"]


def test_a_name_is_known_in_other_capitals_unless_two_have_it_so(stranger, person):
    assert log_in(Browser(), "ludo marsh").url == "/day"
    assert "does not go with this name" in log_in(Browser(), "ludo marsh", "wrong").text
    person("LUDO marsh")
    assert log_in(Browser(), "ludo marsh").status_code == 200
    assert log_in(Browser(), "Ludo Marsh").url == "/day"


def test_nobody_is_led_elsewhere_after_logging_in(stranger):
    assert log_in(Browser(), "Ludo Marsh", next="https://elsewhere.example/").url == "/day"


def test_five_wrong_tries_keep_everybody_out_for_a_minute(stranger):
    for _ in range(throttle.MOST_TRIES):
        assert log_in(Browser(), "Ludo Marsh", "wrong").status_code == 200
    for name in ("Ludo Marsh", " ludo marsh "):
        refused = log_in(Browser(), name)
        assert refused.status_code == 429
        assert 55 <= int(re.search(r"Wait (\d+) seconds", refused.text).group(1)) <= 60
    LoginAttempt.objects.update(at=timezone.now() - throttle.WAIT - timedelta(seconds=1))
    assert log_in(Browser(), "Ludo Marsh").url == "/day"
    assert not LoginAttempt.objects.exists()


def test_right_passwords_at_once_are_not_counted_as_wrong_ones(monkeypatch):
    inside, most = [], []

    def post(_view, _request):
        inside.append(1)
        most.append(len(inside))
        time.sleep(0.05)  # in which all the others would come in, if they could
        inside.pop()

    monkeypatch.setattr(throttle, "seconds_to_wait", lambda *_: 0)
    monkeypatch.setattr(LoginView, "post", post)
    request = RequestFactory().post("/login", {"username": "Ada", "password": "right"})
    with ThreadPoolExecutor(8) as pool:
        list(pool.map(lambda _: LogIn().post(request), range(8)))
    assert len(most) == 8
    assert max(most) < throttle.MOST_TRIES


def test_wrong_tries_for_one_name_keep_no_other_out(stranger, person):
    person("Ann")
    for _ in range(throttle.MOST_TRIES):
        log_in(Browser(), "Ann", "wrong")
    assert log_in(Browser(), "Ludo Marsh").url == "/day"


@pytest.mark.parametrize("spelling", ["LUDO MARSH", "\uff2cudo Marsh", "Ludo\u00a0Marsh", "\u2113udo marsh"])
def test_another_spelling_of_a_name_is_no_way_round(stranger, spelling):
    for _ in range(throttle.MOST_TRIES):
        log_in(Browser(), "Ludo Marsh", "wrong")
    assert log_in(Browser(), spelling, "wrong").status_code == 429


def test_tries_count_by_the_network_that_one_person_has(stranger):
    def code(name, address):
        said = {"username": name, "password": "wrong"}
        return Browser(REMOTE_ADDR=address).post("/login", said).status_code

    codes = [code(f"n{n}", f"2001:db8::{n:x}") for n in range(throttle.MOST_FROM_ADDRESS + 1)]
    assert codes == [200] * throttle.MOST_FROM_ADDRESS + [429]
    assert code("n", "2001:db8:0:1::1") == 200
    assert code("n", "192.0.2.7") == 200


def test_the_right_password_wipes_the_slate(stranger):
    for _ in range(3):
        for _ in range(throttle.MOST_TRIES - 1):
            log_in(Browser(), "Ludo Marsh", "wrong")
        assert log_in(Browser(), "Ludo Marsh").url == "/day"


def test_two_passwords_are_worked_out_at_once_and_no_more(monkeypatch):
    now, most, turn = [], [], threading.Lock()

    def slowly(self, *said):
        with turn:
            now.append(1)
            most.append(len(now))
        time.sleep(0.02)
        with turn:
            now.pop()
        return "kept"

    for name in ("encode", "verify"):
        monkeypatch.setattr(Argon2PasswordHasher, name, slowly)
    threads = [
        threading.Thread(target=getattr(hashing.TwoAtOnce(), name), args=("a", "b"))
        for name in ("encode", "verify") * 4
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(most) == 8
    assert max(most) == 2


# -- what every answer carries -----------------------------------------------------------------------------------------


def test_a_form_from_elsewhere_is_refused(owner):
    browser = Browser(enforce_csrf_checks=True)
    browser.force_login(owner)
    for name in ("person-add", "kit-add", "sitting-start", "logout"):
        assert browser.post(reverse(name), {"name": "X"}).status_code == 403, name
    assert Browser(enforce_csrf_checks=True).post("/login", {"username": "Ann"}).status_code == 403
    assert Client.objects.count() == 5


def test_a_page_may_load_only_what_is_ours(owner):
    for page in (browser_of(owner).get("/day"), Browser().get("/login"), browser_of(owner).get("/people/999999")):
        policy = dict(d.strip().split(" ", 1) for d in page["Content-Security-Policy"].split(";"))
        assert policy["default-src"] == "'none'"
        assert {policy[d] for d in ("script-src", "style-src", "img-src", "connect-src", "form-action")} == {"'self'"}
        assert policy["frame-ancestors"] == "'none'"
        assert page["X-Frame-Options"] == "DENY"
        assert page["Referrer-Policy"] == "same-origin"


def test_the_cookies_are_for_the_server_alone(stranger):
    browser = Browser()
    log_in(browser, "Ludo Marsh")
    cookie = browser.cookies["tenter_session"]
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"
    assert cookie["max-age"] == 12 * 3600


def test_a_login_ends_after_a_working_day_unless_pages_are_opened(stranger, monkeypatch):
    start = time.time()
    browser = Browser()
    log_in(browser, "Ludo Marsh")
    for hours, status in ((11.9, 200), (23.8, 200), (35.9, 302)):
        now = start + hours * 3600
        monkeypatch.setattr("tenter.web.server.rolling.time.time", lambda now=now: now)
        monkeypatch.setattr(timezone, "now", lambda now=now: datetime.fromtimestamp(now, UTC))
        assert browser.get("/day").status_code == status, hours


def test_another_host_name_is_refused(db):
    assert Browser().get("/login", headers={"host": "elsewhere.example"}).status_code == 400


def test_the_style_sheet_comes_from_the_package(db):
    answer = Browser().get("/static/tenter/tenter.css")
    assert answer.status_code == 200
    assert b"--ink" in b"".join(answer.streaming_content)


def test_a_login_moves_on_with_the_pages_but_not_every_one_is_written_down(owner, monkeypatch):
    browser = browser_of(owner)
    start = int(time.time())
    written = []
    for later in (0, 60, 599, 601, 1202):
        monkeypatch.setattr("tenter.web.server.rolling.time.time", lambda later=later: start + later)
        cookie = browser.get("/day").cookies.get("tenter_session")
        written.append(cookie is not None)
    assert written == [True, False, False, True, True]


@pytest.mark.parametrize("address", ["/people", "/people/1", "/kit", "/studio/log", "/sittings", "/login", "/nowhere"])
def test_no_cache_keeps_a_page_and_no_page_may_use_the_machine(owner, address):
    answer = browser_of(owner).get(address)
    assert "no-store" in answer["Cache-Control"]
    for feature in ("camera", "microphone", "geolocation", "usb"):
        assert f"{feature}=()" in answer["Permissions-Policy"]


def test_a_nul_byte_is_refused_wherever_it_is_sent(owner):
    browser = browser_of(owner)
    assert browser.get("/studio/log?page=1%00").status_code == 400
    assert browser.get("/people%00").status_code == 400
    assert browser.get("/people?%00=1").status_code == 400
    assert browser.post("/people/add", {"name": "Orla\0Venn"}).status_code == 400
    assert Browser().post("/login", {"username": "Ludo", "password": "a\0b"}).status_code == 400
    browser.cookies["tenter_session"] = "a\0b"
    assert browser.get("/people").status_code == 400
    assert Client.objects.count() == 5
