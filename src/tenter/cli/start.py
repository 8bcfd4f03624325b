"""The way into the `tenter` command: Ctrl-C ends it with its exit code and no traceback, also while it still loads."""

from tenter.errors import STOPPED


def start() -> None:
    """Load the command line and run it; raises `SystemExit` with `STOPPED` after Ctrl-C."""
    try:
        from tenter.cli.main import run

        run()
    except KeyboardInterrupt:
        raise SystemExit(STOPPED) from None
