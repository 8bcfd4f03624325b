"""The background: one worker beside the server, with a queue of its own in the data folder.

Under PostgreSQL too the queue is this file, as the pictures lie on this machine alone. A queue that is lost loses
nothing: what waits is told by the rows, and is put in line anew at every start.
"""

import logging
from collections.abc import Callable
from typing import Any

from django.apps import apps
from django.db import close_old_connections
from huey import SqliteHuey
from huey.consumer import Consumer

from tenter.web.models import ClothPhotograph, LearnedPhone, Measured, Photograph, PhotoSeries, ThingPhotograph
from tenter.web.pictures import (
    cloth_measuring,
    measuring,
    phone_learning,
    photo_reseal,
    series_measuring,
    thing_measuring,
    tries,
)
from tenter.web.server.data_dir import data_dir

queue = SqliteHuey("tenter", filename=str(data_dir() / "queue.sqlite3"), results=False)
_LOOKS_EVERY = 0.5  # seconds, at most, until a worker sees what has come
_WAITING = (Measured.State.QUEUED, Measured.State.MEASURING)


_MEASURE: dict[type[Measured], Callable[[int, int], None]] = {
    Photograph: measuring.measure_photograph,
    ClothPhotograph: cloth_measuring.measure_cloths,
    ThingPhotograph: thing_measuring.measure_thing,
    PhotoSeries: series_measuring.measure_series_row,
    LearnedPhone: phone_learning.learn_phone,
}


@queue.task()
def measure(kind: str, pk: int, turn: int) -> None:
    """Measure a row of a kind that is named as in a backup: try number `turn`."""
    _MEASURE[apps.get_model(kind)](pk, turn)


@queue.task()
def seal_anew() -> None:
    """Seal by the new passphrase what the one before has sealed."""
    photo_reseal.reseal()


def put_in_line(row: Measured) -> None:
    """Have a photograph or a series measured, or measured again."""
    model = type(row)
    turn = tries.ask_again(model, row.pk)
    if turn is not None:
        measure(model._meta.label_lower, row.pk, turn)


def put_all_in_line() -> int:
    """Have everything measured that waits, whatever became of its worker; return how many."""
    queue.flush()
    waiting = [row for model in _MEASURE for row in model._default_manager.filter(state__in=_WAITING)]
    for row in sorted(waiting, key=lambda row: row.taken_at):
        put_in_line(row)
    return len(waiting)


class _Beside(Consumer):
    """A worker in threads of the server, whose signals are the server's."""

    def _set_signal_handlers(self) -> None:
        pass


@queue.pre_execute()
def _fresh_connection(_task: Any) -> None:
    _let_go_of_connections()


@queue.post_execute()
def _no_connection_kept(_task: Any, _value: Any, _error: Any) -> None:
    _let_go_of_connections()


def _let_go_of_connections() -> None:
    if not queue.immediate:  # then it is the asker's own
        close_old_connections()


def start_worker() -> Any:
    """Start the worker; stop it by its `stop`."""
    logging.getLogger("huey").setLevel(logging.ERROR)
    consumer = _Beside(queue, workers=1, max_delay=_LOOKS_EVERY)
    consumer.start()
    return consumer
