"""Mutants of some modules as JSON, made by cosmic-ray: run by `bench_mutants.py` in an environment of their own.

At most one mutant a place, drawn with a seed, so that no line with many operators outweighs the others. What is left
out is in `_no_behaviour` and `_told_by_any_test`: it is no behaviour, or any test that runs the line sees it.
"""

import argparse
import ast
import difflib
import json
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from cosmic_ray.commands.init import _all_work_items
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator

# Keywords of decorators and calls that decide how something is kept or checked, and nothing about a result.
_HOW_IT_IS_KEPT = {"slots", "frozen", "eq", "repr", "init", "compare", "maxsize", "strict"}
_BITS = ("RShift", "LShift", "BitOr", "BitAnd", "BitXor")
_ARITHMETIC = ("Add", "Sub", "Mul", "Div", "FloorDiv", "Mod", "Pow")
_SAME_ON_ENUMS = ("Eq_Is", "NotEq_IsNot", "Is_Eq", "IsNot_NotEq")

Place = tuple[int, int]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, required=True)
    parser.add_argument("--seed", type=int, required=True)
    parser.add_argument("modules", nargs="+", type=Path)
    said = parser.parse_args()
    rng = random.Random(said.seed)
    places = [place for module in said.modules for place in _places(module)]
    chosen = rng.sample(places, min(said.count, len(places)))
    mutants = [_mutant(rng.choice(place)) for place in sorted(chosen, key=_where)]
    print(json.dumps({"places": len(places), "mutants": mutants}))


def _where(place: list[Any]) -> tuple[str, Place]:
    return str(place[0].module_path), place[0].start_pos


def _places(module: Path) -> list[list[Any]]:
    """Return the mutations of each place of a module."""
    tree = ast.parse(module.read_text(encoding="utf-8"))
    apart = list(_no_behaviour(tree))
    found: dict[Place, list[Any]] = {}
    for item in _all_work_items([module], {}):
        [mutation] = item.mutations
        at = mutation.start_pos
        if not _told_by_any_test(mutation.operator_name.partition("/")[2]) and not any(a <= at < b for a, b in apart):
            found.setdefault(at, []).append(mutation)
    return list(found.values())


def _no_behaviour(tree: ast.Module) -> Iterator[tuple[Place, Place]]:
    """Give where annotations and the keywords of how something is kept begin and end."""
    for node in ast.walk(tree):
        part = _part_without_behaviour(node)
        if part is not None:
            yield (part.lineno, part.col_offset), (part.end_lineno or 0, part.end_col_offset or 0)


def _part_without_behaviour(node: ast.AST) -> ast.expr | None:
    if isinstance(node, ast.FunctionDef):
        return node.returns
    if isinstance(node, ast.arg | ast.AnnAssign):
        return node.annotation
    if isinstance(node, ast.keyword) and node.arg in _HOW_IT_IS_KEPT:
        return node.value
    if isinstance(node, ast.Assign) and isinstance(node.value, ast.BinOp) and _is_of_types(node.value):
        return node.value
    return None


def _is_of_types(node: ast.BinOp) -> bool:
    """Whether a value is a union of classes, a type's other name."""
    names = [n.id for n in ast.walk(node) if isinstance(n, ast.Name)]
    return isinstance(node.op, ast.BitOr) and bool(names) and all(n[:1].isupper() and not n.isupper() for n in names)


def _told_by_any_test(operator: str) -> bool:
    """Whether an operator makes what fails at import or with any real number, or what is the same on enums."""
    if operator in ("RemoveDecorator", "ReplaceUnaryOperator_USub_Invert"):
        return True
    if operator.startswith("ReplaceBinaryOperator_"):
        before, after = operator.split("_")[1:]
        return before in _ARITHMETIC and after in _BITS
    return operator.endswith(_SAME_ON_ENUMS)


def _mutant(mutation: Any) -> dict[str, Any]:
    code = mutation.module_path.read_text(encoding="utf-8")
    mutated = mutate_code(code, get_operator(mutation.operator_name)(), mutation.occurrence)
    lines = list(difflib.unified_diff(code.splitlines(), mutated.splitlines(), n=0, lineterm=""))[3:]
    return {
        "module": str(mutation.module_path),
        "line": mutation.start_pos[0],
        "operator": mutation.operator_name.partition("/")[2],
        "diff": [line for line in lines if not line.startswith("@@")],
        "code": mutated,
    }


if __name__ == "__main__":
    main()
