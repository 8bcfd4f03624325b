"""The audit log: who did what, when."""

from enum import StrEnum
from typing import Any

from tenter.web.models import AuditEntry


class Action(StrEnum):
    """What is worth a line in the log."""

    STUDIO_OPENED = "studio opened"
    LOGGED_IN = "logged in"
    LOGGED_OUT = "logged out"
    LOGIN_REFUSED = "login refused"
    CLIENT_ADDED = "client added"
    CLIENT_EDITED = "client edited"
    KIT_ADDED = "kit added"
    SITTING_STARTED = "sitting started"
    ARRIVAL_NOTED = "arrival noted"
    VERDICT_REVEALED = "verdict revealed"
    SHEET_WRITTEN = "reading sheet written"


def note(user: Any, action: Action, subject: object = "") -> None:
    """Add a line to the log. `subject` is a row, or a word for what was touched."""
    pk = getattr(subject, "pk", None)
    said = str(subject) if pk is None else f"{type(subject).__name__.lower()} {pk}"
    AuditEntry.objects.create(user=user if getattr(user, "pk", None) else None, action=str(action), subject=said[:120])
