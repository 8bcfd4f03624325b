"""The passphrase is known to the server's own process alone: not to its environment, its children or a cache."""

import functools
import importlib
import os
import pickle
import pkgutil
import subprocess
import sys

import pytest

from tenter.web import keys, sealing, serve
from tenter.web.sealing import passphrase, photo_keys, stretching
from tenter.web.sealing.passphrase import VARIABLE, Passphrase

WORD, OTHER = "linen on the line", "wool by the window"
STARTED = """
import os, subprocess, sys, django
django.setup()
from tenter.web.sealing import passphrase
print(bool(passphrase.GIVEN), passphrase.VARIABLE in os.environ)
child = [sys.executable, "-c", "import os; print(*os.environ.values())"]
print(subprocess.run(child, capture_output=True, text=True).stdout)
"""


@pytest.fixture(autouse=True)
def given(tmp_path, monkeypatch):
    monkeypatch.setenv("TENTER_DATA_DIR", str(tmp_path))
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase())


def in_environment(word):
    return any(word in said for said in os.environ.values())


def test_it_is_taken_out_of_the_environment(monkeypatch):
    monkeypatch.setenv(VARIABLE, WORD)
    passphrase.GIVEN.take_from_environment()
    assert passphrase.GIVEN
    assert not in_environment(WORD)
    passphrase.GIVEN.take_from_environment()
    assert len(passphrase.GIVEN) == len(WORD), "there is none to take now, and the one taken is kept"


@pytest.mark.one_database  # a process of its own, on a folder of its own
def test_after_a_start_neither_the_environment_nor_a_child_has_it(tmp_path):
    environment = {**os.environ, VARIABLE: WORD, "DJANGO_SETTINGS_MODULE": "tenter.web.settings"}
    done = subprocess.run(
        [sys.executable, "-c", STARTED], env=environment, capture_output=True, text=True, check=True, timeout=60
    )
    first, children = done.stdout.split("\n", 1)
    assert first == "True False"
    assert str(tmp_path) in children
    assert WORD not in children


def test_one_typed_at_the_start_and_one_changed_stay_out_of_it(monkeypatch):
    passphrase.GIVEN.give(WORD)
    photo_keys.sealing_key()
    passphrase.GIVEN.give("")
    monkeypatch.setattr("sys.stdin.isatty", lambda: True, raising=False)
    monkeypatch.setattr("getpass.getpass", lambda _prompt: WORD)
    serve._ask_for_passphrase()
    assert photo_keys.keeper() is photo_keys.Keeper.PASSPHRASE
    assert not in_environment(WORD)
    photo_keys.change_passphrase(WORD, OTHER)
    assert len(passphrase.GIVEN) == len(OTHER)
    assert not in_environment(WORD)
    assert not in_environment(OTHER)


def test_its_keys_are_made_once_and_forgotten_with_it(monkeypatch):
    made = []
    stretched = stretching.stretched
    monkeypatch.setattr(stretching, "stretched", lambda *said: made.append(said) or stretched(*said))
    known = Passphrase(WORD)
    assert known.secret(b"salt") == known.secret(b"salt") != known.secret(b"other salt")
    assert len(made) == 2
    known.give(OTHER)
    assert known._made == {}
    known.secret(b"salt")
    assert len(made) == 3


def test_no_cache_of_these_modules_keeps_what_is_asked():
    modules = [
        importlib.import_module(found.name)
        for package in (sealing, keys)
        for found in pkgutil.iter_modules(package.__path__, f"{package.__name__}.")
    ]
    assert photo_keys in modules
    cached = [name for m in modules for name, one in vars(m).items() if isinstance(one, functools._lru_cache_wrapper)]
    assert cached == []


def test_it_shows_itself_to_nobody():
    known = Passphrase(WORD)
    assert WORD not in f"{known!r} {known}"
    with pytest.raises(TypeError, match="not handed"):
        pickle.dumps(known)
