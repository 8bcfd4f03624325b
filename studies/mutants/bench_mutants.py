"""Which small faults put into the program would no test see? `./run bench mutants`.

cosmic-ray makes the mutants, by a seed; each is run against the tests of its area that reach its line, in a copy of the
program. A mutant that no test sees is a survivor: it names a law that is missing, or it is no fault at all.
docs/studies/mutants.md lists those that are left, with the reason. One process; about an hour.
"""

import os

os.environ |= {"OMP_NUM_THREADS": "1", "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1", "PYTHONDONTWRITEBYTECODE": "1"}

import argparse
import compileall
import json
import py_compile
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import coloraide  # noqa: F401 - what tests need and no mutant is in is loaded once, before the forks
import playwright.sync_api  # noqa: F401
import scipy.optimize
import scipy.stats  # noqa: F401

from studies.mutants.carried_mutants import GONE, carry_over, put_aside
from studies.mutants.reached_tests import PYTEST_INI, Reach, all_reach, allowed, in_fork, reaching, tests_run

ROOT = Path(__file__).parents[2]
LOCK = ROOT / "lock" / "mutants.lock"
OWN_ENVIRONMENT = ROOT / "build" / "mutants-venv"
TESTS = ("tests/colorimetry", "tests/inference", "tests/consultation")
OF_A_VERDICT = (
    *("verdict", "evidence", "evidence_set", "weighing", "reading", "reasons", "border", "contradictions"),
    *("agreement", "stop", "ending", "plan", "phases", "fans", "outlook", "diagnostics", "tendencies"),
    *("odds_words", "pull", "online", "traits"),
)
WANTED = 0.85
SEEN, NOT_SEEN = ("killed", "took too long"), ("survived", "not reached")

Mutant = Mapping[str, Any]


def main() -> None:
    said = _said()
    folder = (said.folder or Path(tempfile.mkdtemp(prefix="tenter-mutants-"))).resolve()
    if said.again:
        put_aside(folder)
    tree = _copy(folder)
    if said.again:
        carry_over(folder, TESTS, SEEN)
    modules = [*_modules(tree, said.modules)]
    mutants, places = _mutants(folder, tree, modules, said)
    files = [str(p.relative_to(tree)) for area in TESTS for p in sorted((tree / area).rglob("test_*.py"))]
    sys.dont_write_bytecode = True
    os.chdir(tree)
    print(f"{len(mutants)} mutants of {places} places in {len(modules)} modules (seed {said.seed}), in {folder}")
    reached = all_reach(files, tree, folder)
    _print(_results(folder, tree, mutants, reached, said.seconds))


def _said() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--count", type=int, default=420, help="mutants (420)")
    parser.add_argument("--seed", type=int, default=14, help="of the draw (14)")
    parser.add_argument("--seconds", type=float, default=60, help="of tests for a mutant that none has seen yet (60)")
    parser.add_argument("--folder", type=Path, help="where to work; what is found there is gone on with")
    parser.add_argument(
        "--again", action="store_true", help="try the survivors of the folder on program and tests as they are now"
    )
    parser.add_argument("modules", nargs="*", help="some modules alone, as src/tenter/inference/shift.py")
    return parser.parse_args()


# -- what is tried -----------------------------------------------------------------------------------------------------


def _copy(folder: Path) -> Path:
    """Copy the program and its tests, so that no fault can come into the work tree, and compile it by its content.

    A second copy of the program stays whole and comes back first, so that a run that was killed leaves no fault behind.
    """
    tree, whole = folder / "tree", folder / "whole"
    if not tree.exists():
        tree.mkdir(parents=True)
        for part in ("src", "tests", "studies", "docs"):
            shutil.copytree(ROOT / part, tree / part, ignore=shutil.ignore_patterns("__pycache__"))
        (tree / "mutants.ini").write_text(PYTEST_INI)
        for part in ("src", "tests", "studies"):  # by checksum: a file that changes twice in a second is compiled anew
            compileall.compile_dir(tree / part, quiet=1, invalidation_mode=py_compile.PycInvalidationMode.CHECKED_HASH)
        shutil.copytree(tree / "src", whole / "src")
    shutil.copytree(whole / "src", tree / "src", dirs_exist_ok=True)
    return tree


def _modules(tree: Path, only: Sequence[str]) -> list[str]:
    if only:
        return list(only)
    package = tree / "src" / "tenter"
    found = [*sorted((package / "colorimetry").glob("*.py")), *sorted((package / "inference").glob("*.py"))]
    found += [path for name in OF_A_VERDICT for path in (package / "consultation").rglob(f"{name}.py")]
    return [str(path.relative_to(tree)) for path in found]


def _mutants(folder: Path, tree: Path, modules: Sequence[str], said: argparse.Namespace) -> tuple[list[Mutant], int]:
    kept = folder / "mutants.json"
    if not kept.exists():
        script = Path(__file__).with_name("make_mutants.py")
        command = [str(_cosmic_ray()), str(script), "--count", str(said.count), "--seed", str(said.seed), *modules]
        made = subprocess.run(command, cwd=tree, check=True, capture_output=True, text=True)
        kept.write_text(made.stdout)
    found = json.loads(kept.read_text())
    return found["mutants"], found["places"]


