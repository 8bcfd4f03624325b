"""What broke, written down in the data folder: where in the program, and nothing of anybody.

Neither an error's message nor an address nor what a form sent is written, for each may hold a name; only the kind of
the error, the lines that it passed through, and the pattern of the page's address.
"""

import logging
import traceback
from datetime import UTC, datetime
from logging.handlers import RotatingFileHandler
from pathlib import Path

from django.http import HttpRequest

FILE = "errors.log"
_LARGEST, _EARLIER = 500_000, 2  # bytes of a file, and how many before it are kept
_MOST_LINES = 30  # of the program, an error


class ErrorLog(RotatingFileHandler):
    """Writes to the data folder; where that cannot be written, it is silent: the page says what is wrong."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder / FILE, maxBytes=_LARGEST, backupCount=_EARLIER, encoding="utf-8", delay=True)
        self.setFormatter(WithoutPeople())

    def handleError(self, record: logging.LogRecord) -> None:  # noqa: N802
        """Let it be."""


class WithoutPeople(logging.Formatter):
    """An error as its kind and its place."""

    def format(self, record: logging.LogRecord) -> str:
        """Return the lines for a record."""
        at = datetime.fromtimestamp(record.created, UTC).isoformat(timespec="seconds")
        page = _page(getattr(record, "request", None))
        lines = [f"{at} {record.levelname} {record.name}{page}"]
        error = record.exc_info[1] if record.exc_info else None
        while error is not None:
            lines += [f"  {_kind(error)}", *(f"    {line}" for line in _places(error))]
            error = error.__cause__ or error.__context__
        return "\n".join(lines)


def _page(request: HttpRequest | None) -> str:
    match = getattr(request, "resolver_match", None)
    return f" {request.method} {match.route}" if request is not None and match else ""


def _kind(error: BaseException) -> str:
    return f"{type(error).__module__}.{type(error).__qualname__}"


def _places(error: BaseException) -> list[str]:
    frames = traceback.extract_tb(error.__traceback__)[-_MOST_LINES:]
    return [f"{'/'.join(Path(frame.filename).parts[-3:])}:{frame.lineno} {frame.name}" for frame in frames]
