"""Which kinds of rows are measured, and which have a picture's file: the one place where sweeps, backups and keys ask.

They are found by what a row derives from, so that another kind is deleted, backed up and sealed anew without a word.
"""

from typing import TypeVar

from django.apps import apps

from tenter.web.models.measured import Measured, PhonePhotograph, Picture

M = TypeVar("M", bound=Measured)


def picture_kinds() -> list[type[Picture]]:
    """Return the kinds of pictures, each of which is deleted on its day."""
    return _derived(Picture)  # type: ignore[type-abstract]  # rows derive from it, and it has none of its own


def measured_kinds() -> list[type[Measured]]:
    """Return the kinds of rows that a worker measures and seals what came of it in."""
    return _derived(Measured)  # type: ignore[type-abstract]  # likewise


def kinds_with_files() -> list[type[Picture] | type[PhonePhotograph]]:
    """Return the kinds of rows that name a sealed file."""
    return [*picture_kinds(), PhonePhotograph]


def _derived(base: type[M]) -> list[type[M]]:
    return [kind for kind in apps.get_app_config("tenter").get_models() if issubclass(kind, base)]
