"""Which lines of the program are counted as run by the tests: counting doubles the time of whatever runs meanwhile."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from coverage import Coverage

UNCOUNTED = "uncounted"  # marks a test of which no line is counted


@contextmanager
def counted(lines: bool) -> Iterator[None]:
    """Count lines meanwhile, or do not; where nobody asked for them, and where it is so already, nothing changes."""
    meanwhile = _counts(lines)
    try:
        yield
    finally:
        if meanwhile is not lines:
            _counts(meanwhile)


_counting: list[Coverage] = []


def _counts(lines: bool) -> bool:
    """Begin or stop counting where that was asked for, and return what was done before.

    A worker has a second one beneath, whose lines nobody reads and which goes on where only the first is stopped.
    """
    before = Coverage.current() is not None and sys.gettrace() is not None
    if lines and not before and _counting:
        _counting[0].start()
    while not lines and (running := Coverage.current()):
        if not _counting:
            _counting.append(running)
        running.stop()
    return before


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", f"{UNCOUNTED}: no line that the test runs is counted")


@pytest.hookimpl(wrapper=True)
def pytest_runtestloop(session: pytest.Session) -> Iterator[None]:
    """Count nothing of what pytest itself does for the tests, nor of what hands them out to the workers."""
    with counted(False):
        return (yield)


@pytest.hookimpl(wrapper=True)
def pytest_fixture_setup(request: pytest.FixtureRequest) -> Iterator[None]:
    """Count what is prepared for a test that counts, and what is prepared for many, whichever of them comes first."""
    with counted(request.scope != "function" or not request.node.get_closest_marker(UNCOUNTED)):
        return (yield)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Iterator[None]:
    """Count what a test does."""
    with counted(not item.get_closest_marker(UNCOUNTED)):
        return (yield)
