"""`./run sweep`: the photographs whose day has come, deleted."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from tenter.errors import Refused
from tenter.web.serve import bring_up_to_date
from tenter.web.sweeping.photo_sweep import sweep, sweep_by_this_date


class Command(BaseCommand):
    """Delete the photographs whose day has come; Tenter does it by itself at its start and every hour."""

    help = "Delete the photographs whose day has come."

    def add_arguments(self, parser: CommandParser) -> None:
        """Take the word that the machine's date is right."""
        parser.add_argument(
            "--date-is-right", action="store_true", help=("Delete by this computer's date, though it has jumped.")
        )

    def handle(self, *_args: Any, **said: Any) -> None:
        """Delete them and say how many; raises `CommandError`, with exit code 3, where the clock is in doubt."""
        bring_up_to_date()
        done = sweep_by_this_date(None) if said["date_is_right"] else sweep()
        if done.doubt is not None:
            raise CommandError(
                f"{done}. Set the clock right, or run this again with --date-is-right if it is.",
                returncode=Refused.exit_code,
            )
        self.stdout.write(str(done))
