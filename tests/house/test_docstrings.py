"""What is public says what it takes and gives: the shapes of arrays, the errors, and the units of plain numbers.

Shapes have one notation, numpy's own: ``(..., 3)``, ``(n,)``, ``(height, width)``, and ``(...)`` for any; a length that
is a product is one, as in ``(h · s · n,)``. Errors are those that a function raises by name, itself or through a
private function of its module, and what a checker of ``given`` finds. A command says its errors in words itself, and
its options say the units in their help.
"""

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest

SOURCE = Path(__file__).parents[2] / "src" / "tenter"
# Layers, and modules beside them, that are held to this.
HELD = (
    "arrays.py",
    "durable.py",
    "errors.py",
    "given.py",
    "language.py",
    "numerals.py",
    "translations.py",
    "colorimetry",
    "light",
    "inference",
    "measured",
    "photo",
    "consultation",
    "report",
    "cli",
    "web",
)
_LENGTH = r"(?:\d+|[a-z](?: ?[+-] ?\d)?|[a-z](?: · [a-z])+|height|width|rows|columns|analysts|clients|outcomes)"
SHAPE = re.compile(rf"\((?:\.\.\.(?:, {_LENGTH})*|{_LENGTH},|{_LENGTH}(?:, (?:{_LENGTH}|\.\.\.))+)\)")
AS_IT_CAME = re.compile(r"\b(?:same|their|its|that) shape\b|\bthe shape of\b")
MEANT_AS_ONE = re.compile(r"\((?:\w[\w ]*|\.\.\.)(?:, (?:\w[\w ]*|\.\.\.))*, (?:\d+|\w|\.\.\.)\)|\([a-z ]+,\)")
ARRAY = re.compile(r"\b(?:\w*Array(?:Like)?|ndarray)\b")
FLOAT = re.compile(r"\bfloat\b")
UNIT_IN_THE_NAME = re.compile(
    r"_(?:mm|nm|px|ms|metres|seconds|minutes|days|degrees|kelvin|xyz|dpi|90)$|^(?:duv|kelvin|lightness|chroma|share|probability|factor)$"
)
UNIT = re.compile(
    r"\b(?:-?\d+(?:\.\d+)? to -?[\d.]+|0-1(?:00)?|1(?:00)? is|of 1|above 0|pixels?|px|mm|(?:milli)?metres?|nm|degrees?|"
    r"seconds?|minutes?|money|currency|kelvin|lux|ΔE\w*|CIELAB|C\*ab|XYZ|probabilit\w+|shares?|parts?|ratio|factor|times|odds|deviations?|units?|nats|"
    r"percent|luminance|half-widths?|weights?|codes?|reflectance|exponent|logarithms?)\b|[Lab]\*|°| %|cd/m²"
)
CHECKED = "TenterError"  # what every checker raises
SAYS_ERRORS = "errors_said"  # a command's way out: it turns every error of ours into words and an exit code


class Documented(NamedTuple):
    """A public function, method or class: where it is, what it says, and what it takes, gives and raises."""

    where: str
    said: str
    takes: dict[str, str]
    gives: str
    raises: frozenset[str]


def _called(node: ast.expr | None) -> str:
    """Return the last name of what an expression calls or is."""
    while isinstance(node, ast.Call | ast.Subscript):
        node = node.func if isinstance(node, ast.Call) else node.value
    return getattr(node, "attr", getattr(node, "id", ""))


def _functions(tree: ast.AST) -> dict[str, ast.FunctionDef]:
    return {node.name: node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}


@cache
def _parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


CHECKERS = {name for name in _functions(_parsed(SOURCE / "given.py")) if name.startswith("given_") or name == "of_kind"}


OURS = {node.name for node in _parsed(SOURCE / "errors.py").body if isinstance(node, ast.ClassDef)}


@cache
def _makers() -> dict[str, str]:
    """Return the functions that make an error to be raised, and which: ``raise too_many_pixels(path)``."""
    every = [_functions(_parsed(path)) for path in SOURCE.rglob("*.py")]
    return {n: _called(f.returns) for functions in every for n, f in functions.items() if f.returns is not None}


