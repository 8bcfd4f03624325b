"""The demo studio in a test's database: laid out once by the program, and after that as the same rows again.

A thousand tests begin with it, and to write it as the program does takes many times as long. Each test is rolled back,
so the rows find the room that they had.
"""

from datetime import date
from typing import Any

from django.apps import apps
from django.db import connection
from django.utils import timezone

from tenter.web.models import Client, KitRecord, Sitting
from tenter.web.models.sittings import new_token
from tenter.web.studio.demo import load_demo_studio

_Rows = list[tuple[str, list[Any]]]  # by the statement that writes them
_laid: dict[tuple[int, date], _Rows] = {}  # by their owner's number, and by the day, from which consents count


def lay_demo_studio(owner: Any) -> None:
    """Give a user the demo studio. What another has laid before, or PostgreSQL, whose numbers go on, gets it anew."""
    if connection.vendor != "sqlite" or Client.objects.exists() or KitRecord.objects.exists():
        load_demo_studio(owner)
        return
    key = owner.pk, timezone.localdate()
    if key not in _laid:
        load_demo_studio(owner)
        _laid[key] = _rows_there()
        return
    with connection.cursor() as cursor:
        for statement, rows in _laid[key]:
            cursor.executemany(statement, rows)
    for row in Sitting.objects.only("pk"):  # by the token the program tells one sitting's pages from another's
        Sitting.objects.filter(pk=row.pk).update(token=new_token())


def _rows_there() -> _Rows:
    """Return all rows of the program's own tables as they are stored, each table's before those that point at it."""
    found = []
    with connection.cursor() as cursor:
        for table in (model._meta.db_table for model in apps.get_app_config("tenter").get_models()):
            columns = [f'"{column.name}"' for column in connection.introspection.get_table_description(cursor, table)]
            cursor.execute(f'SELECT {", ".join(f"+{name}" for name in columns)} FROM "{table}"')  # + : as it is stored
            if rows := cursor.fetchall():
                places = ", ".join(["%s"] * len(columns))
                found.append((f'INSERT INTO "{table}" ({", ".join(columns)}) VALUES ({places})', rows))
    return found
