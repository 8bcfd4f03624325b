"""A palette's changes as rows: added one after the other, none ever lost, the last that stands taken back at will."""

from collections.abc import Iterable, Mapping
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from tenter.consultation.personal.edits import Edit
from tenter.consultation.personal.edits_file import MOST, edit_document, edit_from
from tenter.errors import TenterError
from tenter.web.models import PaletteEdit, Sitting

_TAKEN_BACK = {"edit": "taken back"}
_LONGEST_KEY = 64  # characters: the width of its column


def edits_of(row: Sitting) -> tuple[Edit, ...]:
    """Return the changes of a sitting's palette that stand, in their order."""
    return edits_in(row.palette_edits.all())


def edits_in(rows: Iterable[PaletteEdit]) -> tuple[Edit, ...]:
    """Return the changes that stand among the rows of one sitting; raises `TenterError` for rows that say none."""
    ordered = sorted(rows, key=lambda row: row.number)
    if [row.number for row in ordered] != list(range(1, len(ordered) + 1)):
        raise TenterError(_("the changes of a palette are numbered from 1 on, and one of them is missing"))
    return tuple(map(edit_from, _standing(row.payload for row in ordered)))


def _standing(payloads: Iterable[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    standing: list[Mapping[str, Any]] = []
    for payload in payloads:
        if payload == _TAKEN_BACK:
            if not standing:
                raise TenterError(_("there is no change of this palette left to undo"))
            standing = standing[:-1]
        else:
            standing.append(payload)
    return standing


def keep_edit(row: Sitting, edit: Edit, key: str) -> None:
    """Keep a change; the same key again keeps nothing. Raises `TenterError` without a valid key."""
    _write(row, edit_document(edit), key)


def take_back_edit(row: Sitting, key: str) -> None:
    """Take back the last change that stands; raises `TenterError` where there is none."""
    _write(row, _TAKEN_BACK, key)


def _write(row: Sitting, payload: Mapping[str, Any], key: str) -> None:
    if not 0 < len(key) <= _LONGEST_KEY:
        raise TenterError(_("the page sent a change without a valid key; reload the page"))
    with transaction.atomic():
        Sitting.objects.select_for_update().get(pk=row.pk)  # orders the writers
        if PaletteEdit.objects.filter(sitting=row, key=key).exists():
            return
        found = list(row.palette_edits.order_by("number").values_list("payload", flat=True))
        _standing([*found, payload])
        if len(found) >= MOST:
            full = _("this palette was changed %(most)s times, the most allowed, and cannot be changed any more")
            raise TenterError(full % {"most": MOST})
        PaletteEdit.objects.create(sitting=row, number=len(found) + 1, payload=dict(payload), key=key)
