"""Tenter from an icon: a page while it starts, one server for one studio, and a way to stop it."""

import gc
import os
import re
import shlex
import signal
import socket
import sys
import threading
import urllib.error
import urllib.request

import pytest

from tenter.errors import TenterError
from tenter.web import serve
from tenter.web.models import AuditEntry
from tenter.web.server.server_lock import port_of_server, serving
from tenter.web.start import ending, icon, stop_views, waiting_page
from tenter.web.start.waiting_page import listening_at, waiting_at
from tests.support.pseudo import pseudo, write_catalogue
from tests.web.conftest import browser_of


@pytest.fixture
def listening():
    with listening_at("127.0.0.1", 0) as found:
        yield found


def shown(listening, languages="en"):
    """Return what a browser that asks for some languages is shown there."""
    address = f"http://127.0.0.1:{listening.getsockname()[1]}/"
    with pytest.raises(urllib.error.HTTPError) as answer:
        urllib.request.urlopen(urllib.request.Request(address, headers={"Accept-Language": languages}), timeout=10)
    assert answer.value.code == 503
    return answer.value.read().decode()


# -- while it starts ---------------------------------------------------------------------------------------------------


def test_a_browser_is_told_what_is_being_done_and_then_waits_for_the_server(listening):
    with waiting_at(listening) as page:
        page.doing = "The data & all."
        told = shown(listening)
        with socket.create_connection(listening.getsockname()):  # one that asks nothing keeps nobody waiting for long
            assert "Tenter is starting" in shown(listening)
    assert "The data &amp; all." in told
    assert 'http-equiv="refresh"' in told
    with socket.create_connection(listening.getsockname()):  # its line is open still
        listening.accept()[0].close()


def test_a_browser_is_told_in_the_first_of_its_languages_that_there_is_a_catalogue_of(listening, tmp_path, monkeypatch):
    folder = write_catalogue(tmp_path, "he")
    monkeypatch.setattr(waiting_page, "catalogue_folder", lambda: folder)
    monkeypatch.setattr(waiting_page, "known_languages", lambda: ("en", "he"))
    with waiting_at(listening):
        told = shown(listening, "xx, he-IL;q=0.8, en;q=0.5")
        assert "Tenter is starting" in shown(listening, "xx")
    assert '<html lang="he" dir="rtl">' in told
    assert f"<h1>{pseudo('Tenter is starting')}</h1>" in told
    assert pseudo("Please wait a moment.") in told


def test_a_browser_is_told_why_it_cannot_start(listening):
    told = []
    asking = threading.Timer(0.2, lambda: told.append(shown(listening)))

    def fails():
        with waiting_at(listening):
            asking.start()
            raise TenterError("the key is lost")

    with pytest.raises(TenterError, match="the key is lost"):
        fails()
    asking.join()
    assert "Tenter could not start" in told[-1]
    assert "the key is lost." in told[-1]
    assert "refresh" not in told[-1]


def test_another_port_is_taken_where_one_is_taken_and_an_address_of_others_is_refused(listening):
    port = listening.getsockname()[1]
    with listening_at("127.0.0.1", port) as other:
        assert other.getsockname()[1] != port
    with pytest.raises(TenterError, match=r"cannot listen at 192\.0\.2\.1"):  # of documents: RFC 5737
        listening_at("192.0.2.1", 8000)


@pytest.mark.parametrize("host", ["0.0.0.0", "192.168.1.5", "::", "", "studio.local"])
@pytest.mark.parametrize("flags", [[], ["--open"]])
def test_an_address_that_others_reach_is_refused_before_anything_is_served(monkeypatch, capsys, host, flags):
    monkeypatch.setattr(serve, "serve", lambda *_: pytest.fail("it was served"))
    with pytest.raises(SystemExit) as ending:
        serve.main(["--host", host, *flags])
    said = capsys.readouterr().err
    assert ending.value.code == TenterError.exit_code
    assert f"--host {host!r} would show every page" in said
    assert "open Studio, Connect a device" in said


