"""The studio's time zone, however the environment says it."""

import os
import subprocess
import sys

import pytest
from django.conf import settings
from django.utils import timezone

from tenter.web.server.time_zone import set_zone, studio_zone, time_zone
from tests.web.conftest import browser_of


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


@pytest.fixture
def machine(tmp_path):
    """A machine in Newfoundland, by its link and by its file."""
    zone = tmp_path / "zoneinfo" / "America" / "St_Johns"
    zone.parent.mkdir(parents=True)
    zone.touch()
    (tmp_path / "etc").mkdir()
    (tmp_path / "etc" / "localtime").symlink_to(zone)
    (tmp_path / "etc" / "timezone").write_text("Asia/Kathmandu\n")
    return tmp_path / "etc"


def test_without_a_word_the_machines_zone_is_the_studios(tmp_path, machine):
    assert studio_zone(tmp_path, None, machine) == "America/St_Johns"
    (machine / "localtime").unlink()
    assert studio_zone(tmp_path, None, machine) == "Asia/Kathmandu"
    (machine / "timezone").write_bytes(b"\xff")
    assert studio_zone(tmp_path, None, machine) == "UTC"
    (machine / "timezone").unlink()
    assert studio_zone(tmp_path, None, machine) == "UTC"


def test_the_environment_overrules_the_machine_and_the_studio_both(tmp_path, machine):
    assert studio_zone(tmp_path, "Europe/Berlin", machine) == "Europe/Berlin"
    (tmp_path / "time-zone").write_text("Africa/Lagos\n")
    assert studio_zone(tmp_path, "Europe/Berlin", machine) == "Africa/Lagos"
    (tmp_path / "time-zone").write_text("Nowhere\n")
    assert studio_zone(tmp_path, "Europe/Berlin", machine) == "Europe/Berlin"


@pytest.fixture
def zone_kept():
    before = settings.TIME_ZONE
    yield
    set_zone(before)


@pytest.mark.usefixtures("zone_kept")
def test_the_zone_is_set_on_the_page_and_holds_at_once_and_after_a_start(owner, folder):
    folder.mkdir()
    owner.is_superuser = True
    owner.save()
    visitor = browser_of(owner)
    assert visitor.post("/studio/zone", {"zone": "Nowhere"}).status_code == 200
    assert visitor.post("/studio/zone", {"zone": "Pacific/Kiritimati"}).status_code == 302
    assert timezone.get_default_timezone_name() == "Pacific/Kiritimati"
    assert "times of Pacific/Kiritimati" in visitor.get("/studio").content.decode()
    assert studio_zone(folder, "Europe/Berlin") == "Pacific/Kiritimati"


def test_the_zone_is_not_for_everybody(owner):
    assert browser_of(owner).get("/studio/zone").status_code == 404


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