def _cosmic_ray() -> Path:
    """Return the Python of cosmic-ray's own environment, made by its lock: nothing of it comes among ours."""
    python, stamp = OWN_ENVIRONMENT / "bin" / "python", OWN_ENVIRONMENT / "installed-from"
    if not stamp.exists() or stamp.read_bytes() != LOCK.read_bytes():
        subprocess.run([sys.executable, "-m", "venv", OWN_ENVIRONMENT], check=True)
        install: list[str | Path] = [
            python,
            "-m",
            "pip",
            "install",
            "--quiet",
            "--no-deps",
            "--require-hashes",
            "-r",
            LOCK,
        ]
        subprocess.run(install, check=True)
        stamp.write_bytes(LOCK.read_bytes())
    return python


# -- trying ------------------------------------------------------------------------------------------------------------


def _results(
    folder: Path, tree: Path, mutants: Sequence[Mutant], reached: Sequence[Reach], seconds: float
) -> list[tuple[Mutant, str]]:
    """Return what became of each mutant: what is kept in the folder is not tried again."""
    kept = folder / "results.json"
    known: dict[str, str] = json.loads(kept.read_text()) if kept.exists() else {}
    seen_by: dict[str, Counter[str]] = {}  # of each module, how many of its mutants each file of tests saw
    began = time.monotonic()
    order = random.Random(len(mutants)).sample(range(len(mutants)), len(mutants))  # broken off, it is a fair sample too
    for done, number in enumerate(order, 1):
        mutant = mutants[number]
        if str(number) not in known:
            saw = seen_by.setdefault(mutant["module"], Counter())
            word = known[str(number)] = _tried(mutant, tree, reached, saw, seconds)
            kept.write_text(json.dumps(known))
            at = f"{(time.monotonic() - began) / 60:6.1f} min"
            print(f"{done:4d} {at}  {word:14s} {mutant['module']}:{mutant['line']}", flush=True)
    return [(mutant, known[str(number)]) for number, mutant in enumerate(mutants)]


def _tried(mutant: Mutant, tree: Path, reached: Sequence[Reach], saw: Counter[str], seconds: float) -> str:
    place = tree / mutant["module"]
    whole = (tree.parent / "whole" / mutant["module"]).read_text(encoding="utf-8")
    place.write_text(mutant["code"], encoding="utf-8")
    try:
        files = reaching(reached, mutant["module"], whole, mutant["line"], saw)
        return _seen_by(files, f"test_{place.name}", tree, saw, seconds)
    finally:
        place.write_text(whole, encoding="utf-8")


def _seen_by(files: Sequence[Reach], own_name: str, tree: Path, saw: Counter[str], seconds: float) -> str:
    """Run files of tests in one process until one sees the mutant; those that would take too long stay out.

    The module's own tests are always among them.
    """
    if not files:
        return "not reached"
    start = min(one.seconds for one in files)
    chosen: list[str] = []
    spent = 0.0
    for one in files:
        own = one.seconds - start
        if not chosen or spent + own <= seconds or one.file.endswith(own_name):
            chosen.append(one.file)
            spent += own
    said = tree.parent / "said.txt"
    code, _ = in_fork(tests_run(chosen, tree), said, allowed(start + spent))
    if code == 0:
        return "survived"
    saw.update(re.findall(r"^(?:FAILED|ERROR) ([\w/.]+)", said.read_text(errors="replace"), flags=re.MULTILINE))
    return "took too long" if code is None else "killed"


# -- what came of it ---------------------------------------------------------------------------------------------------


def _print(results: Sequence[tuple[Mutant, str]]) -> None:
    words = (*SEEN, *NOT_SEEN, GONE)
    by_module: dict[str, Counter[str]] = {}
    for mutant, word in results:
        by_module.setdefault(mutant["module"].removeprefix("src/tenter/"), Counter())[word] += 1
    print(f"\n{'':36s}" + "".join(f"{word:>15s}" for word in words))
    for module, counted in by_module.items():
        print(f"{module:36s}" + "".join(f"{counted[word]:15d}" for word in words))
    whole = Counter(word for _, word in results)
    print(f"{'all':36s}" + "".join(f"{whole[word]:15d}" for word in words))
    share = sum(whole[word] for word in SEEN) / max(1, sum(whole[word] for word in (*SEEN, *NOT_SEEN)))
    print(f"\nSeen by a test: {share:.1%}; wanted at least {WANTED:.0%}: {'pass' if share >= WANTED else 'FAIL'}")
    print("\nSurvivors:")
    for mutant, word in results:
        if word in NOT_SEEN:
            print(f"\n{mutant['module']}:{mutant['line']} {mutant['operator']} ({word})")
            print("\n".join(f"  {line}" for line in mutant["diff"]))


if __name__ == "__main__":
    main()
