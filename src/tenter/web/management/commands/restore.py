"""`./run restore FILE`: a backup put back; one that is sealed asks for its passphrase."""

import getpass
import secrets
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from tenter.errors import TenterError
from tenter.web.backups.restore import restore
from tenter.web.sealing import passphrase
from tenter.web.sealing.passphrase import VARIABLE, Passphrase
from tenter.web.sealing.sealed_box import is_sealed_box, unboxed
from tenter.web.serve import bring_up_to_date
from tenter.web.server import temporary_files
from tenter.web.server.data_dir import data_dir
from tenter.web.server.server_lock import alone


class Command(BaseCommand):
    """Put a backup into an empty studio, or in the place of what it holds."""

    help = "Put a backup back. Stop Tenter first."

    def add_arguments(self, parser: CommandParser) -> None:
        """Take the file's name, and whether it may replace what is there."""
        parser.add_argument("file", type=Path)
        parser.add_argument("--replace", action="store_true", help="Replace what is there, after a safety copy.")

    def handle(self, *_args: Any, **said: Any) -> None:
        """Put it back and say what came of it; raises `CommandError` where it cannot be, or its odds differ."""
        try:
            with alone(data_dir()):
                bring_up_to_date()
                with _open(said["file"]) as path:
                    done = restore(path, replace=said["replace"], copies=said["file"].parent)
        except TenterError as error:
            raise CommandError(str(error), returncode=error.exit_code) from None
        if done.safety_copy:
            self.stdout.write(f"What was here before is in {done.safety_copy}")
        for one in done.lacking:
            self.stderr.write(f"Without its file: {one}. The backup does not hold it")
        if done.found.differing:
            raise CommandError(f"{done}. Everything is restored; was the backup made by another version of Tenter?")
        self.stdout.write(str(done))


_CHUNK = 1 << 20  # bytes in memory at a time; set by judgement


@contextmanager
def _open(path: Path) -> Iterator[Path]:
    """Yield a backup that can be read: a sealed one is opened into the data folder for as long as it lasts."""
    if not _is_sealed(path):
        yield path
        return
    opened = temporary_files.folder_in(data_dir()) / f"opened-{secrets.token_hex(8)}.zip"
    try:
        with path.open("rb") as sealed, opened.open("xb") as file:
            file.writelines(unboxed(iter(lambda: sealed.read(_CHUNK), b""), _passphrase()))
        yield opened
    finally:
        opened.unlink(missing_ok=True)


def _is_sealed(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            return is_sealed_box(file.read(16))
    except OSError:  # whoever reads it next says why
        return False


def _passphrase() -> Passphrase:
    """Return the passphrase of a sealed backup, from the environment or typed; raises `TenterError` without one."""
    if passphrase.GIVEN:
        return passphrase.GIVEN
    if sys.stdin is not None and sys.stdin.isatty():
        return Passphrase(getpass.getpass("Passphrase of the backup: "))
    raise TenterError(
        f"The backup is sealed. Restore it in a terminal, which asks for the passphrase, or set {VARIABLE}"
    )
