"""What connected devices scanned last, in this process's memory alone: whose label, and when.

A label's code says a cloth's number, or the address of its page in the studio. The address is never opened: its kit and
cloth are looked for among the kits of whoever the device works for.
"""

import re
import threading
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final
from urllib.parse import parse_qs, urlsplit

from django.contrib.auth.models import User
from django.urls import Resolver404, resolve

from tenter.consultation.cloths.kit import Drape, Kit
from tenter.web.models import KitRecord, Sitting
from tenter.web.rules import access
from tenter.web.sent.row_numbers import row_number
from tenter.web.store import store

SCAN_LASTS: Final = timedelta(minutes=1)  # that a page on the computer takes it; set by judgement
_LONGEST_CODE = 200  # characters: a label's code holds no more bytes
_NUMBER = re.compile(r"[^\s:+>=,/]{1,40}")  # a cloth's number, of the length that a started kit takes
_MOST_KEYS = 500  # of scans that are remembered of a person, so that one sent again is known; set by judgement
_CLOTHS_PAGE: Final = "kit-cloth"  # the name of the address that a label may hold


@dataclass(frozen=True, slots=True)
class LabelSaid:
    """What a label says: a cloth's number, and the number of its kit's row where it says that too."""

    cloth: str
    kit: int | None = None


@dataclass(frozen=True, slots=True)
class LabelScan:
    """A label that was scanned. key: of the request that brought it."""

    key: str
    label: LabelSaid
    at: datetime


def label_said(text: str) -> LabelSaid | None:
    """Return what a code's text says as a label of ours; None for any other code."""
    if len(text) > _LONGEST_CODE:
        return None
    found = _in_address(text) if "://" in text else LabelSaid(text)
    return found if found and _NUMBER.fullmatch(found.cloth) and found.cloth.isprintable() else None


def _in_address(text: str) -> LabelSaid | None:
    """Return what the address of a cloth's page says, whichever name this computer went by when it was printed."""
    try:
        parts = urlsplit(text)
        page, asked = resolve(parts.path), parse_qs(parts.query)
    except (ValueError, Resolver404):
        return None
    kit = row_number(str(page.kwargs.get("pk", "")))
    if parts.scheme not in ("http", "https") or page.url_name != _CLOTHS_PAGE or kit is None or [*asked] != ["cloth"]:
        return None
    return LabelSaid(asked["cloth"][0], kit) if len(asked["cloth"]) == 1 else None


def cloths_by_label(user: User, label: LabelSaid) -> list[tuple[KitRecord, Drape]]:
    """Return the cloths that a label may be on, each with its kit, that of the sitting in progress first.

    A number alone may be on a cloth of each kit; cloths of one name are given once, for they are versions of one kit.
    """
    kits = {record.pk: record for record in access.kits(user)}
    if label.kit is not None:
        kits = {pk: record for pk, record in kits.items() if pk == label.kit}
    now = Sitting.objects.filter(analyst=user, ended=None).select_related("kit").order_by("-started", "-pk").first()
    first = (now.kit.origin_id or now.kit_id) if now else None
    found: dict[str, tuple[KitRecord, Drape]] = {}
    for record in sorted(kits.values(), key=lambda one: one.pk != first):
        kit = store.kit_of(record)
        if label.cloth in kit:
            found.setdefault(kit[label.cloth].name, (record, kit[label.cloth]))
    return list(found.values())


def is_in(user: User, label: LabelSaid, record: KitRecord, kit: Kit) -> bool:
    """Whether the cloth of a label is one of a kit: by its number, and of another kit's label by its name too."""
    if label.cloth not in kit:
        return False
    if label.kit in (None, record.pk, record.origin_id):
        return True
    return any(drape.name == kit[label.cloth].name for _record, drape in cloths_by_label(user, label))


class LabelScans:
    """The scans of each person's devices, the latest last."""

    def __init__(self) -> None:
        self._of: dict[int, dict[str, LabelScan]] = {}
        self._turn = threading.Lock()

    def keep(self, user: User, scan: LabelScan) -> None:
        """Keep a scan as the latest; one whose key came before is known and changes nothing."""
        with self._turn:
            kept = self._of.setdefault(user.pk, {})
            kept.setdefault(scan.key, scan)
            if len(kept) > _MOST_KEYS:
                del kept[next(iter(kept))]

    def by_key(self, user: User, key: str) -> LabelScan | None:
        """Return the scan that a key brought."""
        with self._turn:
            return self._of.get(user.pk, {}).get(key)

    def latest(self, user: User, now: datetime) -> LabelScan | None:
        """Return the last scan of a person's devices, for a minute."""
        with self._turn:
            last = next(reversed(self._of.get(user.pk, {}).values()), None)
        return last if last and now - last.at <= SCAN_LASTS else None

    def forget(self) -> None:
        """Forget every scan."""
        with self._turn:
            self._of.clear()


SCANS = LabelScans()
