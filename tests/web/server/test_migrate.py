"""A change of the tables and the note that it was made are one: killed between them, a studio starts all the same."""

import os
import sqlite3
import subprocess
import sys
from contextlib import closing

import pytest

CHANGES = """
import os, sys
import django
django.setup()
from django.core.management import call_command
from django.db.migrations.recorder import MigrationRecorder
whole = MigrationRecorder.record_applied
def killed(self, app, name):
    if name == sys.argv[1]:
        os._exit(9)
    whole(self, app, name)
MigrationRecorder.record_applied = killed
call_command("migrate", interactive=False, verbosity=0)
"""


@pytest.fixture
def studio(tmp_path):
    def run(dies_at=""):
        own = {"DJANGO_SETTINGS_MODULE": "tenter.web.settings", "TENTER_DATA_DIR": str(tmp_path)}
        environment = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"} | own
        command = [sys.executable, "-c", CHANGES, dies_at]
        done = subprocess.run(command, check=False, env=environment, capture_output=True, text=True, timeout=120)
        return done.returncode, done.stderr

    return run


def tables(folder):
    with closing(sqlite3.connect(folder / "tenter.sqlite3")) as database:
        found = {name for (name,) in database.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        noted = {name for (name,) in database.execute("SELECT name FROM django_migrations WHERE app = 'tenter'")}
    return found, noted


@pytest.mark.one_database
@pytest.mark.parametrize(("change", "table"), [("0018_consents", "tenter_consent"), ("0001_studio", "tenter_client")])
def test_a_change_that_was_not_noted_was_not_made_and_the_next_start_makes_it(studio, tmp_path, change, table):
    assert studio(dies_at=change)[0] == 9
    made, noted = tables(tmp_path)
    assert (table in made, change in noted) == (False, False)
    assert studio() == (0, "")
    made, noted = tables(tmp_path)
    assert (table in made, change in noted) == (True, True)
