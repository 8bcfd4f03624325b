"""What a studio holds, counted: a backup's beside what stands now."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from tenter.photo.learned_camera_kept import kept_names
from tenter.photo.own_card_kept import kept_serials
from tenter.web import kept_files
from tenter.web.backup import Backup, label, pictures_of, tables
from tenter.web.kept_files import CAMERAS, CARDS
from tenter.web.models import Client, KitRecord, LearnedPhone, Sitting, SittingEvent


@dataclass(frozen=True, slots=True)
class Holdings:
    """How much a studio holds, and when its latest entry was made."""

    users: int
    clients: int
    kits: int
    sittings: int
    entries: int
    photographs: int
    cards: int  # of our own, that were measured
    phones: int  # that were learned, in the studio and by command
    latest: datetime | None


def of_backup(backup: Backup) -> Holdings:
    """Count what a backup holds."""
    return _counted(backup.rows, *(kept_files.of_kind(kind, backup.kept) for kind in (CARDS, CAMERAS)))


def of_studio() -> Holdings:
    """Count what stands now."""
    rows = {label(model): list(model._default_manager.all()) for model in tables()}
    return _counted(rows, len(kept_serials()), len(kept_names()))


def _counted(rows: Mapping[str, Sequence[Any]], cards: int, cameras: int) -> Holdings:
    entries = [event for event in rows.get(label(SittingEvent), ()) if event.kind == "recorded"]
    return Holdings(
        users=len(rows.get(label(tables()[0]), ())),
        clients=len(rows.get(label(Client), ())),
        kits=len(rows.get(label(KitRecord), ())),
        sittings=len(rows.get(label(Sitting), ())),
        entries=len(entries),
        photographs=sum(row.has_picture for row in pictures_of(rows)),
        cards=cards,
        phones=cameras + sum(row.camera is not None for row in rows.get(label(LearnedPhone), ())),
        latest=max((event.at for event in entries), default=None),
    )
