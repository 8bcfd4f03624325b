"""All rows that go with a client or with a sitting, found by what refers to what.

Erasing, counting and the archive ask here, so that another table of a client's is known to all three without a word.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from django.db.models import CASCADE, Model

from tenter.web.models import Client, Picture, Sitting
from tenter.web.models.kinds import picture_kinds

Rows = Mapping[type[Model], Sequence[Any]]  # of a kind, its rows
_APP = "tenter"


def rows_with(root: Client | Sitting) -> Rows:
    """Return a row and everything that is deleted with it, by kind; those that others refer to come first."""
    found: dict[type[Model], dict[int, Model]] = {type(root): {root.pk: root}}
    waiting: list[type[Model]] = [type(root)]
    while waiting:
        kind = waiting.pop()
        for child, field in _referring_to(kind):
            rows = child._default_manager.filter(**{f"{field}__in": list(found[kind])})
            new = {row.pk: row for row in rows.order_by("pk") if row.pk not in found.get(child, {})}
            if new:
                found.setdefault(child, {}).update(new)
                waiting.append(child)
    return {kind: tuple(rows.values()) for kind, rows in found.items()}


def _referring_to(kind: type[Model]) -> Iterable[tuple[type[Model], str]]:
    for relation in kind._meta.related_objects:
        if getattr(relation, "on_delete", None) is CASCADE and relation.related_model._meta.app_label == _APP:
            yield relation.related_model, relation.field.name


def pictures_in(rows: Rows) -> list[Picture]:
    """Return the pictures among rows, each of which has or had a file of its own."""
    return [row for kind in picture_kinds() for row in rows.get(kind, ())]
