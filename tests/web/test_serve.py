"""The studio's folder is its owner's alone, and how the server ends.

That a studio is served from an empty one: tests/delivered/test_package.py.
"""

import stat

import pytest

from tenter.errors import STOPPED, Refused, TenterError
from tenter.web import serve
from tenter.web.server.data_dir import data_dir, secret_key

pytestmark = pytest.mark.one_database


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


@pytest.mark.parametrize(
    ("problem", "code", "said"),
    [
        (TenterError("the port is taken"), 2, "the port is taken\n"),
        (Refused("another passphrase is needed"), 3, "another passphrase is needed\n"),
        (KeyboardInterrupt(), STOPPED, ""),
    ],
    ids=["error", "refused", "ctrl-c"],
)
def test_the_server_ends_as_every_command_does(monkeypatch, capsys, problem, code, said):
    def serving(host, port):
        raise problem

    monkeypatch.setattr(serve, "serve", serving)
    with pytest.raises((SystemExit, KeyboardInterrupt)) as ending:
        serve.main([])
    assert (getattr(ending.value, "code", None), capsys.readouterr().err) == (code, said)
