"""Sittings replayed, the latest first and each kept as it is done: beside the server, for a backup, and of a backup.

To replay ten thousand sittings takes half an hour of one processor. So the worker replays them once while nobody sits;
a backup is told what is known and replays a few that are not; and of a backup that is looked at, where not all is
known, a sample is replayed and every entry of the others read. How many that were is said where it is not all.
"""

import time
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db.models import Count
from django.utils import timezone

from tenter.errors import TenterError
from tenter.numerals import how_many
from tenter.web import odds_seen, replays
from tenter.web.backup_file import Backup, refused_in_words
from tenter.web.backup_rows import stored_rows, tables
from tenter.web.models import Sitting, SittingEvent
from tenter.web.odds_seen import OddsSeen
from tenter.web.restored_rows import read_rows

AT_MOST = 300  # sittings for one backup; a sample of 300 misses a fault in one of a hundred five times in a hundred
A_FEW = 10  # sittings that are replayed for a backup in any case: some seconds
_LATEST = 100  # of a sample; the others lie evenly among the earlier ones
_NAMED = 20  # sittings, at most, in one sentence
_QUIET = timedelta(minutes=2)


@dataclass(frozen=True, slots=True)
class Progress:
    """How many of the studio's sittings have been replayed by this program, as far as they have come."""

    replayed: int
    sittings: int

    @property
    def complete(self) -> bool:
        """Whether none is left."""
        return self.replayed >= self.sittings

    def __str__(self) -> str:
        if self.complete:
            return "Every sitting has been replayed: putting a backup back checks that its odds are what they were."
        return (
            f"{self.replayed:,} of {self.sittings:,} sittings have been replayed; the others follow in the "
            "background while no sitting is in progress. A backup holds all of them, but a restore can check "
            "only the odds of replayed ones."
        )


# -- of the studio -----------------------------------------------------------------------------------------------------


def progress() -> Progress:
    """Return how far the replaying is."""
    with odds_seen.odds_seen() as seen:
        counts = _counts()
        noted = seen.noted()
    return Progress(sum(noted.get(pk) == events for pk, events in counts.items()), len(counts))


def somebody_sits() -> bool:
    """Whether an entry was made a moment ago: then the processor is theirs."""
    latest = SittingEvent.objects.order_by("-pk").values_list("at", flat=True).first()
    return latest is not None and abs(timezone.now() - latest) < _QUIET


def catch_up(at_most: int, seconds: float | None = None) -> bool:
    """Replay sittings that are new or changed, the latest first; whether some are left.

    at_most, seconds: where to stop. One that cannot be replayed is left to whoever reads it next.
    """
    started = time.monotonic()
    with odds_seen.odds_seen() as seen:
        due = _due(seen)
        for done, (pk, events) in enumerate(due):
            if done >= at_most or (seconds is not None and time.monotonic() - started > seconds):
                return True
            _see_to(seen, pk, events)
    return False


def catch_up_for_backup(at_most: int) -> None:
    """Replay the latest sittings, until as many are known as one backup may cost; from then on a few each time."""
    catch_up(max(min(at_most, A_FEW), at_most - progress().replayed))


def _counts() -> dict[int, int]:
    """Return how many events each sitting has, the latest sitting first."""
    return dict(Sitting.objects.order_by("-pk").annotate(count=Count("events")).values_list("pk", "count"))


def _due(seen: OddsSeen) -> list[tuple[int, int]]:
    counts = _counts()
    seen.forget_but(counts)
    noted = seen.noted()
    return [(pk, events) for pk, events in counts.items() if noted.get(pk) != events]


def _see_to(seen: OddsSeen, pk: int, events: int) -> None:
    row = Sitting.objects.select_related("kit", "own_method").filter(pk=pk).first()
    if row is None:  # erased meanwhile
        return
    history = replays.history_of(row)
    checksum = replays.checksum(history)
    try:
        if seen.digest(checksum) is None:
            seen.keep(checksum, replays.digest(history))
    except TenterError:
        pass  # a backup reads every sitting that is not known, and says what is wrong with it
    seen.note(pk, events, checksum)


def known_odds(events: Iterable[SittingEvent] | None = None) -> dict[str, str]:
    """Return by number what sittings came to, of those that were replayed as they stand; every other one is read.

    events: all of them, in the order of a backup, where somebody reads them anyway; they are read to the end.
    """
    with odds_seen.odds_seen() as seen:
        found = {history.number: _known(seen, history) for history in replays.histories(stored_rows, events)}
    return {number: digest for number, digest in found.items() if digest is not None}


