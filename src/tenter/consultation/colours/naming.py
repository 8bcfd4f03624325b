"""Names within one palette: no two of its colours share one."""

from collections.abc import Sequence


def distinct_names(names: Sequence[Sequence[str]], taken: Sequence[str] = ()) -> list[str]:
    """Return a name for each colour out of those it may have, best first; earlier colours choose first."""
    used, found = set(taken), []
    for offered in names:
        free = (name for name in offered if name not in used)
        name = next(free, None) or _numbered(offered[0], used)
        used.add(name)
        found.append(name)
    return found


def _numbered(name: str, used: set[str]) -> str:
    count = 2
    while f"{name} {count}" in used:
        count += 1
    return f"{name} {count}"
