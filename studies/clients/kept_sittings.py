"""Simulated sittings that are kept: what is known after each, so that ways of making a palette meet the same clients.

A sitting takes longer than the palettes of it. It is kept under a digest of the code that it follows from, so that a
change of `consultation/personal` meets the same sittings, and after any other change they are held again.
"""

import pickle
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from pathlib import Path
from time import process_time
from typing import cast

from studies.clients.simulation import Judge, World
from studies.clients.trials import Setting, client_judge, study_method
from tenter import NothingToPropose, Sitting
from tenter.arrays import FloatArray
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.conventions.method import Method
from tenter.consultation.palette.palette import Palette, palette
from tenter.consultation.personal.making import categories_of, known_of
from tenter.consultation.personal.suitability import Known
from tenter.consultation.personal.tried import Tried, tried
from tenter.consultation.reading.reading import Reading
from tenter.consultation.record.history import Entry
from tenter.inference.utility import Shape

ROOT = Path(__file__).parents[2]
_KEPT = ROOT / "build" / "bench" / "sittings"
_BENCH = ("simulation.py", "trials.py", "kept_sittings.py")
_FOLLOWS = {"colours", "wishes", "personal", "garments", "stock"}  # what a sitting does not follow from


@dataclass(frozen=True, eq=False)
class Sat:
    """What one sitting left: the posterior, condensed, the palette of cloths, the record, and what the verdict says.

    seconds: that the condensing took, as it is part of making a palette.
    """

    shapes: tuple[Shape, ...]
    ideals: FloatArray
    weights: FloatArray
    worn: Palette
    entries: tuple[Entry, ...]
    categories: tuple[str, ...]
    named: str
    probabilities: dict[str, float]
    seconds: float

    def known(self) -> Known:
        """Return what is known of the client."""
        return Known(study_method(), self.shapes, self.ideals, self.weights)

    def trial(self, judge: Judge) -> Tried:
        """Return what the cloths on record showed."""
        record = _Record(judge.bench.kit, study_method(), self.entries)
        return tried(cast(Reading, record), self.worn, self.known())


@dataclass(frozen=True, eq=False)
class _Record:
    """As much of a sitting as what was tried follows from."""

    kit: Kit
    method: Method
    entries: tuple[Entry, ...]


def sat(world: World, index: int, seed: int, comparisons: int) -> tuple[Judge, Sat]:
    """Return one client of a world and what their planned sitting left, held now or kept from an earlier run."""
    judge = client_judge(Setting("palette", world=world), index, seed)
    path = _KEPT / _digest() / f"{seed}-{comparisons}-{index}-{world.name.lower()}.pickle"
    if path.exists():
        return judge, cast(Sat, pickle.loads(path.read_bytes()))  # written below
    left = _held(judge, seed + index, comparisons)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(pickle.dumps(left))
    return judge, left


def _held(judge: Judge, seed: int, comparisons: int) -> Sat:
    sitting = Sitting(judge.bench.kit, judge.bench.method, seed=seed)
    with suppress(NothingToPropose):
        for _ in range(comparisons):
            sitting.record(judge.judge(*sitting.propose()))
    verdict = sitting.verdict()
    sitting.posterior()
    began = process_time()
    known = known_of(sitting, verdict)
    seconds = process_time() - began
    left = Sat(
        known.shapes,
        known.ideals,
        known.weights,
        palette(sitting, verdict),
        tuple(sitting.entries),
        categories_of(verdict),
        verdict.category,
        dict(verdict.probabilities),
        seconds,
    )
    sitting.rest()
    return left


@cache
def _digest() -> str:
    code = sha256()
    for path in _code():
        code.update(path.read_bytes())
    return code.hexdigest()[:12]


def _code() -> Iterable[Path]:
    package = ROOT / "src" / "tenter"
    for layer in ("colorimetry", "inference", "measured", "consultation"):
        found = (p for p in (package / layer).rglob("*") if p.suffix in (".py", ".toml", ".csv"))
        yield from sorted(p for p in found if not _FOLLOWS & set(p.parts))
    yield package / "consultation" / "personal" / "suitability.py"
    yield from (Path(__file__).parent / name for name in _BENCH)
