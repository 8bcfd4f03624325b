"""One word for one idea: what the package makes public is defined under one name in one module.

The doors are excepted. A view is named by what the request does and a command by what is typed (``add``, ``show``), and
either is reached through its module alone, which says of what.
"""

import ast
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

PACKAGE = Path(__file__).parents[2] / "src" / "tenter"
# The database and the public interface have each had this name from the start, and neither may change it.
HELD_BY_BOTH = {"Sitting"}
TYPES_OF_NO_THING = {"TypeVar", "ParamSpec"}  # ``T`` stands for whatever comes, in each module anew
REGISTRIES = {"app": "Typer", "register": "Library"}  # what typer's commands and Django's tags are entered into


class Defined(NamedTuple):
    """A public name at the top of a module, and the statement that defines it."""

    name: str
    module: Path
    node: ast.stmt


def statements(body: list[ast.stmt]) -> Iterator[ast.stmt]:
    """Yield what a module's top level defines, also behind an ``if`` or a ``try``."""
    for node in body:
        yield node
        for part in ("body", "orelse", "finalbody"):
            if isinstance(node, ast.If | ast.Try | ast.With):
                yield from statements(getattr(node, part, []))


def names_of(node: ast.stmt) -> Iterator[str]:
    if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
        yield node.name
    elif isinstance(node, ast.Assign | ast.AnnAssign):
        targets = node.targets if isinstance(node, ast.Assign) else [node.target]
        yield from (n.id for target in targets for n in ast.walk(target) if isinstance(n, ast.Name))


def called(node: ast.expr | None) -> str:
    """Return the last name of what an expression calls or is: ``command`` of ``@app.command("add")``."""
    while isinstance(node, ast.Call):
        node = node.func
    return getattr(node, "attr", getattr(node, "id", ""))


def entered(package: Path) -> set[tuple[str, str]]:
    """Return the functions that some module enters as commands, by module and name: ``app.command("sit")(sit.sit)``."""
    calls = (n for path in package.rglob("*.py") for n in ast.walk(ast.parse(path.read_text(encoding="utf-8"))))
    return {
        (called(argument.value), argument.attr)
        for call in calls
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Call) and called(call.func) == "command"
        for argument in call.args
        if isinstance(argument, ast.Attribute)
    }


def is_door(found: Defined, commands: set[tuple[str, str]]) -> bool:
    """Say whether a name is a view, a command, or the registry that commands and tags are entered into."""
    node, places = found.node, found.module.with_suffix("").parts
    if places[-1].endswith("views") and found.name.islower():  # a function, also one that a maker of views returns
        return True
    if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
        decorated = {"command", "callback"} & {called(decorator) for decorator in node.decorator_list}
        return bool(decorated) or (found.module.stem, found.name) in commands
    if isinstance(node, ast.ClassDef):
        return "commands" in places and found.name == "Command"  # Django runs a command by the class of this name
    return called(getattr(node, "value", None)) == REGISTRIES.get(found.name, "none")


def is_told_otherwise(found: Defined) -> bool:
    """Say whether the language lets a name be written again: a type variable, an overload."""
    decorators = {called(decorator) for decorator in getattr(found.node, "decorator_list", [])}
    return called(getattr(found.node, "value", None)) in TYPES_OF_NO_THING or "overload" in decorators


def public_names(package: Path) -> Iterator[Defined]:
    for path in sorted(package.rglob("*.py")):
        module = path.relative_to(package)
        if "migrations" in module.parts or module.name == "formats.py":  # the names there are Django's
            continue
        for node in statements(ast.parse(path.read_text(encoding="utf-8")).body):
            yield from (Defined(name, module, node) for name in names_of(node) if not name.startswith("_"))


def twice(package: Path) -> dict[str, set[str]]:
    """Return the public names that more than one module defines, with those modules."""
    homes, commands = defaultdict(set), entered(package)
    for found in public_names(package):
        if not is_door(found, commands) and not is_told_otherwise(found):
            homes[found.name].add(str(found.module))
    return {name: modules for name, modules in homes.items() if len(modules) > 1}


def test_each_public_name_is_defined_once():
    assert {name: where for name, where in twice(PACKAGE).items() if name not in HELD_BY_BOTH} == {}


def test_the_excepted_name_is_still_a_row_and_a_public_name():
    assert {Path(where).parts[:2] for where in twice(PACKAGE)["Sitting"]} == {
        ("web", "models"),
        ("consultation", "sitting"),
    }


def test_doors_may_share_names_and_what_is_behind_them_may_not(tmp_path):
    (tmp_path / "kits_views.py").write_text("def add(request): ...\ntold = of(add)\nclass Row: ...\n")
    (tmp_path / "kit.py").write_text("app = typer.Typer()\n@app.command()\ndef add(): ...\ndef told(): ...\n")
    (tmp_path / "stock.py").write_text(
        "app = typer.Typer()\ndef add(): ...\ndef told(): ...\nclass Row: ...\nT = TypeVar('T')\n"
    )
    (tmp_path / "main.py").write_text("def show(): ...\napp.command('show')(show_all.show)\n")
    (tmp_path / "show_all.py").write_text("def show(): ...\n")
    (tmp_path / "table.py").write_text("T = TypeVar('T')\nif True:\n    Row = 3\n")
    assert twice(tmp_path) == {"told": {"kit.py", "stock.py"}, "Row": {"kits_views.py", "stock.py", "table.py"}}


def private_imports(package: Path) -> list[str]:
    """Return what modules take from one another although its name begins with an underscore; gettext's `_` may be."""
    return [
        f"{path.relative_to(package)}: {taken.name}"
        for path in sorted(package.rglob("*.py"))
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("tenter")
        for taken in node.names
        if taken.name.startswith("_") and taken.name != "_"
    ]


def test_what_is_private_to_a_module_stays_there():
    assert private_imports(PACKAGE) == []


def test_a_private_name_that_is_taken_is_found(tmp_path):
    (tmp_path / "one.py").write_text("from tenter.language import _, one_of\nfrom tenter.two import _three, four\n")
    assert private_imports(tmp_path) == ["one.py: _three"]
