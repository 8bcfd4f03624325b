"""Sittings replayed, the latest first and each kept as it is done: beside the server, and for a backup."""

import time
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta

from django.db.models import Count
from django.utils import timezone
from django.utils.formats import number_format
from django.utils.translation import gettext as _

from tenter.errors import TenterError
from tenter.web.models import Sitting, SittingEvent
from tenter.web.replays import odds_seen, replays
from tenter.web.replays.backup_rows import RowsOf, stored_rows
from tenter.web.replays.odds_seen import OddsSeen

A_FEW = 10  # sittings that are replayed for a backup in any case: some seconds
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
            return _(
                "Every sitting has been worked out again: putting a backup back checks that its odds are the same."
            )
        told = _(
            "While no sitting is in progress Tenter works each one out again, so that it can check the odds when a "
            "backup is put back: %(replayed)s of %(sittings)s so far. A backup holds all of them."
        )
        return told % {"replayed": _grouped(self.replayed), "sittings": _grouped(self.sittings)}


def _grouped(count: int) -> str:
    return number_format(count, force_grouping=True)


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


def known_odds(events: Iterable[SittingEvent] | None = None, rows_of: RowsOf = stored_rows) -> dict[str, str]:
    """Return by number what sittings came to, of those that were replayed as they stand; every other one is read.

    events: all of them, in the order of a backup, where somebody reads them anyway; they are read to the end.
    rows_of: gives the rows of all sittings that are asked about.
    """
    with odds_seen.odds_seen() as seen:
        found = {history.number: _known(seen, history) for history in replays.histories(rows_of, events)}
    return {number: digest for number, digest in found.items() if digest is not None}


def _known(seen: OddsSeen, history: replays.SittingHistory) -> str | None:
    checksum = replays.checksum(history)
    digest = seen.digest(checksum)
    if digest is None:
        read_once(seen, history, checksum)
    return digest


def read_once(seen: OddsSeen, history: replays.SittingHistory, checksum: str) -> None:
    """Read every entry of a sitting; one with the same checksum was read already, and is the same letter by letter."""
    if not seen.was_read(checksum):
        replays.read_history(history)
        seen.keep_read(checksum)
