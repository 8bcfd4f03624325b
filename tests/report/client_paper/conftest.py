"""Sittings and papers that the tests of the client's paper share."""

from collections.abc import Callable
from functools import cache
from typing import Any

import numpy as np
import pytest

from report.conftest import NAMES
from report.invented_palette import invented_palette
from tenter import Answer, Method, PairJudgement, Sitting
from tenter.report.client_paper.content import ClientPaper, client_paper
from tenter.report.content import ClientCard


@pytest.fixture(scope="session")
def paper_of(sitting_of: Callable[..., Sitting], card: Callable[..., ClientCard]) -> Callable[..., ClientPaper]:
    """Return the papers of the invented clients with an invented palette, each made once."""

    @cache
    def made(client: str, **fields: Any) -> ClientPaper:
        return client_paper(card(NAMES[client], **fields), sitting_of(client), invented_palette())

    return made


@pytest.fixture(scope="session")
def between(kit: Any, bundled: Method) -> Sitting:
    """A sitting of a client half-way between two seasons, answered without noise."""
    sitting = Sitting(kit, bundled, seed=2)
    x = sitting.bench.coordinates
    ideal = np.mean([bundled.region(c).prototype for c in ("light spring", "light summer")], axis=0)
    for _ in range(28):
        pair = sitting.propose()
        left, right = (-float(np.sum((x[kit.row(c)] - ideal) ** 2)) / 2 for c in pair)
        equal, side = abs(left - right) < 0.35, Answer.LEFT if left > right else Answer.RIGHT
        sitting.record(PairJudgement(*pair, Answer.BOTH_GOOD if equal else side, 2 if abs(left - right) > 1.2 else 1))
    assert sitting.verdict().is_between
    return sitting
