"""A number that somebody chose says what it is of and where it comes from, or wears its unit in its name."""

import ast
import re
import tokenize
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[2] / "src/tenter"
LAYERS = ("colorimetry", "inference", "measured", "consultation", "light", "photo", "report", "cli", "web")
A_UNIT = re.compile(r"_(MM|NM|PX|MS|SECONDS|MINUTES|DAYS|BYTES|DEGREES|LAB|XYZ)$")
PLAIN = {0, 1, 2, 3, -1}  # a sign, a strength, a count of axes: what they are is in the name


def _is_constant(name):
    return name.strip("_").isupper() and not A_UNIT.search(name)


def _chosen(node):
    """Return the names of a module's constant that holds a number to wonder at, or nothing."""
    if not isinstance(node, ast.Assign | ast.AnnAssign) or node.value is None:
        return []
    targets = node.targets if isinstance(node, ast.Assign) else [node.target]
    names = [n.id for target in targets for n in ast.walk(target) if isinstance(n, ast.Name) and _is_constant(n.id)]
    numbers = [n.value for n in ast.walk(node.value) if isinstance(n, ast.Constant) and type(n.value) in (int, float)]
    return names if any(number not in PLAIN for number in numbers) else []


def _lines_with_a_comment(path):
    with tokenize.open(path) as file:
        return {t.start[0] for t in tokenize.generate_tokens(file.readline) if t.type == tokenize.COMMENT}


def bare(path):
    """Return the constants of a module that no comment beside or above them explains; a block shares its comment."""
    said, found, explained_until = _lines_with_a_comment(path), [], -1
    for node in ast.parse(path.read_text()).body:
        above = node.lineno - 1 in said or node.lineno - 1 == explained_until
        explained = above or any(line in said for line in range(node.lineno, (node.end_lineno or 0) + 1))
        explained_until = node.end_lineno if above and isinstance(node, ast.Assign | ast.AnnAssign) else -1
        found += [] if explained else _chosen(node)
    return found


@pytest.mark.parametrize("layer", LAYERS)
def test_a_chosen_number_says_what_it_is(layer):
    modules = sorted((SOURCE / layer).rglob("*.py"))
    assert {str(path.relative_to(SOURCE)): bare(path) for path in modules if bare(path)} == {}


def test_a_bare_number_is_seen(tmp_path):
    module = tmp_path / "chosen.py"
    module.write_text("_A = 7\n_B = 0.5  # of it\n# Both.\n_C = 8\n_D = 9\n\n_E = 6\nWIDTH_MM = 5\n_SIGN = {1: -1}\n")
    assert bare(module) == ["_A", "_E"]
