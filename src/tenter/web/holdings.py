"""What a studio holds, counted: a backup's beside what stands now."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from tenter.photo.own_card_kept import kept_serials
from tenter.web.backup import Backup, label, pictures_of, tables
from tenter.web.models import Client, KitRecord, Sitting, SittingEvent


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
    latest: datetime | None


def of_backup(backup: Backup) -> Holdings:
    """Count what a backup holds."""
    return _counted(backup.rows, len(backup.cards))


def of_studio() -> Holdings:
    """Count what stands now."""
    rows = {label(model): list(model._default_manager.all()) for model in tables()}
    return _counted(rows, len(kept_serials()))


def _counted(rows: Mapping[str, Sequence[Any]], cards: int) -> Holdings:
    entries = [event for event in rows.get(label(SittingEvent), ()) if event.kind == "recorded"]
    return Holdings(
        users=len(rows.get(label(tables()[0]), ())),
        clients=len(rows.get(label(Client), ())),
        kits=len(rows.get(label(KitRecord), ())),
        sittings=len(rows.get(label(Sitting), ())),
        entries=len(entries),
        photographs=len(pictures_of(rows)),
        cards=cards,
        latest=max((event.at for event in entries), default=None),
    )
