"""What native libraries must be kept from: logging to the terminal what no user can act on, and the user's letters."""

import locale
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def native_log_silenced() -> Iterator[None]:
    """Send the process's error output nowhere for as long as a library writes there on its own."""
    sys.stderr.flush()
    kept = os.dup(2)
    with Path(os.devnull).open("w") as nowhere:
        os.dup2(nowhere.fileno(), 2)
        try:
            yield
        finally:
            os.dup2(kept, 2)
            os.close(kept)


@contextmanager
def plain_letters() -> Iterator[None]:
    """Give the process English letters for as long as a library is set up.

    By the letters of Turkish and Azeri the small form of I is ı: a library that makes its names small does not find its
    own parts again.
    """
    kept = locale.setlocale(locale.LC_CTYPE)
    locale.setlocale(locale.LC_CTYPE, "C")
    try:
        yield
    finally:
        locale.setlocale(locale.LC_CTYPE, kept)