@pytest.mark.parametrize("host", ["127.0.0.1", "127.0.0.5", "::1", "localhost"])
def test_an_address_of_this_computer_itself_is_served(monkeypatch, host):
    asked = []
    monkeypatch.setattr(serve, "serve", lambda *said: asked.append(said))
    serve.main(["--host", host, "--port", "8001"])
    assert asked == [(host, 8001)]


def test_where_tenter_runs_only_the_browser_is_opened(folder, monkeypatch):
    opened, started = [], []
    monkeypatch.setattr(serve.webbrowser, "open", opened.append)
    monkeypatch.setattr(serve, "serve", lambda *said: started.append(said[:2]))
    folder.mkdir()
    with serving(folder, 8123):
        assert port_of_server(folder) == 8123
        serve.main(["--open"])
    assert (opened, started) == (["http://127.0.0.1:8123/"], [])
    assert port_of_server(folder) is None
    serve.main(["--open", "--port", "0"])
    [(_, port)] = started
    assert opened[1] == f"http://127.0.0.1:{port}/"


# -- the icon ----------------------------------------------------------------------------------------------------------


def test_an_icon_starts_this_tenter_on_this_data(folder, monkeypatch, capsys, tmp_path):
    serve.main(["--icon"])
    entry = tmp_path / "share" / "applications" / "tenter.desktop"
    assert str(entry) in capsys.readouterr().err
    said = dict(line.split("=", 1) for line in entry.read_text(encoding="utf-8").splitlines() if "=" in line)
    assert shlex.split(said["Exec"])[:2] == ["env", f"TENTER_DATA_DIR={folder}"]
    assert said["Exec"].endswith('tenter-web" "--open"')
    assert said["Version"] == "1.0"  # newer ones desktop-file-validate 0.26 calls unknown
    assert said["Icon"].endswith("tenter.svg")
    assert (tmp_path / "share/icons/hicolor/scalable/apps/tenter.svg").read_bytes().startswith(b"<svg")


def test_an_icons_command_is_quoted_as_the_specification_has_it():
    assert icon.quoted_argument('a "b" $c 100% \\') == r'"a \\"b\\" \\$c 100%% \\\\"'


def test_on_another_system_the_command_is_said(monkeypatch):
    monkeypatch.setattr(sys, "platform", "darwin")
    with pytest.raises(TenterError, match=re.escape("tenter-web --open")):
        icon.install_icon()


# -- stopping ----------------------------------------------------------------------------------------------------------


def test_the_owner_stops_tenter_from_the_studios_page(owner, monkeypatch):
    stopped = threading.Event()
    monkeypatch.setattr(stop_views, "end_this_process", stopped.set)
    monkeypatch.setattr(stop_views, "_UNTIL_IT_IS_SHOWN", 0.0)
    assert browser_of(owner).post("/studio/stop").status_code == 404
    owner.is_superuser = True
    owner.save()
    browser = browser_of(owner)
    assert "Stop Tenter" in browser.get("/studio").text
    assert "Everything is saved" in browser.post("/studio/stop").text
    assert stopped.wait(5)
    assert AuditEntry.objects.first().action == "Tenter stopped"


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_closing_signal_ends_it_in_order(number):
    before = {one: signal.getsignal(one) for one in (signal.SIGTERM, signal.SIGHUP)}
    ended = []

    def runs():
        try:
            os.kill(os.getpid(), number)
            threading.Event().wait(5)
        finally:
            ended.append(True)

    try:
        ending.end_in_order()
        with pytest.raises(SystemExit) as leaving:
            runs()
    finally:
        for one, handler in before.items():
            signal.signal(one, handler)
    assert (leaving.value.code, ended) == (0, [True])


def test_what_a_start_has_loaded_is_not_looked_through_again(monkeypatch):
    frozen = []
    for name in ("end_in_order", "_prepare", "_shut_the_network"):
        monkeypatch.setattr(serve, name, lambda *_: None)
    monkeypatch.setattr(serve, "_run", lambda *_: frozen.append(gc.get_freeze_count()))
    gc.unfreeze()
    serve.serve("127.0.0.1", 8000)
    gc.unfreeze()
    assert frozen[0] > 0
