"""The studio's time zone: the one that was set, or what the environment says, or the machine's own."""

import os
import time
from pathlib import Path
from zoneinfo import ZoneInfo, available_timezones

from django.conf import settings
from django.utils import timezone

from tenter import durable
from tenter.web.server.data_dir import data_dir

_FILE = "time-zone"
_UNKNOWN = "UTC"
MACHINE = Path("/etc")  # where systems say their zone: a link, or a name in a file


def studio_zone(folder: Path, said: str | None, machine: Path = MACHINE) -> str:
    """Return the name of the zone by which the studio tells days and times.

    folder: the data folder. said: the variable `TZ`, None where it is not set.
    """
    return _set_in(folder) or (_machines(machine) if said is None else time_zone(said))


def time_zone(said: str) -> str:
    """Return the name of the zone that `TZ` says, and UTC where that is none: no server fails to start for its clock.

    `TZ` may also begin with a colon or name a file, as `:/etc/localtime` does, which links to the zone's own. Rules
    without a name, such as CET-1CEST, have no zone here.
    """
    name = said.removeprefix(":")
    return _known(_linked(Path(name)) if name.startswith("/") else name) or _UNKNOWN


def set_zone(name: str) -> None:
    """Tell days and times by another zone from now on; `name` is one of `zones()`."""
    durable.write(data_dir() / _FILE, f"{name}\n".encode("ascii"), durable.PRIVATE)
    settings.TIME_ZONE = os.environ["TZ"] = name  # as Django does when it starts
    time.tzset()
    timezone.get_default_timezone.cache_clear()  # type: ignore[attr-defined]  # a cached function, which its stub does not say


def zones() -> list[str]:
    """Return the names that may be set."""
    return sorted(available_timezones())


def _set_in(folder: Path) -> str:
    try:
        return _known((folder / _FILE).read_text(encoding="ascii").strip())
    except (OSError, ValueError):
        return ""


def _machines(machine: Path) -> str:
    linked = _known(_linked(machine / "localtime"))
    if linked:
        return linked
    try:
        return _known((machine / "timezone").read_text(encoding="ascii").strip()) or _UNKNOWN
    except (OSError, ValueError):
        return _UNKNOWN


def _linked(path: Path) -> str:
    """Return the zone whose file a link leads to."""
    return str(path.resolve()).partition("/zoneinfo/")[2]


def _known(name: str) -> str:
    """Return a zone's name, or nothing where there is no such zone."""
    try:
        return ZoneInfo(name).key
    except (KeyError, ValueError, OSError):  # unknown; no name at all; a folder of zones
        return ""