def _caught(node: ast.Try, raised: set[str]) -> set[str]:
    """Return which errors raised inside a ``try`` its handlers catch by name, or as `Exception`."""
    kinds = [handler.type for handler in node.handlers]
    named = {_called(one) for kind in kinds for one in (kind.elts if isinstance(kind, ast.Tuple) else [kind])}
    if CHECKED in named:
        named |= OURS  # which are its children
    return raised if named & {"", "Exception", "BaseException"} else raised & named


class _Raised:
    """The errors of a module's functions, by name; those of a private one belong to whoever calls it."""

    def __init__(self, module: ast.Module) -> None:
        self.private = {name: f for name, f in _functions(module).items() if name.startswith("_")}
        self.open: set[str] = set()

    def by(self, function: ast.FunctionDef) -> set[str]:
        """Return what a function raises, and does not catch."""
        if function.name in self.open:  # it calls itself
            return set()
        self.open.add(function.name)
        found = self._under(function)
        self.open.discard(function.name)
        return found

    def _under(self, node: ast.AST) -> set[str]:
        found: set[str] = set()
        if isinstance(node, ast.Raise) and (name := _called(node.exc)):
            made = _makers().get(name, "") if isinstance(node.exc, ast.Call) else ""
            found |= {name if name[:1].isupper() else made} - {""}
        if isinstance(node, ast.With) and SAYS_ERRORS in {_called(item.context_expr) for item in node.items}:
            return found
        if isinstance(node, ast.Call):
            name = _called(node)
            is_ours = name in CHECKERS and isinstance(node.func, ast.Name)  # a method of that name is another's
            found |= {CHECKED} if is_ours else set()
            found |= self.by(self.private[name]) if name in self.private else set()
        for field, part in ast.iter_fields(node):
            within = {e for one in (part if isinstance(part, list) else [part]) for e in self._inside(one)}
            found |= within - (_caught(node, within) if isinstance(node, ast.Try) and field == "body" else set())
        return found

    def _inside(self, node: object) -> set[str]:
        inner = isinstance(node, ast.FunctionDef | ast.Lambda | ast.ClassDef)
        return self._under(node) if isinstance(node, ast.AST) and not inner else set()


def _function(node: ast.FunctionDef, where: str, raised: _Raised) -> Documented:
    arguments = [*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs]
    takes = {a.arg: ast.unparse(a.annotation) for a in arguments if a.annotation is not None}
    gives = ast.unparse(node.returns) if node.returns else ""
    return Documented(f"{where}.{node.name}", ast.get_docstring(node) or "", takes, gives, frozenset(raised.by(node)))


def _class(node: ast.ClassDef, where: str, raised: _Raised) -> Iterator[Documented]:
    """Yield a class with its fields and what making it raises, and its public methods."""
    methods = [m for m in node.body if isinstance(m, ast.FunctionDef)]
    fields = {
        n.target.id: ast.unparse(n.annotation)
        for n in node.body
        if isinstance(n, ast.AnnAssign) and isinstance(n.target, ast.Name) and not n.target.id.startswith("_")
    }
    making = [e for m in methods if m.name in ("__init__", "__post_init__") for e in raised.by(m)]
    yield Documented(f"{where}.{node.name}", ast.get_docstring(node) or "", fields, "", frozenset(making))
    yield from (_function(m, f"{where}.{node.name}", raised) for m in methods if not m.name.startswith("_"))


def _is_overload(node: ast.FunctionDef) -> bool:
    return "overload" in {_called(decorator) for decorator in node.decorator_list}


def documented(path: Path, where: str) -> Iterator[Documented]:
    """Yield what a module makes public."""
    module = _parsed(path)
    for node in module.body:
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            yield from _class(node, where, _Raised(module))
        elif isinstance(node, ast.FunctionDef) and not node.name.startswith("_") and not _is_overload(node):
            yield _function(node, where, _Raised(module))


def _has_unit(name: str, said: str) -> bool:
    """Say whether a docstring names a number in a sentence, or an entry of a list, that has a unit or a range."""
    sentences = re.split(r"[.;](?=\s)|\n\n|\n(?=\w+ : )", said)
    return any(re.search(rf"\b{name}\b", one) and UNIT.search(one) for one in sentences)


