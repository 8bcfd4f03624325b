"""What is public is used by the program or by a study, or it is a door; what only tests would use goes.

A door is what a library calls (a command, a task, a filter, what a string of Django's settings names) or what the
documentation or `pyproject.toml` offers by its full name.
"""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import tenter

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src/tenter"
ONLY_DJANGO = ("web/migrations/", "web/management/commands/")  # Django looks in these folders itself
# One function per arrow and per quantity of the field, also where today's program needs only the other one.
THE_FIELDS = {"tenter.colorimetry.difference.delta_e_1976", "tenter.colorimetry.spaces.xyz_to_srgb"}
NAMED = re.compile(r"\btenter(?:\.\w+)+(?::\w+)?")  # a path in a string, as in a table of middleware
IMPORTED_IN_TEXT = re.compile(r"from (tenter(?:\.\w+)+) import (\w+)")  # in the code that a child process is given
DEFINITIONS = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


def read(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def name_of(path: Path) -> str:
    return ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts).removesuffix(".__init__")


def loaded(nodes: list[ast.stmt]) -> set[str]:
    return {n.id for node in nodes for n in ast.walk(node) if isinstance(n, ast.Name) and isinstance(n.ctx, ast.Load)}


def used_from_outside(tree: ast.Module) -> Iterator[str]:
    """Yield the full names that a module imports, reaches through an imported module, or writes in a string."""
    known: dict[str, str] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom):
            for alias in node.names:
                known[alias.asname or alias.name] = f"{node.module}.{alias.name}"
                yield f"{node.module}.{alias.name}"
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield from (found.replace(":", ".") for found in NAMED.findall(node.value))
            yield from (".".join(found) for found in IMPORTED_IN_TEXT.findall(node.value))
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute):
            parts = ast.unparse(node).split(".")
            yield ".".join((known.get(parts[0], parts[0]), *parts[1:]))


def used_inside(tree: ast.Module, definition: ast.stmt) -> bool:
    return definition.name in loaded([node for node in tree.body if node is not definition])


def unused(package: list[Path], users: list[Path]) -> list[str]:
    """Return the public top-level functions and classes that nothing but themselves uses and no decorator hands on."""
    trees = {path: read(path) for path in package}
    outside = {name for tree in (*trees.values(), *map(read, users)) for name in used_from_outside(tree)}
    return [
        f"{name_of(path)}.{node.name}"
        for path, tree in trees.items()
        for node in tree.body
        if isinstance(node, DEFINITIONS) and not node.name.startswith("_")
        if not (isinstance(node, ast.FunctionDef) and any(_hands_on(one) for one in node.decorator_list))
        if f"{name_of(path)}.{node.name}" not in outside and not used_inside(tree, node)
    ]


def _hands_on(decorator: ast.expr) -> bool:
    """Whether a decorator gives the function to somebody who calls it: `app.command`, `queue.task`, `register.filter`.

    A bare name, as `cache` or `require_POST`, gives it back to be used by its name.
    """
    callee = decorator.func if isinstance(decorator, ast.Call) else decorator
    return isinstance(callee, ast.Attribute) and isinstance(callee.value, ast.Name) and callee.attr not in GIVEN_BACK


GIVEN_BACK = {"contextmanager", "cache", "lru_cache", "singledispatch", "wraps", "total_ordering"}


def offered() -> set[str]:
    """Return the full names that the documentation gives and those of the programs that are installed."""
    texts = [path.read_text(encoding="utf-8") for path in (ROOT / "docs").rglob("*.md")]
    programs = re.search(r"\[project.scripts\]\n(.*?)\n\n", (ROOT / "pyproject.toml").read_text(), re.DOTALL)[1]
    return {name.replace(":", ".") for text in (*texts, programs) for name in NAMED.findall(text)}


def test_whatever_is_public_is_used():
    modules = sorted(PACKAGE.rglob("*.py"))
    called = [path for path in modules if path.relative_to(PACKAGE).as_posix().startswith(ONLY_DJANGO)]
    studies = sorted((ROOT / "studies").rglob("*.py"))
    found = unused([path for path in modules if path not in called], [*called, *studies])
    public = {f"{getattr(tenter, name).__module__}.{name}" for name in tenter.__all__}
    assert set(found) - public - offered() - THE_FIELDS == set()


@pytest.mark.parametrize(
    ("other", "left"),
    [
        ("", ["one", "two"]),
        ("from tenter.part import one\n", ["two"]),
        ("from tenter import part\npart.two()\n", ["one"]),
        ("BY = 'tenter.part:one'\n", ["two"]),
        ("one = 1\nprint(one)\n", ["one", "two"]),
    ],
)
def test_what_nothing_uses_is_found(tmp_path, monkeypatch, other, left):
    monkeypatch.setitem(globals(), "PACKAGE", tmp_path / "tenter")
    (tmp_path / "tenter").mkdir()
    part, user = tmp_path / "tenter/part.py", tmp_path / "tenter/user.py"
    part.write_text(
        "def one():\n    one()\n\n\ndef two():\n    three()\n\n\ndef three():\n    pass\n\n\n"
        "@app.command()\ndef four():\n    pass\n"
    )
    user.write_text(other)
    assert unused([part, user], []) == [f"tenter.part.{name}" for name in left]
