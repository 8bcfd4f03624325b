"""A study of mutants carried over to the program and the tests as they are now: for `bench_mutants.py --again`.

A law that is written for a survivor may have found a fault, so that the program changes with its tests. What was seen
stays seen. Every other mutant is put at its line again and tried anew, unless that line is no longer there.
"""

import difflib
import json
import shutil
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

GONE = "gone"  # its line is no longer there, so it can't be tried: counted nowhere

Mutant = Mapping[str, Any]


def put_aside(folder: Path) -> None:
    """Keep program and tests as they were under `before`, so that both can be copied anew."""
    before, whole = folder / "before", folder / "whole"
    shutil.rmtree(before, ignore_errors=True)
    (folder / "tree").rename(before)
    shutil.rmtree(before / "src")  # it may hold a fault yet
    (whole / "src").rename(before / "src")
    shutil.rmtree(whole)


def carry_over(folder: Path, areas: Sequence[str], seen: Sequence[str]) -> None:
    """Bring what is known up to date; `areas` are the folders of tests, `seen` the words for a mutant that was seen."""
    before, tree = folder / "before", folder / "tree"
    tests = {name for area in areas for name in _changed(before, tree, area)}
    moved = {name: _moved(*_both(before, tree, name)) for name in _changed(before, tree, "src")}
    reach, mutants, results = (folder / f"{name}.json" for name in ("reach", "mutants", "results"))
    known = [one | {"lines": _reached(one["lines"], moved)} for one in _read(reach) if one["file"] not in tests]
    reach.write_text(json.dumps(known))
    words = {number: word for number, word in _read(results).items() if word in seen}
    drawn = _read(mutants)
    for number, mutant in enumerate(drawn["mutants"]):
        if mutant["module"] in moved and str(number) not in words:
            now = put_again(mutant, (tree / mutant["module"]).read_text(encoding="utf-8"))
            drawn["mutants"][number] = now or mutant
            words |= {} if now else {str(number): GONE}
    mutants.write_text(json.dumps(drawn))
    results.write_text(json.dumps(words))


def put_again(mutant: Mutant, code: str) -> Mutant | None:
    """Return a mutant of a module as its code is now, or None where its line is no longer there."""
    lines = code.splitlines(keepends=True)
    old, new = ([line[1:] + "\n" for line in mutant["diff"] if line[0] == sign] for sign in "-+")
    places = [n for n in range(len(lines)) if lines[n : n + len(old)] == old]
    if not places:
        return None
    place = min(places, key=lambda n: abs(n + 1 - mutant["line"]))
    lines[place : place + len(old)] = new
    return {**mutant, "line": place + 1, "code": "".join(lines)}


def _read(file: Path) -> Any:
    return json.loads(file.read_text())


def _both(before: Path, tree: Path, name: str) -> tuple[str, str]:
    old, new = ((root / name).read_text(encoding="utf-8") if (root / name).exists() else "" for root in (before, tree))
    return old, new


def _changed(before: Path, tree: Path, part: str) -> Iterator[str]:
    """Give the modules of a folder that are not what they were, as paths from the root; new and lost ones too."""
    for name in sorted({str(p.relative_to(root)) for root in (before, tree) for p in (root / part).rglob("*.py")}):
        old, new = _both(before, tree, name)
        if old != new:
            yield name


def _moved(old: str, new: str) -> dict[int, list[int]]:
    """Return where the lines of a module are now; what came for some lines is taken for each of them."""
    found: dict[int, list[int]] = {}
    matcher = difflib.SequenceMatcher(None, old.splitlines(), new.splitlines(), autojunk=False)
    for word, one, end, other, other_end in matcher.get_opcodes():
        for n in range(one, end):
            found[n + 1] = [other + n - one + 1] if word == "equal" else list(range(other + 1, other_end + 1))
    return found


def _reached(lines: Mapping[str, Sequence[int]], moved: Mapping[str, Mapping[int, Sequence[int]]]) -> dict[str, Any]:
    def now(name: str) -> Sequence[int]:
        return sorted({new for n in lines[name] for new in moved[name].get(n, ())}) if name in moved else lines[name]

    return {name: now(name) for name in lines}
