"""What sittings come to when their events are replayed: remembered for a backup, worked out anew for a restore.

A replay takes a tenth of a second and more. What it came to is remembered under a checksum of all that it follows from:
kit, method, seed, what was known of the analyst, events and the program itself. The same checksum is the same odds, so
a backup replays only what is new since the last. A restore remembers nothing and replays everything.
"""

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.metadata import version
from importlib.resources import files
from pathlib import Path
from typing import Any

from tenter import durable
from tenter.errors import TenterError
from tenter.web import store
from tenter.web.data_dir import data_dir
from tenter.web.models import KitRecord, MethodRecord, Sitting, SittingEvent

_DIGITS = 6  # of a probability; further ones may differ between processors
_REMEMBERED = "odds-seen.json"
_DECIDING = ("colorimetry", "inference", "consultation")  # the parts of the program that odds follow from
# What events that are none may raise on their way into a sitting.
_NO_EVENT = (TenterError, LookupError, ValueError, TypeError, AttributeError)


@dataclass(frozen=True, slots=True)
class History:
    """A sitting with its kit and method at hand, and what happened in it, in order."""

    sitting: Sitting
    events: tuple[Mapping[str, Any], ...]

    @property
    def number(self) -> str:
        """The sitting's number, as a backup writes it."""
        return str(self.sitting.pk)


def histories(
    sittings: Iterable[Sitting],
    events: Iterable[SittingEvent],
    kits: Iterable[KitRecord],
    methods: Iterable[MethodRecord],
) -> tuple[History, ...]:
    """Put rows together, from the database or from a backup, without asking the database for more."""
    kit_of, method_of = {kit.pk: kit for kit in kits}, {method.pk: method for method in methods}
    of_sitting: dict[int, list[Mapping[str, Any]]] = {}
    for event in sorted(events, key=lambda event: int(event.number)):
        of_sitting.setdefault(event.sitting_id, []).append(event.payload)
    return tuple(History(_at_hand(row, kit_of, method_of), tuple(of_sitting.get(row.pk, ()))) for row in sittings)


def _at_hand(row: Sitting, kit_of: Mapping[int, KitRecord], method_of: Mapping[int, MethodRecord]) -> Sitting:
    if row.kit_id not in kit_of or row.own_method_id not in (None, *method_of):
        raise TenterError(f"its rows do not fit together (sitting {row.pk} names a kit or method that is not there)")
    row.kit = kit_of[row.kit_id]
    if row.own_method_id is not None:
        row.own_method = method_of[row.own_method_id]
    return row


def digest(history: History) -> str:
    """Replay a sitting and return what its probabilities come to, a short word that is the same for the same odds."""
    try:
        probabilities = store.replayed(history.sitting, history.events).probabilities()
    except _NO_EVENT as error:
        raise TenterError(f"sitting {history.number} cannot be replayed ({error})") from None
    odds = {name: f"{p:.{_DIGITS}f}" for name, p in probabilities.items()}
    return hashlib.sha256(json.dumps(odds, sort_keys=True).encode()).hexdigest()


def differing(found: Iterable[History], digests: Mapping[str, str]) -> tuple[int, ...]:
    """Replay every sitting and return the numbers of those whose odds are not what they were."""
    return tuple(history.sitting.pk for history in found if digest(history) != digests.get(history.number))


# -- remembered for the next backup ------------------------------------------------------------------------------------


def remembered_digests(found: Iterable[History]) -> dict[str, str]:
    """Return each sitting's digest, replaying those alone that have not been replayed as they stand."""
    place = data_dir() / _REMEMBERED
    known, checksums = _read(place), {history.number: (checksum(history), history) for history in found}
    fresh = {key: known.get(key) or digest(history) for key, history in checksums.values()}
    if fresh != known:
        _write(place, fresh)
    return {number: fresh[key] for number, (key, _) in checksums.items()}


def forget(checksums: Iterable[str]) -> None:
    """Forget what sittings came to, by their checksums."""
    place, gone = data_dir() / _REMEMBERED, set(checksums)
    known = _read(place)
    if gone & set(known):
        _write(place, {key: digest for key, digest in known.items() if key not in gone})


def checksum(history: History) -> str:
    """Return a checksum of everything that a sitting's odds follow from."""
    row = history.sitting
    method = row.own_method.toml if row.own_method else row.method
    said = [_program(), row.kit.name, row.kit.csv, method, row.seed, row.analyst_prior, history.events]
    return hashlib.sha256(json.dumps(said, sort_keys=True).encode()).hexdigest()


@lru_cache(maxsize=1)
def _program() -> str:
    """Return a checksum of the program, as far as odds follow from it."""
    whole = hashlib.sha256(f"{version('tenter')} {version('numpy')}".encode())
    for part in _DECIDING:
        root = Path(str(files("tenter") / part))
        for path in sorted(p for p in root.rglob("*") if p.is_file() and "__pycache__" not in p.parts):
            whole.update(f"{path.relative_to(root)}\0".encode() + path.read_bytes())
    return whole.hexdigest()


def _read(place: Path) -> dict[str, str]:
    """Return what was remembered; a file that is missing or torn means that nothing was."""
    try:
        known = json.loads(place.read_text(encoding="ascii"))
    except (OSError, ValueError, RecursionError):
        return {}
    return known if isinstance(known, dict) and all(isinstance(v, str) for v in known.values()) else {}


def _write(place: Path, digests: Mapping[str, str]) -> None:
    durable.write(place, json.dumps(digests, indent=0).encode("ascii"))
