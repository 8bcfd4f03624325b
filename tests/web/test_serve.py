"""`tenter-web` serves a studio from an empty folder; the folder is its owner's alone."""

import os
import socket
import stat
import subprocess
import sys
import time
from urllib.error import URLError
from urllib.request import urlopen

import pytest

from tenter.web.data_dir import data_dir, secret_key

pytestmark = pytest.mark.one_database


@pytest.fixture
def port():
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return free.getsockname()[1]


def opened(address, server):
    for _ in range(300):
        try:
            with urlopen(address, timeout=5) as answer:
                return answer.url, answer.read().decode()
        except URLError:
            assert server.poll() is None, server.stderr.read()
            time.sleep(0.1)
    raise AssertionError(f"nothing answers at {address}")


def test_a_studio_is_served_from_an_empty_folder(tmp_path, port):
    folder = tmp_path / "studio"
    left = folder / "passing" / "tmpface.upload"
    left.parent.mkdir(parents=True)
    folder.chmod(0o750)  # as its owner wants it
    left.write_bytes(b"a face, from a server that was killed")
    inherited = {k: v for k, v in os.environ.items() if k not in ("DATABASE_URL", "DJANGO_SETTINGS_MODULE")}
    command = [sys.executable, "-c", "from tenter.web.serve import main; main()", "--port", str(port)]
    server = subprocess.Popen(
        command, env={**inherited, "TENTER_DATA_DIR": str(folder)}, stderr=subprocess.PIPE, text=True
    )
    try:
        address, page = opened(f"http://127.0.0.1:{port}/", server)
        sheet = opened(f"http://127.0.0.1:{port}/static/tenter/tenter.css", server)[1]
    finally:
        server.terminate()
        said = server.communicate(timeout=20)[1]
    assert address.endswith("/welcome")
    assert not left.exists()
    assert "Open your studio" in page
    assert "--ink" in sheet
    assert f"http://127.0.0.1:{port}/" in said
    assert "Warning" not in said
    assert "Traceback" not in said
    assert stat.S_IMODE(folder.stat().st_mode) == 0o750
    assert stat.S_IMODE((folder / "tenter.sqlite3").stat().st_mode) == 0o600
    assert stat.S_IMODE((folder / "secret-key").stat().st_mode) == 0o600


def test_a_new_folder_is_its_owners_alone_and_one_that_is_there_keeps_its_mode(tmp_path, monkeypatch):
    folder = tmp_path / "new" / "studio"
    monkeypatch.setenv("TENTER_DATA_DIR", str(folder))
    assert stat.S_IMODE(data_dir().stat().st_mode) == 0o700
    folder.chmod(0o750)
    assert stat.S_IMODE(data_dir().stat().st_mode) == 0o750


def test_the_key_that_signs_is_made_once_and_again_where_it_was_left_empty(tmp_path):
    key = secret_key(tmp_path)
    assert len(key) > 50
    assert secret_key(tmp_path) == key
    (tmp_path / "secret-key").write_bytes(b"\n")
    again = secret_key(tmp_path)
    assert len(again) > 50
    assert again != key
    assert stat.S_IMODE((tmp_path / "secret-key").stat().st_mode) == 0o600
    assert [path.name for path in tmp_path.iterdir()] == ["secret-key"]
