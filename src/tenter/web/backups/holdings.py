"""What a studio holds, counted: a backup's beside what stands now. An open sandbox is counted in neither."""

from dataclasses import dataclass
from datetime import datetime

from django.contrib.auth import get_user_model
from django.db.models import Max

from tenter.photo.own_card.kept import kept_serials
from tenter.photo.phones.kept import kept_names
from tenter.web.backups import kept_files
from tenter.web.backups.backup_file import Backup
from tenter.web.backups.checking import Checked
from tenter.web.backups.kept_files import CAMERA_FILES, CARD_FILES
from tenter.web.backups.picture_files import PictureFiles
from tenter.web.backups.rows_to_keep import kept_query, rows_to_keep
from tenter.web.models import Client, KitRecord, LearnedPhone, Sitting, SittingEvent
from tenter.web.pictures import pictures
from tenter.web.replays.backup_rows import RowsOf


@dataclass(frozen=True, slots=True)
class Holdings:
    """How much a studio holds, and when its latest entry was made.

    `photographs` counts those whose file is to be there, `files` those whose file is there.
    """

    users: int
    clients: int
    kits: int
    sittings: int
    entries: int
    photographs: int
    files: int
    cards: int  # of our own, that were measured
    phones: int  # that were learned, in the studio and by command
    latest: datetime | None


def of_backup(backup: Backup, found: Checked) -> Holdings:
    """Count what a backup holds that was checked."""
    cards, cameras = (kept_files.files_of_kind(kind, backup.kept) for kind in (CARD_FILES, CAMERA_FILES))
    return Holdings(
        users=len(backup.rows_of(get_user_model())),
        clients=len(backup.rows_of(Client)),
        kits=sum(row.origin_id is None for row in backup.rows_of(KitRecord)),
        sittings=found.sittings,
        entries=found.entries,
        photographs=len(backup.photographs) + len(backup.lacking),
        files=len(backup.photographs),
        cards=cards,
        phones=cameras + _learned(backup.rows_of),
        latest=found.latest,
    )


def of_studio() -> Holdings:
    """Count what stands now."""
    recorded, files = kept_query(SittingEvent).filter(kind="recorded"), PictureFiles.of(rows_to_keep).due
    return Holdings(
        users=kept_query(get_user_model()).count(),
        clients=kept_query(Client).count(),
        kits=kept_query(KitRecord).filter(origin=None).count(),
        sittings=kept_query(Sitting).count(),
        entries=recorded.count(),
        photographs=len(files),
        files=sum(map(pictures.is_there, files)),
        cards=len(kept_serials()),
        phones=len(kept_names()) + _learned(rows_to_keep),
        latest=recorded.aggregate(latest=Max("at"))["latest"],
    )


def _learned(rows_of: RowsOf) -> int:
    return sum(row.camera is not None for row in rows_of(LearnedPhone))
