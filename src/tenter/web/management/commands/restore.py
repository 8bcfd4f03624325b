"""`./run restore FILE`: a backup put back."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from tenter.errors import TenterError
from tenter.web.backups.restore import restore
from tenter.web.serve import bring_up_to_date
from tenter.web.server.data_dir import data_dir
from tenter.web.server.server_lock import alone


class Command(BaseCommand):
    """Put a backup into an empty studio, or in the place of what it holds."""

    help = "Put a backup back. Stop Tenter first."

    def add_arguments(self, parser: CommandParser) -> None:
        """Take the file's name, and whether it may replace what is there."""
        parser.add_argument("file", type=Path)
        parser.add_argument("--replace", action="store_true", help="Replace what is there, after a safety copy.")

    def handle(self, *_args: Any, **said: Any) -> None:
        """Put it back and say what came of it; raises `CommandError` where it cannot be, or its odds differ."""
        try:
            with alone(data_dir()):
                bring_up_to_date()
                done = restore(said["file"], replace=said["replace"])
        except TenterError as error:
            raise CommandError(str(error), returncode=error.exit_code) from None
        if done.safety_copy:
            self.stdout.write(f"What was here before is in {done.safety_copy}")
        for one in done.lacking:
            self.stderr.write(f"Without its file: {one}. The backup does not hold it")
        if done.found.differing:
            raise CommandError(f"{done}. Everything is restored; was the backup made by another version of Tenter?")
        self.stdout.write(str(done))
