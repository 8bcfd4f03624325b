"""`./run backup FILE`: everything in one file."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from tenter.errors import TenterError
from tenter.numerals import how_many
from tenter.web.backup import label, write_backup
from tenter.web.holdings import of_backup
from tenter.web.models import Client, Sitting
from tenter.web.serve import bring_up_to_date


class Command(BaseCommand):
    """Write everything that the studio holds to one file, and read it back."""

    help = "Write everything that the studio holds to one new file."

    def add_arguments(self, parser: CommandParser) -> None:
        """Take the file's name."""
        parser.add_argument("file", type=Path)

    def handle(self, *_args: Any, **said: Any) -> None:
        """Write it."""
        bring_up_to_date()
        try:
            backup = write_backup(said["file"])
        except TenterError as error:
            raise CommandError(str(error), returncode=error.exit_code) from None
        clients, sittings = (len(backup.rows[label(model)]) for model in (Client, Sitting))
        held = of_backup(backup)
        cards = f", values of {held.cards} of our own cards" if held.cards else ""
        phones = f", {how_many(held.phones, 'learned phone')}" if held.phones else ""
        counted = f"{how_many(clients, 'client')}, {how_many(sittings, 'sitting')}{cards}{phones}"
        self.stdout.write(f"{said['file']}: {counted}, read back and whole")
