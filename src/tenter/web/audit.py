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
    WARDROBE_CHANGED = "client's wardrobe changed"
    WISHES_CHANGED = "client's wishes changed"
    KIT_ADDED = "kit added"
    METHOD_ADDED = "method added"
    STUDIO_NAMED = "studio named"
    SITTING_STARTED = "sitting started"
    SITTING_ENDED = "sitting ended"
    ANSWERS_USED = "how one answers used"
    ANSWERS_NOT_USED = "how one answers not used"
    SCREEN_LINK_MADE = "new link to the client's screen"
    SITTING_OPENED_AGAIN = "sitting opened again"
    ARRIVAL_NOTED = "arrival noted"
    VERDICT_REVEALED = "verdict revealed"
    SHEET_WRITTEN = "reading sheet written"
    PAPERS_WRITTEN = "client's papers written"
    PAPERS_WRITTEN_AGAIN = "client's papers written as they were"
    PHONE_PAGE_WRITTEN = "phone page written"
    LOCK_SCREEN_WRITTEN = "lock screen written"
    SWATCHES_WRITTEN = "print sheets written"
    MAIL_DRAFTED = "mail drafted"
    COLOURS_EXPORTED = "colours exported"
    PALETTE_CHANGED = "palette changed"
    PALETTE_CHANGES_WRITTEN = "palette's changes written"
    RESULT_NAMED = "result named"
    RESULT_LEFT = "result left to the odds"
    PASSWORD_CHANGED = "password changed"
    PASSWORD_SET = "password set"
    ASSOCIATE_ADDED = "associate added"
    ASSOCIATE_REMOVED = "associate removed"
    ACCESS_GIVEN = "access given"
    ACCESS_TAKEN = "access taken"
    SECOND_ASKED = "second reading asked for"
    READINGS_COMPARED = "two readings compared"
    PHOTOGRAPH_ADDED = "photograph added"
    PHOTOGRAPH_CORRECTED = "photograph corrected"
    PHOTOGRAPH_DATED = "photograph's date changed"
    PHOTOGRAPH_ERASED = "photograph erased"
    PHOTOGRAPH_DUE = "photograph deleted on its date"
    PHOTOGRAPH_KEY = "photographs' key file made"
    PHOTOGRAPH_PASSPHRASE = "photographs' passphrase changed"
    PHOTOGRAPH_KEY_COPIED = "photographs' key copied"
    PHOTOGRAPH_KEY_TAKEN = "photographs' key taken in"
    SERIES_ADDED = "series of photographs added"
    SERIES_CORRECTED = "series of photographs corrected"
    SERIES_ERASED = "series of photographs erased"
    PHONE_ADDED = "phone to be learned added"
    PHONE_FORGOTTEN = "learned phone forgotten"
    PAIR_CHOSEN = "photographs chosen for the papers"
    PAIR_TAKEN = "photographs taken off the papers"
    CONSENT_GIVEN = "client's consent written down"
    CONSENT_TAKEN_BACK = "client's consent taken back"
    FACE_GIVEN = "face given to a reading"
    FACE_TAKEN = "face taken out of a reading"
    SNIPPETS_ADDED = "snippets added"
    STOCK_MOVED = "stock counted"
    STOCK_PICKED = "snippets picked"
    DRAWER_CLEARED = "drawer cleared"
    WORDS_WRITTEN = "studio's words written"
    WORDS_ERASED = "studio's words erased"
    LETTER_WRITTEN = "letter written"
    LETTER_ERASED = "letter erased"
    ZONE_SET = "time zone set"
    DATE_CONFIRMED = "machine's date confirmed"
    BACKED_UP = "backed up"
    RESTORED = "restored"


def said_of(subject: object) -> str:
    """Return a word for a row or for what was touched; no name of a client."""
    pk = getattr(subject, "pk", None)
    return str(subject) if pk is None else f"{type(subject).__name__.lower()} {pk}"


def note(user: Any, action: Action, subject: object = "") -> None:
    """Add a line to the log. `subject` is a row, or a word for what was touched."""
    known = user if getattr(user, "pk", None) else None
    AuditEntry.objects.create(user=known, action=str(action), subject=said_of(subject)[:120])
