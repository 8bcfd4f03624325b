"""The studio's time zone, as the machine's environment says it."""

from pathlib import Path
from zoneinfo import ZoneInfo

_UNKNOWN = "UTC"


def time_zone(said: str) -> str:
    """Return the name of the zone that `TZ` says, and UTC where that is none: no server fails to start for its clock.

    `TZ` may also begin with a colon or name a file, as `:/etc/localtime` does, which links to the zone's own. Rules
    without a name, such as CET-1CEST, have no zone here.
    """
    name = said.removeprefix(":")
    if name.startswith("/"):
        name = str(Path(name).resolve()).partition("/zoneinfo/")[2]
    try:
        return ZoneInfo(name).key
    except (KeyError, ValueError, OSError):  # unknown; no name at all; a folder of zones
        return _UNKNOWN
