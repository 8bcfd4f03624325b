"""Which of the backups in the folder stay: of the last seven days, four weeks and twelve months the latest each.

They are counted by the days on which there is one, not by the calendar, so that a closed month or a wrong clock removes
nothing.
"""

import re
from collections.abc import Callable, Iterable
from datetime import datetime

_DAYS, _WEEKS, _MONTHS = 7, 4, 12  # how many of each are kept; set by judgement
_NAMED = re.compile(r"tenter-(\d{4}-\d{2}-\d{2}-\d{6})\.sealed")
_TIME = "%Y-%m-%d-%H%M%S"


def name_at(moment: datetime) -> str:
    """Return what a backup of a moment is called."""
    return f"tenter-{moment:{_TIME}}.sealed"


def moment_of(name: str) -> datetime | None:
    """Return when a backup was written, by its name; None for a file of another name."""
    found = _NAMED.fullmatch(name)
    try:
        return datetime.strptime(found[1], _TIME) if found else None  # by the studio's own clock
    except ValueError:
        return None


def to_remove(names: Iterable[str]) -> list[str]:
    """Return the backups that need not be kept any more, the earliest first; names of another kind are left alone."""
    dated = {name: moment for name in names if (moment := moment_of(name)) is not None}
    latest_first = sorted(dated, key=lambda name: dated[name], reverse=True)
    stay: set[str] = set()
    for most, period in _PERIODS:
        seen: set[str] = set()
        for name in latest_first:
            of = period(dated[name])
            if of not in seen and len(seen) < most:
                seen.add(of)
                stay.add(name)
    return [name for name in reversed(latest_first) if name not in stay]


_PERIODS: tuple[tuple[int, Callable[[datetime], str]], ...] = (
    (_DAYS, lambda moment: f"{moment:%Y-%m-%d}"),
    (_WEEKS, lambda moment: f"{moment:%G-%V}"),
    (_MONTHS, lambda moment: f"{moment:%Y-%m}"),
)
