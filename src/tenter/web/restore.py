"""A backup put back, whole or not at all, and every sitting looked at afterwards."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.contrib.sessions.models import Session
from django.core.management.color import no_style
from django.db import DatabaseError, connection, transaction
from django.utils import timezone

from tenter.errors import TenterError
from tenter.web import store
from tenter.web.backup import Backup, digest, label, read_backup, tables, write_backup
from tenter.web.models import LoginAttempt, Sitting, SittingEvent

_AT_ONCE = 500  # rows


@dataclass(frozen=True, slots=True)
class Restored:
    """What a restore came to. `differing` holds the sittings whose odds are not what they were."""

    sittings: int
    entries: int
    differing: tuple[int, ...]
    safety_copy: Path | None

    def __str__(self) -> str:
        counted = f"{self.sittings} sittings, {self.entries} entries"
        if not self.differing:
            return f"{counted}, all as they were"
        return f"{counted}; the odds of sitting {', '.join(map(str, self.differing))} are not what they were"


def restore(path: Path, *, replace: bool = False) -> Restored:
    """Put a backup into an empty studio.

    Parameters
    ----------
    path : Path
        The backup. It is checked whole before anything is touched.
    replace : bool
        Put it in the place of what a studio holds, after writing that to a safety copy beside the backup.
    """
    backup = read_backup(path)
    safety_copy = None
    if not is_empty():
        if not replace:
            raise TenterError(
                "this studio holds data already, and nothing was changed. Restore into an empty data folder "
                "(TENTER_DATA_DIR names it), or put the backup in its place with --replace"
            )
        safety_copy = path.with_name(f"before-restore-{timezone.localtime():%Y%m%d-%H%M%S-%f}.zip")
        write_backup(safety_copy)
    _put_in_place(backup)
    return _checked(backup, safety_copy)


def is_empty() -> bool:
    """Whether nobody and nothing is in the studio yet."""
    return not any(model._default_manager.exists() for model in tables())


def _put_in_place(backup: Backup) -> None:
    try:
        with transaction.atomic():
            _clear()
            for model in tables():
                rows = backup.rows.get(label(model), ())
                model._default_manager.bulk_create(rows, batch_size=_AT_ONCE)
            connection.check_constraints()
            _count_on_from_there()
    except DatabaseError as error:
        raise TenterError(f"the backup's rows do not fit together ({error}). Nothing was changed") from None
    finally:
        store.forget()


def _clear() -> None:
    for model in (Session, LoginAttempt, *reversed(tables())):
        model._default_manager.all().delete()


def _count_on_from_there() -> None:
    """Let new rows have numbers that no restored row has, where the database does not see to it."""
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), tables()):
            cursor.execute(statement)


def _checked(backup: Backup, safety_copy: Path | None) -> Restored:
    rows = list(Sitting.objects.select_related("kit").order_by("pk"))
    differing = [row.pk for row in rows if _digest_now(row) != backup.digests.get(str(row.pk))]
    entries = SittingEvent.objects.filter(kind="recorded").count()
    return Restored(len(rows), entries, tuple(differing), safety_copy)


def _digest_now(row: Any) -> str:
    return digest(row, row.events.order_by("number").values_list("payload", flat=True))
