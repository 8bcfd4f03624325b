"""The garments' study: intervals by drawing whole garments, so that more photographs of one are no new ones."""

import numpy as np

from studies.clients.scoring import ClusteredShare


def test_more_photographs_of_the_same_garments_do_not_narrow_the_interval():
    hits, every = np.arange(40) % 8 > 0, np.ones(40, dtype=bool)
    once = ClusteredShare(hits, every, np.arange(40))
    often = ClusteredShare(np.repeat(hits, 9), np.repeat(every, 9), np.repeat(np.arange(40), 9))
    assert once.value == often.value == 0.875
    assert once.interval == often.interval
    assert once.interval[0] < 0.8 < 0.875 < once.interval[1]


def test_what_is_not_counted_is_no_miss():
    counted = np.array([True, True, False, False])
    assert ClusteredShare(np.array([True, True, False, False]), counted, np.arange(4)).interval == (1.0, 1.0)
    assert str(ClusteredShare(counted, np.zeros(4, dtype=bool), np.arange(4))) == "none"
