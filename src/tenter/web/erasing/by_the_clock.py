"""What the worker does by the clock: what is due is deleted, and new sittings are replayed."""

from typing import Any

from huey import crontab

from tenter.web.daily import daily_backup
from tenter.web.erasing import due_erasing
from tenter.web.pictures.queue import queue, start_worker
from tenter.web.replays import catching_up
from tenter.web.server import clean_disk
from tenter.web.sweeping import photo_sweep

_REPLAY_SECONDS = 2.0  # at a stretch; a photograph that has come meanwhile is measured first
_REPLAYS = 20


@queue.periodic_task(crontab(minute="17"))
def delete_what_is_due() -> None:
    """Keep the promise of deletion on a machine that is never switched off."""
    photo_sweep.sweep()
    due_erasing.erase_by_itself()
    clean_disk.finish_cleaning()


@queue.task(priority=-1)
def replay_sittings() -> None:
    """Replay sittings that are new or changed, a few at a stretch, as long as nobody sits."""
    if not catching_up.somebody_sits() and catching_up.catch_up(_REPLAYS, _REPLAY_SECONDS):
        replay_sittings()


@queue.periodic_task(crontab(minute="*/5"))
def look_for_new_sittings() -> None:
    """Keep what sittings come to up to date."""
    replay_sittings()


@queue.task(priority=-1)
def back_up() -> None:
    """Write today's backup where it is wanted and there is none."""
    daily_backup.write_if_due()


@queue.periodic_task(crontab(minute="41"))
def try_backup_again() -> None:
    """Try again what failed, and begin a new day on a machine that is never switched off."""
    back_up()


def start_working() -> Any:
    """Start the worker, who knows what is done by the clock once this module is loaded; stop it by its `stop`."""
    back_up()
    return start_worker()
