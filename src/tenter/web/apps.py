"""The one Django app."""

from django.apps import AppConfig


class TenterWeb(AppConfig):
    """Tables are called `tenter_…`."""

    name = "tenter.web"
    label = "tenter"
