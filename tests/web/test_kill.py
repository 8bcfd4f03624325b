"""The server is killed at random moments while entries are sent: nothing confirmed is lost, nothing stands twice."""

import importlib
import sys
from pathlib import Path

import numpy as np
import pytest

BENCH = Path(__file__).parents[2] / "bench"
KILLS = 10


@pytest.fixture(scope="module")
def study():
    """The modules of `./run bench web`, as they find each other."""
    sys.path.insert(0, str(BENCH))
    try:
        yield {name: importlib.import_module(name) for name in ("live_studio", "scripted")}
    finally:
        sys.path.remove(str(BENCH))


@pytest.fixture(scope="module")
def studio(study, tmp_path_factory):
    """A server of its own, on SQLite, with the demo studio."""
    live = study["live_studio"].LiveStudio(tmp_path_factory.mktemp("studio")).start()
    study["live_studio"].Visitor(live).open_studio()
    yield live
    live.stop()


# Marked with the browser's tests, for it brings its own server and its own SQLite.
@pytest.mark.browser
def test_ten_kills_lose_and_double_nothing(study, studio):
    scripted, seen = study["scripted"], 0
    for number in range(KILLS):
        visitor = study["live_studio"].Visitor(studio)
        visitor.log_in()
        script = scripted.Script(visitor, visitor.start_sitting(), np.random.default_rng([11, number]))
        before = studio.process
        scripted.under_fire(studio, script, entries=4)
        assert studio.process is not before, "the server was not killed"
        assert scripted.lost_and_doubled(studio, script) == (0, 0)
        seen += len(script.acknowledged)
    assert seen >= 4 * KILLS


@pytest.mark.browser
def test_an_entry_that_was_confirmed_is_on_the_disk_at_once(study, studio):
    visitor = study["live_studio"].Visitor(studio)
    visitor.log_in()
    script = study["scripted"].Script(visitor, visitor.start_sitting(), np.random.default_rng(3)).run(3)
    assert study["scripted"].stored_keys(studio, script.sitting) == script.acknowledged
