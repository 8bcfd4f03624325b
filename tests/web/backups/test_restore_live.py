"""A restore while somebody sits: at a real server, with a real file, on SQLite."""

import os
import sqlite3
import subprocess
import sys
import threading
from urllib.request import Request

import numpy as np
import pytest

from studies.web.live_studio import PASSWORD, LiveStudio, Visitor
from studies.web.scripted import Script, stored_keys
from tenter.web.backups.backup_file import read_backup

pytestmark = pytest.mark.browser  # with the browser's tests, for they are at a real server too


@pytest.fixture
def own(tmp_path):
    """A served studio of this test alone, for everything in it is replaced."""
    running = LiveStudio(tmp_path).start()
    yield running
    running.stop()


def look_at(visitor, content):
    visitor.get("/studio/restore")
    body = b'--x\r\nContent-Disposition: form-data; name="file"; filename="b.zip"\r\n\r\n' + content + b"\r\n--x--\r\n"
    headers = {"X-CSRFToken": visitor._token, "Origin": visitor.studio.address}
    headers["Content-Type"] = "multipart/form-data; boundary=x"
    return visitor._ask(Request(f"{visitor.studio.address}/studio/restore", body, headers))


def backup_now(visitor):
    visitor.get("/studio")
    request = Request(f"{visitor.studio.address}/studio/backup", b"", {"X-CSRFToken": visitor._token})
    request.add_header("Origin", visitor.studio.address)
    with visitor._opener.open(request) as answer:
        return answer.read()


def by_command(studio, file):
    environment = {**os.environ, "TENTER_DATA_DIR": str(studio.folder / "data")}
    environment |= {"DJANGO_SETTINGS_MODULE": "tenter.web.settings"}
    command = [sys.executable, "-m", "django", "restore", str(file), "--replace"]
    done = subprocess.run(command, check=False, env=environment, capture_output=True, text=True, timeout=60)
    return done.returncode, done.stdout + done.stderr


def test_no_confirmed_entry_is_lost_to_a_restore(own, tmp_path):
    visitor = Visitor(own)
    visitor.open_studio()
    before = backup_now(visitor)
    device = Visitor(own)
    device.log_in()
    script = Script(device, device.start_sitting(), np.random.default_rng(5)).run(2)

    def go_on():
        with pytest.raises((RuntimeError, ValueError)):  # until the login is over
            script.run(500)

    sitting = threading.Thread(target=go_on)
    sitting.start()
    assert "its odds are what they were" in look_at(visitor, before)[1]
    status, page = visitor.post("/studio/restore/confirm", {"password": PASSWORD, "word": "replace"})
    sitting.join()
    assert (status, "The backup is restored" in page) == (200, True)
    (safety,) = (own.folder / "data").glob("before-restore-*.zip")
    kept = [event.key for event in read_backup(safety).rows["tenter.sittingevent"]]
    assert len(script.acknowledged) > 2, "nobody sat meanwhile"
    assert [key for key in script.acknowledged if key not in kept] == []
    assert stored_keys(own, script.sitting) == []
    with sqlite3.connect(own.folder / "data" / "tenter.sqlite3") as rows:
        assert rows.execute("PRAGMA integrity_check").fetchone() == ("ok",)

    (tmp_path / "b.zip").write_bytes(before)
    code, said = by_command(own, tmp_path / "b.zip")
    assert (code, f"running at port {own.port}" in said, "Traceback" in said) == (2, True, False), said
    own.kill()
    code, said = by_command(own, tmp_path / "b.zip")
    assert (code, "all as they were" in said) == (0, True), said
