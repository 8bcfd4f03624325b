"""The one Django app."""

from django.apps import AppConfig

from tenter.web.sealing import passphrase


class TenterWeb(AppConfig):
    """Tables are called `tenter_…`."""

    name = "tenter.web"
    label = "tenter"

    def ready(self) -> None:
        """Take the passphrase out of the environment before anything is started from here."""
        passphrase.GIVEN.take_from_environment()
