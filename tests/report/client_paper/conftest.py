"""The papers that the tests of the client's paper share."""

from collections.abc import Callable
from functools import cache
from typing import Any

import pytest

from tenter import Sitting
from tenter.report.client_paper.content import ClientPaper, client_paper
from tenter.report.reading.content import ClientCard
from tests.report.conftest import NAMES
from tests.support.clients.invented_palette import invented_palette


@pytest.fixture(scope="session")
def paper_of(sitting_of: Callable[..., Sitting], card: Callable[..., ClientCard]) -> Callable[..., ClientPaper]:
    """Return the papers of the invented clients with an invented palette, each made once."""

    @cache
    def made(client: str, **fields: Any) -> ClientPaper:
        return client_paper(card(NAMES[client], **fields), sitting_of(client), invented_palette())

    return made
