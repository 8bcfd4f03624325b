"""The server is killed at random moments while entries are sent: nothing confirmed is lost, nothing stands twice."""

import numpy as np
import pytest

from studies.web.live_studio import Visitor
from studies.web.scripted import Script, lost_and_doubled, stored_keys, under_fire

KILLS = 4  # `./run bench web` kills two hundred times
pytestmark = pytest.mark.browser  # with the browser's tests, for they are at the same server, on SQLite


def script_of(studio, seed):
    visitor = Visitor(studio)
    visitor.log_in()
    return Script(visitor, visitor.start_sitting(), np.random.default_rng(seed))


def test_kills_lose_and_double_nothing(mortal):
    seen = 0
    for number in range(KILLS):
        script = script_of(mortal, [11, number])
        before = mortal.process
        under_fire(mortal, script, entries=4)
        assert mortal.process is not before, "the server was not killed"
        assert lost_and_doubled(mortal, script) == (0, 0)
        seen += len(script.acknowledged)
    assert seen >= 4 * KILLS


def test_an_entry_that_was_confirmed_is_on_the_disk_at_once(studio):
    script = script_of(studio, 3).run(3)
    assert stored_keys(studio, script.sitting) == script.acknowledged
