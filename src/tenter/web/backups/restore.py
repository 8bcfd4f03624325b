"""A backup put back, whole or not at all, after every sitting in it has been replayed."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from django.contrib.sessions.models import Session
from django.core.management.color import no_style
from django.db import DatabaseError, connection, transaction
from django.db.models import Model
from django.utils import timezone
from django.utils.translation import gettext as _

from tenter.errors import TenterError
from tenter.numerals import how_many
from tenter.web.backups import checking, kept_files
from tenter.web.backups.backup import write_backup
from tenter.web.backups.backup_file import Backup, read_backup
from tenter.web.backups.checking import Checked
from tenter.web.backups.picture_files import PictureFiles
from tenter.web.models import Access, Consent, Photograph, Sitting, SittingEvent
from tenter.web.pictures import pictures, queue
from tenter.web.replays import odds_seen
from tenter.web.replays.backup_rows import LEFT_OUT, label, stored_rows, tables
from tenter.web.rules import consents_of_forms, erased_marks
from tenter.web.server import clean_disk
from tenter.web.store import store
from tenter.web.sweeping import kept_memory, photo_sweep

_AT_ONCE = 500  # rows
_SAFETY_COPY = "before-restore-"


@dataclass(frozen=True, slots=True)
class Restored:
    """What a restore came to: what stands now, what was found of its odds, and which photographs have no file.

    `erased`: the clients in the backup that were erased since it was made, and are erased again.
    """

    sittings: int
    entries: int

    found: Checked
    lacking: tuple[str, ...]
    safety_copy: Path | None
    erased: int = 0

    def __str__(self) -> str:
        counted = f"{how_many(self.sittings, 'sitting')}, {how_many(self.entries, 'entry', 'entries')}"
        if self.erased:
            counted += f" ({how_many(self.erased, 'client')} erased since the backup was made left out)"
        found = self.found
        if found.differing:
            return f"{counted}; the odds of sitting {checking.named_sittings(found.differing)} are not what they were"
        if found.compared < found.sittings:
            return f"{counted}; {found.compared:,} of the sittings were replayed, and their odds are as they were"
        return f"{counted}, all as they were"


def restore(path: Path, *, replace: bool = False, copies: Path | None = None) -> Restored:
    """Put a backup into an empty studio.

    Parameters
    ----------
    path : Path
        The backup. It is checked whole, and the sittings in it replayed or read, before anything is touched.
    replace : bool
        Put it in the place of what a studio holds, after writing that to a safety copy beside the backup.
    copies : Path | None
        The folder of the safety copy, where it is not to be beside the backup.

    Raises
    ------
    TenterError
        If the studio holds data and `replace` is not said, or the backup's rows do not fit together.
    UnreadableInput
        If the backup is none, is damaged, or is of a newer version.
    """
    backup = read_backup(path)
    if not replace and not is_empty():
        raise TenterError(
            "this studio holds data already. Nothing was changed. Restore into an empty data folder (TENTER_DATA_DIR "
            "names it), or write over what is there with --replace, after a safety copy"
        )
    return put_back(backup, checking.check_backup(backup), copies or path.parent)


def put_back(backup: Backup, found: Checked, folder: Path) -> Restored:
    """Put a backup that has been looked at into the place of what there is, after a safety copy in a folder.

    All of it is one transaction: the safety copy holds the very rows that are replaced, and after any fault they stand
    as they stood. Raises `TenterError` where the rows do not fit together.
    """
    safety_copy = None if is_empty() else _safety_copy(folder)
    try:
        with store.at_rest(), transaction.atomic():
            _keep_writers_out()
            marks = erased_marks.kept()
            if safety_copy:
                write_backup(safety_copy, replays=0)  # writers have to wait meanwhile
            with kept_files.put_in_place(backup.kept):  # the safety copy holds those that were here
                _put_in_place(backup)
                if label(Consent) not in backup.rows:  # it is older than consents on the card
                    consents_of_forms.take_over(Photograph, Consent, Access, Sitting)
                erased = erased_marks.purge(marks)
                names = PictureFiles.of(stored_rows).known
                for name, sealed in backup.sealed_photographs():
                    if name in names:
                        pictures.put(name, sealed)
    except BaseException as error:
        if safety_copy:
            safety_copy.unlink(missing_ok=True)
        if isinstance(error, DatabaseError):
            unfit = _("the backup's rows do not fit together (%(error)s). Nothing was changed")
            raise TenterError(unfit % {"error": error}) from None
        raise
    finally:
        kept_memory.forget_everywhere()
    with odds_seen.odds_seen() as seen:
        seen.forget_sittings()
    clean_disk.clean()  # of what was erased again, and of what was replaced
    photo_sweep.sweep()  # a day of deletion that has passed meanwhile is kept
    queue.put_all_in_line()
    entries = SittingEvent.objects.filter(kind="recorded").count()
    return Restored(Sitting.objects.count(), entries, found, backup.lacking, safety_copy, erased)


def is_empty() -> bool:
    """Whether nobody and nothing is in the studio yet."""
    return not any(model._default_manager.exists() for model in tables())


def safety_copies(folder: Path) -> list[Path]:
    """Return the safety copies that restores have left in a folder, the earliest first."""
    return sorted(folder.glob(f"{_SAFETY_COPY}*.zip"))


def _safety_copy(folder: Path) -> Path:
    return folder / f"{_SAFETY_COPY}{timezone.localtime():%Y%m%d-%H%M%S-%f}.zip"


def _everything() -> list[type[Model]]:
    return [Session, *LEFT_OUT, *reversed(tables())]


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
        for some in _few(backup, model):
            model._default_manager.bulk_create(some)
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
        kept = all(_as_it_is(model, some) for some in _few(backup, model))
        if not kept or model._default_manager.count() != len(backup.rows_of(model)):
            other = _("the database did not keep %(table)s as the backup has it. Nothing was changed")
            raise TenterError(other % {"table": label(model)})


def _as_it_is(model: type[Model], meant: list[Model]) -> bool:
    stored = model._default_manager.in_bulk([row.pk for row in meant])
    return _by_number(stored.values()) == _by_number(meant)


def _few(backup: Backup, model: type[Model]) -> Iterator[list[Model]]:
    """Yield the rows of a table a few at a time."""
    rows = iter(backup.rows_of(model))
    while some := list(islice(rows, _AT_ONCE)):
        yield some


def _by_number(rows: Iterable[Model]) -> dict[object, dict[str, object]]:
    return {row.pk: {f.attname: getattr(row, f.attname) for f in row._meta.concrete_fields} for row in rows}
