"""A pytest plug-in that measures branch coverage by probes: `pytest -p tests.branch_coverage`.

It is loaded by name, so that it stands ready before the first module of the product is imported. Every worker tells the
first process what ran, which hands it to coverage.py: its settings, its counting and its report, and its data file.
"""

import sys
from collections.abc import Sequence
from importlib.machinery import ModuleSpec, PathFinder, SourceFileLoader
from importlib.util import find_spec
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from coverage import Coverage
from tests.probes import HITS, Probed, arcs_of

_MEASURED = "tenter"
_TOLD = "branch_coverage"

_hits: dict[str, list[int]] = {}  # of each file, a place for each probe: 1 where it was passed


class _Loader(SourceFileLoader):
    def exec_module(self, module: ModuleType) -> None:
        path = self.get_filename(module.__name__)
        probed = Probed(self.get_data(path))
        _hits[path] = module.__dict__[HITS] = [0] * len(probed.lines)
        exec(compile(probed.tree, path, "exec", dont_inherit=True), module.__dict__)


class _Finder:
    @staticmethod
    def find_spec(name: str, path: Sequence[str] | None = None, target: ModuleType | None = None) -> ModuleSpec | None:
        if name.partition(".")[0] != _MEASURED:
            return None
        spec = PathFinder.find_spec(name, path, target)
        if spec and isinstance(spec.loader, SourceFileLoader):
            spec.loader = _Loader(name, spec.loader.path)
        return spec


class _Told:
    """What ran, in this process and in those that told it."""

    def __init__(self) -> None:
        self.passed: dict[str, set[int]] = {}

    def add(self, told: dict[str, list[int]]) -> None:
        for path, probes in told.items():
            self.passed.setdefault(path, set()).update(probes)

    def coverage(self) -> Coverage:
        """Return coverage.py with its data file written anew."""
        measured = Coverage()
        measured.erase()
        data = measured.get_data()
        data.add_arcs({path: arcs_of(Path(path).read_bytes(), probes) for path, probes in self.passed.items()})
        data.touch_files(map(str, _sources()))
        measured.save()
        return measured


def _sources() -> list[Path]:
    spec = find_spec(_MEASURED)
    return [path for folder in (spec and spec.submodule_search_locations) or [] for path in Path(folder).rglob("*.py")]


def _passed() -> dict[str, list[int]]:
    return {path: [n for n, passed in enumerate(places) if passed] for path, places in _hits.items()}


assert _MEASURED not in sys.modules, f"{_MEASURED} was imported before it could be measured"
sys.meta_path.insert(0, _Finder())
_told = _Told()


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any) -> None:
    _told.add(getattr(node, "workeroutput", {}).get(_TOLD, {}))


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish(session: pytest.Session) -> None:
    if hasattr(session.config, "workeroutput"):
        session.config.workeroutput[_TOLD] = _passed()
    else:
        _told.add(_passed())


def pytest_terminal_summary(terminalreporter: Any) -> None:
    terminalreporter.section("branch coverage")
    _told.coverage().report(file=terminalreporter)
