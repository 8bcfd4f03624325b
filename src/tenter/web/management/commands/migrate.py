"""Django's `migrate`, which notes a change of the tables in the same transaction as it makes it.

Django itself notes some changes only after they are made (`MigrationExecutor.apply_migration`, where statements were
deferred). Killed between the two, a studio would make the same table again at its next start, and never start.
"""

from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from django.core.management.commands import migrate
from django.db import transaction
from django.db.migrations.executor import MigrationExecutor

if TYPE_CHECKING:
    from collections.abc import Iterator

    from django.db.backends.base.base import BaseDatabaseWrapper
    from django.db.migrations.migration import Migration
    from django.db.migrations.state import ProjectState


@contextmanager
def _one_transaction(connection: "BaseDatabaseWrapper") -> "Iterator[None]":
    """Hold all that is done inside in one transaction; SQLite changes tables only with its checks off before."""
    off = connection.vendor == "sqlite" and connection.disable_constraint_checking()
    try:
        with transaction.atomic(using=connection.alias):
            yield
    finally:
        if off:
            connection.enable_constraint_checking()


class NotingExecutor(MigrationExecutor):
    """Makes each change and notes it, or neither."""

    def apply_migration(self, state: "ProjectState", migration: "Migration", *said: Any, **more: Any) -> "ProjectState":
        """Make a change of the tables; one that may not be in a transaction is made as Django does it."""
        if not migration.atomic:
            return super().apply_migration(state, migration, *said, **more)
        with _one_transaction(self.connection):
            return super().apply_migration(state, migration, *said, **more)


class Command(migrate.Command):
    """Bring the tables to what this version of the program needs."""

    def handle(self, *args: Any, **said: Any) -> None:
        """Do as Django does, with each change and its note in one transaction."""
        module: Any = migrate  # the only door that Django leaves open: its command names the executor there
        usual, module.MigrationExecutor = module.MigrationExecutor, NotingExecutor
        try:
            super().handle(*args, **said)
        finally:
            module.MigrationExecutor = usual