def _known(seen: OddsSeen, history: replays.SittingHistory) -> str | None:
    checksum = replays.checksum(history)
    digest = seen.digest(checksum)
    if digest is None:
        _read(seen, history, checksum)
    return digest


def _read(seen: OddsSeen, history: replays.SittingHistory, checksum: str) -> None:
    """Read every entry of a sitting; one with the same checksum was read already, and is the same letter by letter."""
    if not seen.was_read(checksum):
        replays.read_history(history)
        seen.keep_read(checksum)


# -- of a backup -------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Checked:
    """What a backup's sittings were found to be.

    `compared` counts those whose odds were replayed and held against what the backup notes; `differing` holds the
    numbers of those that came out otherwise.
    """

    sittings: int
    entries: int
    latest: datetime | None  # when the latest entry was made
    compared: int
    differing: tuple[int, ...] = ()

    def __str__(self) -> str:
        how = "Every sitting was replayed"
        if self.compared < self.sittings:
            how = f"Every entry was read, and {self.compared:,} of {how_many(self.sittings, 'sitting')} were replayed"
        if self.differing:
            return (
                f"{how}. The odds of sitting {named_sittings(self.differing)} are not what they were when the backup "
                "was made, as they may be after a change of the model."
            )
        if self.compared < self.sittings:
            return f"{how}: their odds are what they were. The odds of the others were not worked out again."
        return f"{how}, and its odds are what they were."


def named_sittings(sittings: Collection[int]) -> str:
    """Return the numbers of sittings, the first of them where they are many."""
    some = ", ".join(map(str, sorted(sittings)[:_NAMED]))
    return some if len(sittings) <= _NAMED else f"{some} and {len(sittings) - _NAMED:,} more"


def check_backup(backup: Backup) -> Checked:
    """Read every row of a backup, and replay its sittings, or a sample of those whose odds are not known here.

    Raises `UnreadableInput` where a row or an entry is none. Nothing is changed by it.
    """
    with refused_in_words(backup.source):
        _read_the_others(backup)
        read_rows(backup.in_order)
        return _check_sittings(backup)


def _read_the_others(backup: Backup) -> None:
    for model in tables():
        if model not in (Sitting, SittingEvent):
            for _ in backup.rows_of(model):
                pass


def _check_sittings(backup: Backup) -> Checked:
    sample, tally = _sample([row.pk for row in backup.rows_of(Sitting)]), _Tally()
    sittings, compared, differing = 0, 0, []
    with odds_seen.odds_seen() as seen:
        for history in replays.histories(backup.rows_of, tally.of(backup.in_order(SittingEvent))):
            sittings += 1
            digest = _digest(seen, history, history.sitting.pk in sample)
            noted = backup.digests.get(history.number)
            if digest is not None and noted is not None:
                compared += 1
                differing += [history.sitting.pk] if digest != noted else []
    return Checked(sittings, tally.entries, tally.latest, compared, tuple(differing))


def _sample(numbers: list[int]) -> frozenset[int]:
    """Return the latest sittings and some that lie evenly among those before; all where they are few."""
    if len(numbers) <= AT_MOST:
        return frozenset(numbers)
    ordered = sorted(numbers)
    before, latest, wanted = ordered[:-_LATEST], ordered[-_LATEST:], AT_MOST - _LATEST
    return frozenset(latest + [before[place * len(before) // wanted] for place in range(wanted)])


def _digest(seen: OddsSeen, history: replays.SittingHistory, replay: bool) -> str | None:
    """Return what a sitting comes to, from memory or replayed; None where it was read only."""
    checksum = replays.checksum(history)
    digest = seen.digest(checksum)
    if digest is None and replay:
        digest = replays.digest(history)
        seen.keep(checksum, digest)
    elif digest is None:
        _read(seen, history, checksum)
    return digest


class _Tally:
    """Counts entries as they go by."""

    def __init__(self) -> None:
        self.entries, self.latest = 0, None

    def of(self, events: Iterable[Any]) -> Iterator[Any]:
        for event in events:
            if event.kind == "recorded":
                self.entries += 1
                self.latest = event.at if self.latest is None else max(self.latest, event.at)
            yield event
