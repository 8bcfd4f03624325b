"""Which files of tests run which lines, and a run of some of them in a process of its own: for `bench_mutants.py`.

A run is a fork of a process that has numpy, scipy and pytest loaded, so that it costs what its tests cost. Its time is
counted in seconds of a processor, which do not depend on what else the machine does.
"""

import ast
import json
import os
import resource
import signal
import sys
import time
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

import coverage
import hypothesis
import pytest

PYTEST_INI = """[pytest]
pythonpath = src .
addopts = -q -x --tb=no --assert=plain --import-mode=importlib -p no:cacheprovider
filterwarnings = error
markers =
    browser: drives a real browser
    one_database: needs no other database
"""
# Seconds of a processor that a run may take at least, and beyond what it took before; how much longer it may wait.
_LEAST_SECONDS, _TIMES, _PATIENCE = 10, 4, 12
_OWN = 0.05  # of their cost, by which the tests of the module itself are ranked


@dataclass(frozen=True)
class Reach:
    """One file of tests: what it costs in seconds of a processor, and the lines that it runs of each module."""

    file: str
    seconds: float
    lines: dict[str, list[int]]


class _WithoutShrinking:
    """Lets hypothesis look for examples as it does, and not for the least of those that fail: one is enough."""

    def pytest_collection(self) -> None:
        """After the tests' own profile was loaded, and before any test."""
        phases = [hypothesis.Phase.explicit, hypothesis.Phase.generate]
        hypothesis.settings.register_profile("mutants", derandomize=True, deadline=None, database=None, phases=phases)
        hypothesis.settings.load_profile("mutants")


def in_fork(work: Callable[[], int], said: Path, seconds: int) -> tuple[int | None, float]:
    """Do some work in a fork; return its exit code, None where it took too long, and the seconds of a processor."""
    child = os.fork()
    if child == 0:
        _quietly(work, said, seconds)
    deadline = time.monotonic() + _PATIENCE * seconds
    while True:
        done, status, used = os.wait4(child, os.WNOHANG)
        if done:
            break
        if time.monotonic() > deadline:
            os.kill(child, signal.SIGKILL)
        time.sleep(0.02)
    code = os.waitstatus_to_exitcode(status)
    return (None if code in (-signal.SIGKILL, -signal.SIGXCPU) else code), used.ru_utime + used.ru_stime


def _quietly(work: Callable[[], int], said: Path, seconds: int) -> None:
    code = 99
    try:
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 2))
        output = os.open(said, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
        os.dup2(output, 1)
        os.dup2(output, 2)
        code = work()
    finally:
        os._exit(code)


def tests_run(files: Sequence[str], tree: Path) -> Callable[[], int]:
    """Return the work of running some files of tests until one fails."""
    said = ["-c", str(tree / "mutants.ini"), "--rootdir", str(tree), *files]
    return lambda: int(pytest.main(said, plugins=[_WithoutShrinking()]))


def allowed(seconds: float) -> int:
    """Return how many seconds of a processor a run may take that took so many before."""
    return int(_LEAST_SECONDS + _TIMES * seconds)


def reach_of(file: str, tree: Path, said: Path) -> Reach:
    """Run one file of tests on the program as it is, and return which lines it runs; it has to pass."""
    kept = said / "lines.json"

    def work() -> int:
        cover = coverage.Coverage(data_file=None, config_file=False, source=[str(tree / "src")], messages=False)
        cover.start()
        code = tests_run([file], tree)()
        cover.stop()
        data = cover.get_data()
        root = f"{tree}/"
        found = {name.removeprefix(root): sorted(data.lines(name) or ()) for name in data.measured_files()}
        kept.write_text(json.dumps(found))
        return code

    code, seconds = in_fork(work, said / "said.txt", 900)
    if code != 0:
        sys.exit(f"{file} does not pass on the program as it is: see {said / 'said.txt'}")
    return Reach(file, seconds, json.loads(kept.read_text()))


def all_reach(files: Sequence[str], tree: Path, folder: Path) -> list[Reach]:
    """Return the reach of files of tests, kept in a folder from one run to the next."""
    kept = folder / "reach.json"
    known = {one["file"]: Reach(**one) for one in json.loads(kept.read_text())} if kept.exists() else {}
    for file in files:
        if file not in known:
            known[file] = reach_of(file, tree, folder)
            kept.write_text(json.dumps([asdict(one) for one in known.values()]))
    return [known[file] for file in files]


def reaching(reached: Sequence[Reach], module: str, code: str, line: int, saw: Counter[str]) -> list[Reach]:
    """Return the files that run a line, in the order in which they are likely to see a fault soon.

    The quickest are first. The module's own tests may be slower, and so may those that saw faults in it before.

    What runs at import, a constant or a table, is reached by every file that runs some function of the module.
    """
    first, last, in_function = _statement(ast.parse(code), line)
    wanted = set(range(first, last + 1)) if in_function else _lines_in_functions(ast.parse(code))
    found = [one for one in reached if wanted & set(one.lines.get(module, ()))]
    own = f"test_{Path(module).name}"
    return sorted(found, key=lambda one: one.seconds * (_OWN if one.file.endswith(own) else 1) / (1 + saw[one.file]))


def _statement(tree: ast.Module, line: int) -> tuple[int, int, bool]:
    """Return the lines of the smallest statement about a line, or of its head, and whether it is in a function."""
    inside = [n for n in ast.walk(tree) if isinstance(n, ast.stmt) and n.lineno <= line <= (n.end_lineno or n.lineno)]
    if not inside:
        return line, line, False
    smallest = max(inside, key=lambda n: (n.lineno, -(n.end_lineno or 0)))
    body = getattr(smallest, "body", None)
    last = body[0].lineno - 1 if body and isinstance(body[0], ast.stmt) else smallest.end_lineno or smallest.lineno
    in_function = any(isinstance(n, ast.FunctionDef) and n is not smallest for n in inside)
    return smallest.lineno, max(last, smallest.lineno), in_function


def _lines_in_functions(tree: ast.Module) -> set[int]:
    functions = [n for n in ast.walk(tree) if isinstance(n, ast.FunctionDef)]
    return {n for f in functions for n in range(f.body[0].lineno, (f.end_lineno or 0) + 1)}
