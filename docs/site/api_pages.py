"""Pages of the API, one to a package, from the sources themselves: no module is imported and none is named here."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from textwrap import indent

from sphinx.ext.napoleon import Config, NumpyDocstring

DOORS = ("cli", "web", "demo_studio")  # the command line has a page of its own, the studio is used and not called
_NAPOLEON = Config(napoleon_use_rtype=False, napoleon_use_ivar=True)
_Function = ast.FunctionDef | ast.AsyncFunctionDef


def write_api(package: Path, folder: Path) -> None:
    """Write a page for each package under `package` into `folder`, and `index.rst`, which lists them."""
    folder.mkdir(parents=True)
    pages = []
    for place in [package, *sorted(p for p in package.rglob("*") if p.is_dir())]:
        names = place.relative_to(package.parent).parts
        modules = [m for m in sorted(place.glob("*.py")) if not m.name.startswith("_")]
        if (names[1:2] and names[1] in DOORS) or not (place / "__init__.py").exists():
            continue
        title = ".".join(names)
        text = [_heading(title, "="), _module(place / "__init__.py", title)]
        text += [_heading(f"{title}.{m.stem}", "-") + _module(m, f"{title}.{m.stem}") for m in modules]
        (folder / f"{title}.rst").write_text("\n".join(text), encoding="utf-8")
        pages.append(title)
    contents = f"{_heading('API', '=')}{_INTRODUCTION}\n.. toctree::\n\n"
    (folder / "index.rst").write_text(contents + indent("\n".join(pages), "   ") + "\n", encoding="utf-8")


_INTRODUCTION = """
The names that programs may rely on are those of the package itself: `from tenter import Kit, Method, Sitting`.
All others are listed for whoever works on Tenter, and can change with any version.

"""


def _heading(title: str, line: str) -> str:
    return f"{title}\n{line * len(title)}\n\n"


def _module(path: Path, name: str) -> str:
    """Return what a module says of itself and its public names."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    parts = [f".. py:module:: {name}\n", _said(tree), *_members(tree.body, methods=False)]
    if name == "tenter":
        parts.append(_public_names(tree))
    return "\n".join(parts)


def _public_names(tree: ast.Module) -> str:
    """Return a list of the names of the package, each leading to where it is explained."""
    values = {
        target.id: ast.literal_eval(node.value)
        for node in tree.body
        if isinstance(node, ast.Assign)
        for target in node.targets
        if isinstance(target, ast.Name) and target.id in ("__all__", "_HOMES")
    }
    homes = values["_HOMES"]
    return "\n".join(f"- :py:obj:`{name} <{homes[name]}.{name}>`" for name in values["__all__"]) + "\n"


def _members(body: list[ast.stmt], methods: bool) -> Iterator[str]:
    """Yield the public functions, classes and fields of a module or a class."""
    for node in body:
        match node:
            case ast.FunctionDef() | ast.AsyncFunctionDef() if not node.name.startswith("_"):
                if "overload" not in _marks(node):  # the function itself follows, with a signature for all
                    yield _function(node, methods)
            case ast.ClassDef() if not node.name.startswith("_"):
                yield _class(node)
            case ast.AnnAssign(target=ast.Name(id=name)) if methods and not name.startswith("_"):
                yield f".. py:attribute:: {name}\n   :type: {ast.unparse(node.annotation)}\n"
            case ast.Assign(targets=[ast.Name(id=name)]) if methods and not name.startswith("_"):
                yield f".. py:attribute:: {name}\n   :value: {_short(node.value)}\n"


def _short(value: ast.expr) -> str:
    text = ast.unparse(value)
    return text if len(text) <= 60 else text[:57] + "..."


def _marks(node: _Function) -> set[str]:
    """Return the names of a function's decorators, without the modules that they come from."""
    return {ast.unparse(d).split("(")[0].rpartition(".")[2] for d in node.decorator_list}


def _function(node: _Function, method: bool) -> str:
    """Return a function, method or property with its signature."""
    marks = _marks(node)
    returns = f" -> {ast.unparse(node.returns)}" if node.returns else ""
    if marks & {"property", "cached_property"}:
        return _entry("property", node.name, _said(node), f":type: {ast.unparse(node.returns)}" if node.returns else "")
    parameters = _parameters(node.args, bound=method and "staticmethod" not in marks)
    option = next((f":{m}:" for m in ("classmethod", "staticmethod") if m in marks), "")
    return _entry("method" if method else "function", f"{node.name}({parameters}){returns}", _said(node), option)


def _parameters(arguments: ast.arguments, bound: bool) -> str:
    text = ast.unparse(arguments)
    if not bound:
        return text
    first = (arguments.posonlyargs + arguments.args)[0].arg
    return text.removeprefix(first).removeprefix(", ")


def _class(node: ast.ClassDef) -> str:
    """Return a class with its bases, fields and public methods."""
    bases = ", ".join(ast.unparse(base) for base in node.bases)
    said = (f"Is a `{bases}`.\n\n" if bases else "") + _said(node)
    return _entry("class", node.name, said + "\n" + "\n".join(_members(node.body, methods=True)))


def _entry(kind: str, signature: str, said: str, option: str = "") -> str:
    head = f".. py:{kind}:: {signature}\n" + (f"   {option}\n" if option else "")
    return f"{head}\n{indent(said, '   ')}\n"


def _said(node: ast.Module | ast.ClassDef | _Function) -> str:
    """Return a docstring as reStructuredText."""
    kind = {ast.Module: "module", ast.ClassDef: "class"}.get(type(node), "function")
    text = _TABLE.sub("::\n\n", ast.get_docstring(node) or "")
    plain = _CODE.split(text)  # at every second place what stands between back quotes
    plain[::2] = [_SIGN.sub(r"\\\g<0>", text) for text in plain[::2]]
    return "\n".join(NumpyDocstring("".join(plain), _NAPOLEON, what=kind).lines()) + "\n"


_TABLE = re.compile(r":\n\n(?=    )")  # what follows indented is kept in its columns
_CODE = re.compile(r"(`+[^`]+`+)")
_SIGN = re.compile(r"[|*]|(?<=\w)_(?=\W)")  # of an equation, where reStructuredText would see a mark of its own
