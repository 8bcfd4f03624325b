"""Which rows go into a backup: all but those of the sandbox, which is thrown away and never put back."""

from collections.abc import Iterator
from typing import TypeVar

from django.contrib.auth import get_user_model
from django.db.models import Model, Q, QuerySet

from tenter.web.replays.backup_rows import stored_rows, tables
from tenter.web.rules.sandbox_user import sandbox_users

R = TypeVar("R", bound=Model)


def rows_to_keep(model: type[R]) -> Iterator[R]:
    """Yield the rows of a table that a backup holds, in its order."""
    apart = _apart(model)
    yield from (row for row in stored_rows(model) if row.pk not in apart)


def kept_query(model: type[R]) -> QuerySet[R]:
    """Return the rows of a table that a backup holds, to be counted."""
    return model._default_manager.exclude(pk__in=_apart(model))


def _apart(model: type[Model]) -> set[int]:
    return _of_sandbox(model, {get_user_model(): {user.pk for user in sandbox_users()}})


def _of_sandbox(model: type[Model], found: dict[type[Model], set[int]]) -> set[int]:
    """Return the numbers of a table's rows that are the sandbox's: those that refer to a row that is.

    found: those of the tables that were looked at.
    """
    if model in found:
        return found[model]
    found[model] = set()  # a table may refer to itself
    refer = Q()
    for field in model._meta.concrete_fields:
        other = field.related_model
        if isinstance(other, type) and other in tables() and (theirs := _of_sandbox(other, found)):
            refer |= Q(**{f"{field.name}__in": theirs})
    if refer:
        found[model] = set(model._default_manager.filter(refer).values_list("pk", flat=True))
    return found[model]
