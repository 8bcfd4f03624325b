"""Rows as a backup has them: which tables, in which order, each row a line of JSON that any program can read."""

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import datetime
from functools import cache
from typing import Any, Protocol, TypeVar

from django.apps import apps
from django.contrib.auth import get_user_model
from django.core.exceptions import ValidationError
from django.core.serializers.json import DjangoJSONEncoder
from django.db.models import Field, Model
from django.utils.translation import gettext as _

from tenter.errors import TenterError
from tenter.web.models import (
    Arrival,
    ClientWish,
    Consent,
    HandedPaper,
    IncomingFolder,
    KeptLight,
    KeptReading,
    KeptRoom,
    KeptThresholds,
    KeptUntil,
    KeptWash,
    LoginAttempt,
    PairedDevice,
    PairingCode,
    PaletteEdit,
    SittingEvent,
    StartedKit,
    WardrobePiece,
)

# Wrong tries within a minute; and what is of this machine alone: its devices, which a restore disconnects, its folder.
LEFT_OUT: tuple[type[Model], ...] = (LoginAttempt, PairingCode, PairedDevice, IncomingFolder)
_AT_ONCE = 2000  # rows in memory
_NO_ROW = (ValidationError, LookupError, ValueError, TypeError, AttributeError, RecursionError)
# Rows that are read together lie together, so that whoever reads them need not hold a whole table.
_TOGETHER = {
    SittingEvent: ("sitting_id", "number"),
    PaletteEdit: ("sitting_id", "id"),
    HandedPaper: ("sitting_id", "id"),
    ClientWish: ("client_id", "id"),
    Arrival: ("sitting_id", "id"),
    Consent: ("client_id", "id"),
    KeptLight: ("owner_id", "id"),
    KeptReading: ("kit_id", "id"),
    KeptRoom: ("owner_id", "id"),
    KeptThresholds: ("owner_id", "id"),
    KeptWash: ("kit_id", "id"),
    KeptUntil: ("client_id", "id"),
    StartedKit: ("owner_id", "id"),
    WardrobePiece: ("client_id", "id"),
}
R = TypeVar("R", bound=Model)


class RowsOf(Protocol):
    """Rows of a model, in the order of a backup: from the database or from a backup."""

    def __call__(self, model: type[R], /) -> Iterable[R]:
        """Return the rows of one model."""
        ...


def tables() -> list[type[Model]]:
    """Return the models whose rows are kept, those that others refer to first."""
    return [get_user_model(), *(m for m in apps.get_app_config("tenter").get_models() if m not in LEFT_OUT)]


def label(model: type[Model] | Model) -> str:
    """Return a model's name in a backup."""
    return str(model._meta.label_lower)


def order_of(model: type[Model]) -> tuple[str, ...]:
    """Return the fields by which the rows of a table are in order in a backup."""
    return _TOGETHER.get(model, ("id",))


def stored_rows(model: type[R]) -> Iterator[R]:
    """Yield the rows of a table in the order of a backup, few of them in memory at a time."""
    yield from model._default_manager.order_by(*order_of(model)).iterator(chunk_size=_AT_ONCE)


# -- writing -----------------------------------------------------------------------------------------------------------


class _WholeMoments(DjangoJSONEncoder):
    """Keeps the microseconds of a moment, which would be cut off otherwise."""

    def default(self, value: object) -> Any:
        return value.isoformat() if isinstance(value, datetime) else super().default(value)


# Everything beyond ASCII is written as \uXXXX: some of it would end a line for whoever reads line by line.
_JSON = _WholeMoments(ensure_ascii=True, separators=(",", ": "))
_Reader = Callable[[Any], Any]  # of a field, from what JSON has of it
_AS_THEY_ARE = (str, int, float, bool, type(None), datetime)


def line_of(row: Model) -> str:
    """Return a row as Django's serialiser writes it, with the end of its line: three times as fast."""
    model = type(row)
    named, lists = _fields(model)
    fields = {name: _value(row, attribute, field) for name, attribute, field in named}
    fields |= {name: [other.pk for other in getattr(row, name).all()] for name in lists}
    return _JSON.encode({"model": label(row), "pk": row.pk, "fields": fields}) + "\n"


def _is_kept(field: "Field[Any, Any]") -> bool:
    return bool(field.serialize)  # type: ignore[attr-defined]  # Django's types leave it out


@cache
def _fields(model: type[Model]) -> tuple[list[tuple[str, str, "Field[Any, Any]"]], list[str]]:
    """Return a table's fields by name, and its lists of other rows."""
    named = [(field.name, field.attname, field) for field in model._meta.local_fields if _is_kept(field)]
    return named, [field.name for field in model._meta.local_many_to_many]


def _value(row: Model, attribute: str, field: "Field[Any, Any]") -> object:
    value = getattr(row, attribute)
    return value if isinstance(value, _AS_THEY_ARE) else field.value_to_string(row)


# -- reading -----------------------------------------------------------------------------------------------------------


def rows_in(model: type[R], lines: Iterable[str]) -> Iterator[R]:
    """Yield the rows of a table's lines, none of them in the database; raises `TenterError` for a line that is none."""
    name = f"{label(model)}.jsonl"
    for line in lines:
        try:
            row = _row(model, json.loads(line))
        except _NO_ROW as error:
            told = _("holds a row of %(file)s that does not fit this program (%(error)s)")
            raise TenterError(told % {"file": name, "error": error}) from None
        if row is None:
            raise TenterError(_("holds rows of another kind in %(file)s") % {"file": name})
        yield row


def _row(model: type[R], plain: Mapping[str, Any]) -> R | None:
    """Return a row as Django's serialiser reads it, in half the time; None for one of another table."""
    if plain["model"] != label(model):
        return None
    number, readers, lists = _readers(model)
    values = {"pk": number(plain["pk"])}
    for name, value in plain["fields"].items():
        if name not in lists:
            attribute, read = readers[name]
            values[attribute] = None if value is None else read(value)
    return model(**values)


@cache
def _readers(model: type[Model]) -> tuple[_Reader, Mapping[str, tuple[str, _Reader]], frozenset[str]]:
    """Return how a table's numbers and its fields are read, by name, and which of its lists are left out."""
    fields = {field.name: (field.attname, field.to_python) for field in model._meta.local_fields}
    return model._meta.pk.to_python, fields, frozenset(_fields(model)[1])
