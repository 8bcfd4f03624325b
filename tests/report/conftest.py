"""What the report tests share: the invented clients' sittings, read once, and two invented faces."""

from collections.abc import Callable
from functools import cache
from typing import Any

import numpy as np
import pytest

from tenter import Answer, Face, Kit, Method, PairJudgement, Palette, Sitting, Verdict
from tenter.consultation.colours.colours import PersonalPalette
from tenter.consultation.palette.palette import palette
from tenter.consultation.personal.making import known_of, personal_palette
from tenter.consultation.personal.suitability import Known
from tenter.language import Catalogue
from tenter.report.reading.content import ClientCard, ReadingSheet, reading_sheet
from tenter.translations import catalogue
from tests.support.pseudo import TAG, write_catalogue

NAMES = {
    "K1": "Ilse Varnholt",
    "K2": "Marlon Adeyemi-Lind",
    "K3": "Pia Rosendal",
    "K4": "Georgi Amsel",
    "K5": "Maren Tolliver",
}


def _card(name: str = "Maren Tolliver", **fields: Any) -> ClientCard:
    studio = {"studio": "The North Room, Eddermouth", "consultant": "Wenna Castrall", "date": "2026-03-14"}
    return ClientCard(**{"name": name, **studio, **fields})


def _face(skin: float = 62.0, hair: float | None = 24.0, ita: dict[str, Any] | None = None) -> Face:
    lab = {"forehead": (skin, 14.0, 17.0), "cheek_left": (skin - 1, 16.0, 17.0), "lips": (skin - 14, 27.0, 15.0)}
    if hair is not None:
        lab["hair"] = (hair, 6.0, 8.0)
    regions = {n: {"lab": list(v), "lab_interval_90": [[x - 1.8, x + 1.8] for x in v]} for n, v in lab.items()}
    light = {"illuminant": "D65", "observer": "2"}
    return Face.from_json({"accepted": True, "basis": "chart", **light, "regions": regions, "ita_degrees": ita})


@pytest.fixture(scope="session")
def card() -> Callable[..., ClientCard]:
    """Return cards of the invented studio."""
    return _card


@pytest.fixture(scope="session")
def face() -> Callable[..., Face]:
    """Return invented faces; `hair` is the L* of the hair, or None where no dark feature was measured."""
    return _face


@pytest.fixture(scope="session")
def names() -> dict[str, str]:
    return NAMES


@pytest.fixture(scope="session")
def kit(demo_kit: Kit) -> Kit:
    return demo_kit


class _Kept(Sitting):
    """A sitting that is only read, so that its verdict is worked out once for all tests."""

    _verdict: Verdict | None = None

    def verdict(self) -> Verdict:
        if self._verdict is None:
            self._verdict = super().verdict()
            self.rest()  # little that is written needs more than the verdict
        return self._verdict


@pytest.fixture(scope="session")
def sitting_of(kit: Kit, demo_judgements: dict[str, list[Any]], shared: list[Sitting]) -> Callable[..., Sitting]:
    """Return sittings by client and method, each read once."""
    method_of = cache(Method.bundled)

    @cache
    def read(client: str, method: str = "four-by-three") -> Sitting:
        sitting = _Kept(kit, method_of(method), seed=7)
        shared.append(sitting)
        return sitting.record_all(demo_judgements[client])

    return read


@pytest.fixture(scope="session")
def verdict_of(sitting_of: Callable[..., Sitting]) -> Callable[..., Verdict]:
    """Return verdicts by client and method."""
    return lambda client, method="four-by-three": sitting_of(client, method).verdict()


@pytest.fixture(scope="session")
def palette_of(sitting_of: Callable[..., Sitting]) -> Callable[..., Palette]:
    """Return palettes by client and method, each made once."""
    return cache(
        lambda client, method="four-by-three": palette(sitting_of(client, method), sitting_of(client, method).verdict())
    )


@pytest.fixture(scope="session")
def between(kit: Kit, bundled: Method, shared: list[Sitting]) -> Sitting:
    """A sitting of a client half-way between two seasons, answered without noise. Shared: only to be read."""
    sitting = Sitting(kit, bundled, seed=2)
    x = sitting.bench.coordinates
    ideal = np.mean([bundled.region(c).prototype for c in ("light spring", "light summer")], axis=0)
    for _ in range(28):
        pair = sitting.propose()
        left, right = (-float(np.sum((x[kit.row(c)] - ideal) ** 2)) / 2 for c in pair)
        equal, side = abs(left - right) < 0.35, Answer.LEFT if left > right else Answer.RIGHT
        sitting.record(PairJudgement(*pair, Answer.BOTH_GOOD if equal else side, 2 if abs(left - right) > 1.2 else 1))
    assert sitting.verdict().is_between
    shared.append(sitting)
    return sitting


@pytest.fixture(scope="session")
def sitting_with(kit: Kit, sitting_of: Callable[..., Sitting]) -> Callable[..., Sitting]:
    """Return the K3 sitting again, with another face or kit."""

    def build(measured: Face | None = None, other_kit: Kit | None = None) -> Sitting:
        first = sitting_of("K3")
        again = Sitting(other_kit or kit, first.method, seed=7, face=measured)
        return again.record_all(e.judgement for e in first.entries)

    return build


@pytest.fixture(scope="session")
def sheet_of(sitting_of: Callable[..., Sitting]) -> Callable[..., ReadingSheet]:
    """Return sheets by client and method, each made once."""
    return cache(lambda client, method="four-by-three": reading_sheet(_card(NAMES[client]), sitting_of(client, method)))


@pytest.fixture(scope="session")
def language(tmp_path_factory: pytest.TempPathFactory) -> Catalogue:
    """Return the language that nobody speaks."""
    return catalogue(TAG, write_catalogue(tmp_path_factory.mktemp("catalogues")))


@pytest.fixture(scope="session")
def palette_made(sitting_of: Callable[..., Sitting]) -> Callable[[str], tuple[PersonalPalette, Known]]:
    """Return a client's palette with what is known, made once and in English, as it is kept."""

    @cache
    def of(client: str) -> tuple[PersonalPalette, Known]:
        sitting = sitting_of(client)
        return personal_palette(sitting, sitting.verdict()), known_of(sitting, sitting.verdict())

    return of
