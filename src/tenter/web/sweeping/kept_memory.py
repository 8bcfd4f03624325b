"""What a server keeps in memory of clients, and how all of it is let go of once something was erased.

Live sittings, palettes, pages and papers are kept so that the next page need not work them out again. Whoever erases
calls `forget_everywhere`: this server lets go at once, and every other one that serves the same data folder at its next
request, for it sees that the file `erased` has changed.
"""

import secrets
from pathlib import Path

from tenter import durable
from tenter.web.papers import handed
from tenter.web.server.data_dir import data_dir
from tenter.web.store import outcomes, store

_FILE = "erased"
_seen: list[str] = []  # what the file said when this server last let go; nothing until it has looked


def forget_everywhere() -> None:
    """Let go of everything here, and have every other server on this data folder do the same."""
    tell_others()
    _forget()


def tell_others() -> None:
    """Have every other server on this data folder let go of what it keeps."""
    word = secrets.token_hex(8)
    durable.write(_place(), word.encode("ascii"), durable.PRIVATE)
    _seen[:] = [word]


def follow() -> None:
    """Let go of everything here where another server has erased something since the last look."""
    word = _said()
    if _seen and _seen != [word]:
        _forget()
    _seen[:] = [word]


def _forget() -> None:
    store.forget_sittings()
    outcomes.forget_outcomes()
    handed.forget_papers()


def _said() -> str:
    try:
        return _place().read_text(encoding="ascii")
    except (FileNotFoundError, UnicodeDecodeError):
        return ""


def _place() -> Path:
    return data_dir() / _FILE
