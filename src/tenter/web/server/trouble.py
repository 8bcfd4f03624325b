"""What a machine's troubles mean to whoever works at it: the disk is full, the data cannot be written or are held."""

import errno
from dataclasses import dataclass
from http import HTTPStatus
from typing import TYPE_CHECKING

from django.db import DatabaseError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

if TYPE_CHECKING:
    from django.utils.functional import _StrOrPromise


@dataclass(frozen=True, slots=True)
class Trouble:
    """What is wrong, what to do, and what a browser is answered by."""

    what: "_StrOrPromise"
    remedy: "_StrOrPromise"
    status: int

    def __str__(self) -> str:
        said = _("%(what)s. This change was not saved. Everything saved before is kept. %(remedy)s")
        return said % {"what": self.what, "remedy": self.remedy}


FULL = Trouble(
    gettext_lazy("The disk is full"),
    gettext_lazy("Make room on the disk that holds the data folder, then try again."),
    HTTPStatus.INSUFFICIENT_STORAGE,
)
HELD_ELSEWHERE = Trouble(
    gettext_lazy("The studio’s data are busy"),
    gettext_lazy("Wait a moment, then try again. A backup may be running."),
    HTTPStatus.SERVICE_UNAVAILABLE,
)
SHUT = Trouble(
    gettext_lazy("The data folder cannot be written"),
    gettext_lazy("Check that the folder belongs to you and that its disk is not write-protected, then try again."),
    HTTPStatus.SERVICE_UNAVAILABLE,
)
GONE = Trouble(
    gettext_lazy("The database does not answer"),
    gettext_lazy("Start the database server, then try again."),
    HTTPStatus.SERVICE_UNAVAILABLE,
)

_BY_NUMBER = {
    errno.ENOSPC: FULL,
    errno.EDQUOT: FULL,
    errno.EROFS: SHUT,
    errno.EACCES: SHUT,
    errno.EPERM: SHUT,
    errno.EIO: SHUT,
}
# What SQLite and PostgreSQL say, as their manuals list it: sqlite.org/rescode.html; SQLSTATE classes 08, 25, 53 and 57.
_BY_WORDS = {
    "is full": FULL,
    "no space left": FULL,
    "is locked": HELD_ELSEWHERE,
    "lock timeout": HELD_ELSEWHERE,
    "readonly": SHUT,
    "read-only": SHUT,
    "unable to open database": SHUT,
    "disk i/o error": SHUT,
    "connection": GONE,
}


def trouble_of(error: BaseException | None) -> Trouble | None:
    """Return the machine's trouble that an error comes from, directly or not; None where it is none."""
    while error is not None:
        found = _of_one(error)
        if found is not None:
            return found
        error = error.__cause__ or error.__context__
    return None


def _of_one(error: BaseException) -> Trouble | None:
    if isinstance(error, OSError):
        return _BY_NUMBER.get(error.errno or 0)
    if isinstance(error, DatabaseError):
        said = str(error).lower()
        return next((trouble for words, trouble in _BY_WORDS.items() if words in said), None)
    return None