def unsaid(found: Documented) -> list[str]:
    """Return what a docstring leaves out: shapes of what is taken and of what is given, errors, and units."""
    takes_arrays = any(ARRAY.search(kind) for kind in found.takes.values())
    shapes = len(SHAPE.findall(found.said)) + len(AS_IT_CAME.findall(found.said))
    missing = ["shape"] if shapes < takes_arrays + bool(ARRAY.search(found.gives)) else []
    missing += [shape for shape in MEANT_AS_ONE.findall(found.said) if not SHAPE.fullmatch(shape)]
    missing += [error for error in sorted(found.raises) if not re.search(rf"\b{error}\b", found.said)]
    numbers = {n: kind for n, kind in found.takes.items() if FLOAT.search(kind) and not UNIT_IN_THE_NAME.search(n)}
    missing += [n for n, kind in numbers.items() if not (UNIT.search(kind) or _has_unit(n, found.said))]
    return missing + (["unit"] if FLOAT.search(found.gives) and not UNIT.search(found.said) else [])


def held_in(held: str) -> Iterator[Documented]:
    for path in [SOURCE / held] if held.endswith(".py") else sorted((SOURCE / held).rglob("*.py")):
        if "migrations" in path.parts:  # Django names what is in them
            continue
        yield from documented(path, path.relative_to(SOURCE).with_suffix("").as_posix())


@pytest.mark.parametrize("held", HELD)
def test_a_public_docstring_says_shapes_errors_and_units(held):
    assert {one.where: unsaid(one) for one in held_in(held) if unsaid(one)} == {}


@pytest.mark.parametrize("held", HELD)
def test_what_is_public_has_a_docstring(held):
    assert [one.where for one in held_in(held) if not one.said] == []


AN_INVENTED_MODULE = '''
def _opened(path):
    if not path:
        raise UnreadableInput(path)
def taken_whole(lab: ArrayLike, limit: float) -> FloatArray:
    """Return the lightness, shape (...), of CIELAB colours."""
    given_list(lab, "the colours")
    return _opened(lab)
def taken_well(lab: ArrayLike, limit: float, width_mm: float) -> FloatArray:
    """Return the lightness, shape (...), of CIELAB colours (..., 3); `limit` is a share, 0 to 1.

    Raises `TenterError` for what is no list, and `UnreadableInput` for nothing.
    """
    given_list(lab, "the colours")
    return _opened(lab)
def caught(lab) -> float:
    """Return nothing."""
    try:
        return _opened(lab)
    except (OSError, UnreadableInput):
        return None
def caught_as_a_child(lab):
    """Return nothing."""
    try:
        return _opened(lab)
    except TenterError:
        return None
def a_command(size: Annotated[float, typer.Option(help="The size, in pixels.")]):
    """Say how large it is, or what is wrong."""
    with errors_said():
        return _opened(size)
def a_method_asked(found):
    """Return the rows (h · s · n,) of one kind."""
    return found.of_kind(found)
@dataclass
class Made:
    """What is made: its outline (a pair of places, of which no shape is said) and copies (copies, 3)."""
    outline: FloatArray
    size: tuple[float, ...]
    def __post_init__(self):
        raise too_many_pixels(self)
    def again(self) -> bool: ...
    def _not_public(self, lab: FloatArray): ...
'''


def test_what_a_docstring_leaves_out_is_seen(tmp_path):
    (tmp_path / "invented.py").write_text(AN_INVENTED_MODULE)
    found = {one.where: one for one in documented(tmp_path / "invented.py", "invented")}
    assert {where: unsaid(one) for where, one in found.items()} == {
        "invented.taken_whole": ["shape", "TenterError", "UnreadableInput", "limit"],
        "invented.taken_well": [],
        "invented.caught": ["unit"],
        "invented.caught_as_a_child": [],
        "invented.a_command": [],
        "invented.a_method_asked": [],
        "invented.Made": ["shape", "(copies, 3)", "UnreadableInput", "size"],
        "invented.Made.again": [],
    }
    assert [where for where, one in found.items() if not one.said] == ["invented.Made.again"]
