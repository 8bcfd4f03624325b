"""The kits on which the practice checks run, and sittings on them."""

from collections.abc import Callable

import pytest

from tenter import Kit, Method, Sitting
from tenter.arrays import FloatArray
from tests.support.clients.practice_clients import Served, kit_named, served_at


@pytest.fixture(params=["bundled", "perturbed"])
def kit(request) -> Kit:
    return kit_named(request.param)


@pytest.fixture
def x(kit: Kit, bundled: Method) -> dict[str, FloatArray]:
    """The coordinates of each cloth."""
    return dict(zip(kit.ids, bundled.coordinates(kit), strict=True))


@pytest.fixture
def sit(kit: Kit, bundled: Method) -> Callable[..., Sitting]:
    return lambda *judgements: Sitting(kit, bundled, seed=7).record_all(judgements)


@pytest.fixture
def serve(kit: Kit, bundled: Method) -> Callable[..., Served]:
    """Serve the client at a category's prototype, once for every test that asks."""
    return lambda category: served_at(kit, bundled, bundled.region(category).prototype)
