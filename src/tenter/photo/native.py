"""Keeping what native libraries log off the terminal: notes on their own set-up, which no user can act on."""

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
