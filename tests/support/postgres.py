"""Run a command beside a PostgreSQL of its own, which goes away with it: `python postgres.py COMMAND …`.

The command finds it in `DATABASE_URL`. A server that does not start is a failure.
"""

import os
import pwd
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

_ACCOUNT = "postgres"  # PostgreSQL refuses to run as root


def _newest_programs() -> Path:
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda p: int(p.parts[-3]))
    if not found:
        sys.exit("PostgreSQL is not installed: no initdb below /usr/lib/postgresql. On Debian: apt install postgresql")
    return found[-1].parent


def _run(program: Path, *arguments: str) -> None:
    user = _ACCOUNT if os.getuid() == 0 else None
    command = [program, *arguments]
    done = subprocess.run(command, check=False, user=user, capture_output=True, text=True, cwd="/", timeout=60)
    if done.returncode:
        sys.exit(f"{program.name} failed: {done.stdout}{done.stderr}")


@contextmanager
def server() -> Iterator[str]:
    """Start a server that listens at a socket in a folder of its own; yield its URL."""
    programs = _newest_programs()
    with tempfile.TemporaryDirectory(prefix="tenter-pg-") as folder:
        if os.getuid() == 0:
            os.chown(folder, pwd.getpwnam(_ACCOUNT).pw_uid, -1)
        data = f"{folder}/data"
        _run(programs / "initdb", "-D", data, "-U", "tenter", "-A", "trust", "-E", "UTF8", "--no-sync")
        options = f"-k {folder} -c listen_addresses='' -c fsync=off"
        _run(programs / "pg_ctl", "-D", data, "-w", "-l", f"{folder}/log", "-o", options, "start")
        try:
            yield f"postgres://tenter@{folder.replace('/', '%2F')}/postgres"
        finally:
            _run(programs / "pg_ctl", "-D", data, "-m", "immediate", "stop")


if __name__ == "__main__":
    with server() as url:
        sys.exit(subprocess.call(sys.argv[1:], env={**os.environ, "DATABASE_URL": url}))
