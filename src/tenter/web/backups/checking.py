"""Sittings replayed, the latest first and each kept as it is done: beside the server, for a backup, and of a backup.

To replay ten thousand sittings takes half an hour of one processor. So the worker replays them once while nobody sits;
a backup is told what is known and replays a few that are not; and of a backup that is looked at, where not all is
known, a sample is replayed and every entry of the others read. How many that were is said where it is not all.
"""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime

from django.utils.formats import number_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from tenter.language import in_a_row
from tenter.web.backups.backup_file import Backup, refused_in_words
from tenter.web.backups.restored_rows import read_rows
from tenter.web.models import Sitting, SittingEvent
from tenter.web.replays import odds_seen, replays
from tenter.web.replays.backup_rows import tables
from tenter.web.replays.catching_up import read_once
from tenter.web.replays.odds_seen import OddsSeen

AT_MOST = 300  # sittings for one backup; a sample of 300 misses a fault in one of a hundred five times in a hundred
_LATEST = 100  # of a sample; the others lie evenly among the earlier ones
_NAMED = 20  # sittings, at most, in one sentence


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
        if self.differing:
            others = _(
                "The odds of sitting %(numbers)s are not what they were when the backup was made, as they may be "
                "after a change of the model."
            )
            return f"{self._replayed()} {others % {'numbers': named_sittings(self.differing)}}"
        if self.compared < self.sittings:
            return self._some_as_they_were()
        return _("Every sitting was replayed, and its odds are what they were.")

    def _replayed(self) -> str:
        if self.compared == self.sittings:
            return _("Every sitting was replayed.")
        said = ngettext(
            "Every entry was read, and %(replayed)s of %(count)s sitting were replayed.",
            "Every entry was read, and %(replayed)s of %(count)s sittings were replayed.",
            self.sittings,
        )
        return said % self._counts()

    def _some_as_they_were(self) -> str:
        said = ngettext(
            "Every entry was read, and %(replayed)s of %(count)s sitting were replayed: their odds are what they "
            "were. The odds of the others were not worked out again.",
            "Every entry was read, and %(replayed)s of %(count)s sittings were replayed: their odds are what they "
            "were. The odds of the others were not worked out again.",
            self.sittings,
        )
        return said % self._counts()

    def _counts(self) -> dict[str, object]:
        return {"replayed": grouped(self.compared), "count": self.sittings}


def named_sittings(sittings: Collection[int]) -> str:
    """Return the numbers of sittings, the first of them where they are many."""
    some = in_a_row([str(number) for number in sorted(sittings)[:_NAMED]])
    if len(sittings) <= _NAMED:
        return some
    return _("%(some)s and %(count)s more") % {"some": some, "count": grouped(len(sittings) - _NAMED)}


def grouped(count: int) -> str:
    """Return a count with its thousands set apart, as the language of the page has it: '10,000'."""
    return number_format(count, force_grouping=True)


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
            for _row in backup.rows_of(model):
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
        read_once(seen, history, checksum)
    return digest


class _Tally:
    """Counts entries as they go by."""

    def __init__(self) -> None:
        self.entries = 0
        self.latest: datetime | None = None

    def of(self, events: Iterable[SittingEvent]) -> Iterator[SittingEvent]:
        for event in events:
            if event.kind == "recorded":
                self.entries += 1
                self.latest = event.at if self.latest is None else max(self.latest, event.at)
            yield event
