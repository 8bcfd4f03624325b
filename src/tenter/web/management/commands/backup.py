"""`./run backup FILE`: everything in one file."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from tenter.errors import TenterError
from tenter.numerals import how_many
from tenter.web.backups import kept_files
from tenter.web.backups.backup import write_backup
from tenter.web.backups.backup_file import Backup
from tenter.web.models import Client, LearnedPhone, Sitting
from tenter.web.serve import bring_up_to_date


class Command(BaseCommand):
    """Write everything that the studio holds to one file, and read it back."""

    help = "Write everything that the studio holds to one new file."

    def add_arguments(self, parser: CommandParser) -> None:
        """Take the file's name."""
        parser.add_argument("file", type=Path)

    def handle(self, *_args: Any, **said: Any) -> None:
        """Write it; raises `CommandError` where it cannot be written or read back."""
        bring_up_to_date()
        try:
            backup = write_backup(said["file"])
        except TenterError as error:
            raise CommandError(str(error), returncode=error.exit_code) from None
        cards, cameras = (kept_files.files_of_kind(kind, backup.kept) for kind in kept_files.FILE_KINDS)
        phones = cameras + sum(row.camera is not None for row in backup.rows_of(LearnedPhone))
        told = [
            how_many(len(backup.rows_of(Client)), "client"),
            how_many(len(backup.rows_of(Sitting)), "sitting"),
            *([how_many(len(backup.photographs), "photograph")] if backup.photographs else []),
            *([f"values of {cards} of our own cards"] if cards else []),
            *([how_many(phones, "learned phone")] if phones else []),
        ]
        self.stdout.write(f"{said['file']}: {', '.join(told)}, read back and intact")
        self._say_what_is_not(backup)

    def _say_what_is_not(self, backup: Backup) -> None:
        sittings, replayed = len(backup.rows_of(Sitting)), len(backup.digests)
        if replayed < sittings:
            self.stdout.write(
                f"{replayed:,} of {how_many(sittings, 'sitting')} have been replayed: a restore can check "
                "their odds. Of the others every entry was read. Tenter replays them while it is open and no "
                "sitting is in progress"
            )
        for one in backup.lacking:
            self.stderr.write(f"Without its file: {one}. It is not in the data folder, or cannot be read")
