"""The studio's time zone, however the environment says it."""

import os
import subprocess
import sys

import pytest

from tenter.web.time_zone import time_zone


@pytest.mark.parametrize("said", ["Europe/Berlin", ":Europe/Berlin"])
def test_a_zone_is_known_by_its_name(said):
    assert time_zone(said) == "Europe/Berlin"


def test_a_link_leads_to_the_zone(tmp_path):
    zone = tmp_path / "zoneinfo" / "America" / "St_Johns"
    zone.parent.mkdir(parents=True)
    zone.touch()
    (tmp_path / "localtime").symlink_to(zone)
    assert time_zone(f":{tmp_path / 'localtime'}") == "America/St_Johns"


@pytest.mark.parametrize("said", ["", ":", "CET-1CEST", "Nowhere", "/no/such/file", "Europe", "../../etc/passwd"])
def test_what_is_no_zone_is_utc(said):
    assert time_zone(said) == "UTC"


@pytest.mark.parametrize("said", [":Pacific/Kiritimati", "CET-1CEST"])
def test_the_server_starts_by_any_clock(said, tmp_path):
    program = (
        "import django; django.setup(); from django.utils import timezone; print(timezone.get_default_timezone_name())"
    )
    environment = {
        **os.environ,
        "TZ": said,
        "TENTER_DATA_DIR": str(tmp_path),
        "DJANGO_SETTINGS_MODULE": "tenter.web.settings",
    }
    done = subprocess.run(
        [sys.executable, "-c", program], env=environment, capture_output=True, text=True, check=False, timeout=60
    )
    assert (done.returncode, done.stdout.strip()) == (0, time_zone(said))
