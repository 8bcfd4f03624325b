"""A backup put back, whole or not at all, after every sitting in it has been replayed."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.contrib.sessions.models import Session
from django.core.management.color import no_style
from django.db import DatabaseError, connection, transaction
from django.utils import timezone

from tenter.errors import TenterError, UnreadableInput
from tenter.numerals import how_many
from tenter.web import (
    clean_disk,
    consents_of_forms,
    erased_marks,
    kept_files,
    kept_memory,
    photo_sweep,
    pictures,
    queue,
    replays,
    store,
)
from tenter.web.backup import Backup, backup_bytes, label, read_backup, tables, write_backup
from tenter.web.models import Access, Consent, LoginAttempt, Photograph, Sitting, SittingEvent
from tenter.web.models.kinds import picture_kinds
from tenter.web.restored_rows import read_rows

_AT_ONCE = 500  # rows
_SAFETY_COPY = "before-restore-"


@dataclass(frozen=True, slots=True)
class Restored:
    """What a restore came to. `differing` holds the sittings whose odds are not what they were.

    `erased`: the clients in the backup that were erased since it was made, and are erased again.
    """

    sittings: int
    entries: int
    differing: tuple[int, ...]
    safety_copy: Path | None
    erased: int = 0

    def __str__(self) -> str:
        counted = f"{how_many(self.sittings, 'sitting')}, {how_many(self.entries, 'entry', 'entries')}"
        if self.erased:
            counted += f" ({how_many(self.erased, 'client')} erased since the backup was made left out)"
        if not self.differing:
            return f"{counted}, all as they were"
        return f"{counted}; the odds of sitting {', '.join(map(str, self.differing))} are not what they were"


def restore(path: Path, *, replace: bool = False) -> Restored:
    """Put a backup into an empty studio.

    Parameters
    ----------
    path : Path
        The backup. It is checked whole, and every sitting in it replayed, before anything is touched.
    replace : bool
        Put it in the place of what a studio holds, after writing that to a safety copy beside the backup.
    """
    backup = read_backup(path)
    if not replace and not is_empty():
        raise TenterError(
            "this studio holds data already. Nothing was changed. Restore into an empty data folder (TENTER_DATA_DIR "
            "names it), or write over what is there with --replace, after a safety copy"
        )
    return put_back(backup, replayed_anew(backup, str(path)), path.parent)


def replayed_anew(backup: Backup, source: str) -> tuple[int, ...]:
    """Replay every sitting of a backup and return the numbers of those whose odds are not what they were.

    Raises `UnreadableInput` where a sitting cannot be replayed, or what `read_rows` reads cannot be read.
    Nothing is changed by it.
    """
    try:
        read_rows(backup.rows)
        return replays.differing(backup.histories, backup.digests)
    except TenterError as error:
        raise UnreadableInput(source, str(error), "Nothing was changed. Take another backup") from None


def put_back(backup: Backup, differing: tuple[int, ...], folder: Path) -> Restored:
    """Put a backup that has been looked at into the place of what there is, after a safety copy in a folder.

    All of it is one transaction: the safety copy holds the very rows that are replaced, and after any fault they stand
    as they stood.
    """
    safety_copy = None if is_empty() else _safety_copy(folder)
    if safety_copy:
        backup_bytes()  # so that what it takes to replay is remembered before writers have to wait
    try:
        with store.at_rest(), transaction.atomic():
            _keep_writers_out()
            marks = erased_marks.kept()
            if safety_copy:
                write_backup(safety_copy)
            with kept_files.put_in_place(backup.kept):  # the safety copy holds those that were here
                _put_in_place(backup)
                if label(Consent) not in backup.rows:  # it is older than consents on the card
                    consents_of_forms.take_over(Photograph, Consent, Access, Sitting)
                erased = erased_marks.purge(marks)
                for name in backup.photographs.keys() & _names_of_pictures():
                    pictures.put(name, backup.photographs[name])
    except BaseException as error:
        if safety_copy:
            safety_copy.unlink(missing_ok=True)
        if isinstance(error, DatabaseError):
            raise TenterError(f"the backup's rows do not fit together ({error}). Nothing was changed") from None
        raise
    finally:
        kept_memory.forget_everywhere()
    clean_disk.clean()  # of what was erased again, and of what was replaced
    photo_sweep.sweep()  # a day of deletion that has passed meanwhile is kept
    queue.put_all_in_line()
    entries = SittingEvent.objects.filter(kind="recorded").count()
    return Restored(Sitting.objects.count(), entries, differing, safety_copy, erased)


def is_empty() -> bool:
    """Whether nobody and nothing is in the studio yet."""
    return not any(model._default_manager.exists() for model in tables())


def safety_copies(folder: Path) -> list[Path]:
    """Return the safety copies that restores have left in a folder, the earliest first."""
    return sorted(folder.glob(f"{_SAFETY_COPY}*.zip"))


def _safety_copy(folder: Path) -> Path:
    return folder / f"{_SAFETY_COPY}{timezone.localtime():%Y%m%d-%H%M%S-%f}.zip"


def _names_of_pictures() -> set[str]:
    return {name for kind in picture_kinds() for name in kind._default_manager.values_list("name", flat=True)}


def _everything() -> list[Any]:
    return [Session, LoginAttempt, *reversed(tables())]


def _keep_writers_out() -> None:
    """Let nobody write until the end of the transaction, where beginning it has not seen to that already."""
    if connection.vendor == "postgresql":
        names = ", ".join(connection.ops.quote_name(model._meta.db_table) for model in _everything())
        with connection.cursor() as cursor:
            cursor.execute(f"LOCK TABLE {names} IN SHARE ROW EXCLUSIVE MODE")


def _put_in_place(backup: Backup) -> None:
    for model in _everything():
        model._default_manager.all().delete()
    for model in tables():
        model._default_manager.bulk_create(backup.rows.get(label(model), ()), batch_size=_AT_ONCE)
    connection.check_constraints()
    _count_on_from_there()
    _hold_against(backup)


def _count_on_from_there() -> None:
    """Let new rows have numbers that no restored row has, where the database does not see to it."""
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), tables()):
            cursor.execute(statement)


def _hold_against(backup: Backup) -> None:
    """Hold every row, as the database gives it back, against the backup's."""
    for model in tables():
        stored, meant = model._default_manager.all(), backup.rows.get(label(model), ())
        if _by_number(stored) != _by_number(meant):
            raise TenterError(f"the database did not keep {label(model)} as the backup has it. Nothing was changed")


def _by_number(rows: Any) -> dict[Any, dict[str, Any]]:
    return {row.pk: {f.attname: getattr(row, f.attname) for f in row._meta.concrete_fields} for row in rows}
