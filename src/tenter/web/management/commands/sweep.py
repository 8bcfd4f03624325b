"""`./run sweep`: the photographs whose day has come, deleted."""

from typing import Any

from django.core.management.base import BaseCommand

from tenter.web.photo_sweep import sweep
from tenter.web.serve import bring_up_to_date


class Command(BaseCommand):
    """Delete the photographs whose day has come; Tenter does it by itself at its start and every hour."""

    help = "Delete the photographs whose day has come."

    def handle(self, *_args: Any, **_said: Any) -> None:
        """Delete them and say how many."""
        bring_up_to_date()
        self.stdout.write(str(sweep()))
