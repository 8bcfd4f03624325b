"""What every test shares: one kind of hypothesis run, one browser, the invented studio's kit, its replayed sittings."""

import ctypes
import gc
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import settings

import tenter
from studies.web.live_studio import CHROMIUM
from tenter.consultation.record.ledger import demo_ledger, judgements_of_client
from tests.support.running import line_counting
from tests.support.running.line_counting import UNCOUNTED, counted

_WINDOWLESS = "/usr/lib/chromium/chromium-headless-shell"  # where Debian puts it

settings.register_profile("same every time", derandomize=True, deadline=None)
settings.load_profile("same every time")


def pytest_configure(config: pytest.Config) -> None:
    config.pluginmanager.register(line_counting)  # a hook written here would not hear of what is prepared for a session


@pytest.hookimpl(tryfirst=True)  # before the tests are shuffled: which case is the first hangs on no order
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what is a test's second case or a later one: it runs without counting lines, which doubles its time.

    What is counted is therefore the least that is covered. On PostgreSQL the first cases alone are run once more.
    Neither are lines counted where none of the program's would be: the server that a browser opens is a process of its
    own, and the tests of the house read the code.
    """
    seen: set[str] = set()
    for item in items:
        name = item.nodeid.partition("[")[0]
        if name in seen:
            item.add_marker("later_case")
        if name in seen or item.get_closest_marker("browser") or item.path.parent.name == "house":
            item.add_marker(UNCOUNTED)
        seen.add(name)


@pytest.hookimpl(wrapper=True)
def pytest_collection(session: pytest.Session) -> Iterator[None]:
    """Look for what nobody holds any more not while the tests are collected, and later not among what is there by then.

    That is a million objects, and most of them stay to the end. Every worker imports the same, so that one counts it.
    """
    gc.disable()
    try:
        with counted(getattr(session.config, "workerinput", {}).get("workerid", "gw0") == "gw0"):
            return (yield)
    finally:
        gc.collect()
        gc.freeze()
        gc.enable()


@pytest.fixture(scope="session")
def browser_type_launch_args() -> dict[str, Any]:
    """Chromium without all that a window needs, which is a third of its work; the whole where that is not installed."""
    return CHROMIUM | ({"executable_path": _WINDOWLESS} if Path(_WINDOWLESS).exists() else {})


@pytest.fixture(scope="session")
def browser_context_args() -> dict[str, Any]:
    """Leave it to each test whose browser it opens, where and how."""
    return {}


@pytest.fixture(scope="session")
def demo_kit() -> tenter.Kit:
    return tenter.Kit.demo()


@pytest.fixture(scope="session")
def bundled() -> tenter.Method:
    return tenter.Method.bundled()


@pytest.fixture(scope="session")
def demo_judgements(demo_kit: tenter.Kit) -> dict[str, list[Any]]:
    """The judgements of each client of the invented studio."""
    rows = demo_ledger(demo_kit)
    return {client: judgements_of_client(rows, client) for client in dict.fromkeys(row.client for row in rows)}


_give_back_free_memory = getattr(ctypes.CDLL(None), "malloc_trim", lambda _pad: 0)  # glibc's own


@pytest.fixture(scope="session")
def shared() -> list[tenter.Sitting]:
    """Sittings that many tests read. What odds need of each, up to 300 MB, is let go of after every module."""
    return []


@pytest.fixture(scope="module", autouse=True)
def shared_sittings_rest(shared: list[tenter.Sitting]) -> Iterator[None]:
    yield
    for sitting in shared:
        sitting.rest()
    _give_back_free_memory(0)


@pytest.fixture(scope="session")
def demo_sittings(
    demo_kit: tenter.Kit, bundled: tenter.Method, demo_judgements: dict[str, list[Any]], shared: list[tenter.Sitting]
) -> dict[str, tenter.Sitting]:
    """Each client's sitting, replayed. Shared: only to be read."""
    sittings = {
        client: tenter.Sitting(demo_kit, bundled, seed=7).record_all(judgements)
        for client, judgements in demo_judgements.items()
    }
    shared += sittings.values()
    return sittings


@pytest.fixture(scope="session")
def demo_verdicts(demo_sittings: dict[str, tenter.Sitting]) -> dict[str, tenter.Verdict]:
    verdicts = {}
    for client, sitting in demo_sittings.items():
        verdicts[client] = sitting.verdict()
        sitting.rest()
    return verdicts


@pytest.fixture
def sit(demo_kit: tenter.Kit, bundled: tenter.Method) -> Callable[..., tenter.Sitting]:
    """Start a sitting on the bundled kit and method and record judgements in it."""

    def start(*judgements: Any, seed: int = 7, **frozen: Any) -> tenter.Sitting:
        return tenter.Sitting(demo_kit, bundled, seed=seed, **frozen).record_all(judgements)

    return start


@pytest.fixture(scope="session")
def other_labels(demo_kit: tenter.Kit) -> tenter.Kit:
    """The bundled kit with its group labels dealt out anew."""
    groups = np.random.default_rng(3).permutation([drape.group for drape in demo_kit.drapes])
    drapes = (replace(drape, group=str(group)) for drape, group in zip(demo_kit.drapes, groups, strict=True))
    return tenter.Kit(tuple(drapes), demo_kit.colours)
