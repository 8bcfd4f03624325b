"""Which way imports point, what may load where, and what a bare `--help` costs."""

import ast
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from graphlib import TopologicalSorter
from pathlib import Path
from typing import NamedTuple

import pytest

import tenter
from studies.written.write_map import table

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "src" / "tenter"

MAY_IMPORT = {  # quoted in ARCHITECTURE.md
    "colorimetry": set(),
    "inference": set(),
    "measured": {"colorimetry"},
    "consultation": {"colorimetry", "inference", "measured"},
    "light": {"colorimetry", "consultation"},
    "photo": {"colorimetry", "measured"},
    "report": {"colorimetry", "measured", "consultation", "light", "photo"},
    "cli": {"colorimetry", "inference", "measured", "consultation", "light", "photo", "report"},
    "web": {"colorimetry", "inference", "measured", "consultation", "light", "photo", "report"},
}
OPEN_TO_ALL = {"errors", "arrays", "numerals", "given", "durable", "kept_words", "language", "translations"}
DATA_ONLY = {"demo_studio"}
ONLY_IN = {
    "django": {"web"},
    "typst": {"report"},
    "cv2": {"photo", "report"},
    "mediapipe": {"photo", "report"},
    "PIL": {"photo", "report"},
}
PURE = ("colorimetry", "inference", "measured")
MOST_FILES = 16  # in one room
ONLY_ADDED_TO = {"web/migrations"}  # a room of its own kind: nothing in it is looked for
CLOCK_CHANCE_AND_FILES = {"random", "secrets", "uuid", "time", "datetime", "pathlib", "os", "io", "shutil", "tempfile"}
READERS_OF_FILES = {"open", "read_text", "read_bytes", "load", "loadtxt", "genfromtxt", "fromfile", "save", "savetxt"}
GENERATOR_TYPES = {"Generator", "BitGenerator", "SeedSequence"}


class Imported(NamedTuple):
    """A name that a module imports, by its full path, and the line that does."""

    name: str
    line: int


@dataclass(frozen=True)
class Module:
    path: Path

    @cached_property
    def tree(self) -> ast.Module:
        """What the module says, read when a test asks: every worker imports these tests, and one runs them."""
        return ast.parse(self.path.read_text(encoding="utf-8"))

    @property
    def layer(self) -> str:
        """The package under tenter that the module lives in, or its own name for a module beside them."""
        first = self.path.relative_to(PACKAGE).parts[0]
        return first.removesuffix(".py")

    def imports(self) -> Iterator[Imported]:
        for node in ast.walk(self.tree):
            if isinstance(node, ast.Import):
                yield from (Imported(alias.name, node.lineno) for alias in node.names)
            elif isinstance(node, ast.ImportFrom):
                assert node.level == 0, f"{self.path}:{node.lineno}: imports are absolute"
                yield from (Imported(f"{node.module}.{alias.name}", node.lineno) for alias in node.names)

    @property
    def name(self) -> str:
        """The module's dotted name."""
        return ".".join(("tenter", *self.path.relative_to(PACKAGE).with_suffix("").parts)).removesuffix(".__init__")

    @property
    def room(self) -> str:
        """The room inside its layer, or its own name for a module beside the rooms."""
        return self.name.split(".")[2]

    def where(self, line: int) -> str:
        return f"{self.path.relative_to(PACKAGE)}:{line}"


def layer_of(imported: str) -> str | None:
    """Return the layer of a name inside tenter: a public name belongs to the layer it comes from."""
    parts = imported.split(".")
    if parts[0] != "tenter":
        return None
    if len(parts) == 2 and parts[1] in tenter.__all__:
        return getattr(tenter, parts[1]).__module__.split(".")[1]
    return parts[1] if len(parts) > 1 else "tenter"


ROOMS = {layer: list(rooms) for layer, rooms in table("ROOMS").items()}  # in their order
MODULES = [Module(path) for path in sorted(PACKAGE.rglob("*.py"))]
INSIDE_LAYERS = [m for m in MODULES if m.layer in MAY_IMPORT]
IN_ROOMS = [m for m in MODULES if m.layer in ROOMS and m.name.count(".") > 1]


def test_every_module_belongs_to_a_layer():
    found = {module.layer for module in MODULES} - {"__init__"}
    assert found <= set(MAY_IMPORT) | OPEN_TO_ALL | DATA_ONLY
    assert {"colorimetry", "inference", "consultation", "cli"} <= found


def test_imports_point_one_way():
    wrong = [
        f"{module.where(found.line)} imports {found.name}"
        for module in INSIDE_LAYERS
        for found in module.imports()
        if (layer := layer_of(found.name)) is not None
        and layer not in MAY_IMPORT[module.layer] | OPEN_TO_ALL | {module.layer}
    ]
    assert wrong == []


def test_what_is_open_to_all_rests_on_nothing_else():
    wrong = [
        f"{module.where(found.line)} imports {found.name}"
        for module in MODULES
        if module.layer in OPEN_TO_ALL
        for found in module.imports()
        if layer_of(found.name) not in {None, *OPEN_TO_ALL}
    ]
    assert wrong == []


def test_the_demo_studio_is_data_only():
    code = [n for m in MODULES if m.layer in DATA_ONLY for n in m.tree.body if not isinstance(n, ast.Expr)]
    assert code == []


@pytest.mark.parametrize("library", ONLY_IN)
def test_a_library_stays_in_its_layers(library):
    users = {module.layer for module in MODULES for found in module.imports() if found.name.split(".")[0] == library}
    assert users <= ONLY_IN[library]


@pytest.mark.parametrize("layer", PURE)
def test_a_pure_layer_imports_no_clock_chance_or_file(layer):
    wrong = [
        f"{module.where(found.line)} imports {found.name}"
        for module in MODULES
        if module.layer == layer
        for found in module.imports()
        if found.name.split(".")[0] in CLOCK_CHANCE_AND_FILES
    ]
    assert wrong == []


@pytest.mark.parametrize("layer", PURE)
def test_a_pure_layer_opens_no_file_but_its_own_tables(layer):
    wrong = [
        f"{module.where(node.lineno)} calls {name}"
        for module in MODULES
        if module.layer == layer and not any(i.name.startswith("importlib.resources") for i in module.imports())
        for node in ast.walk(module.tree)
        if isinstance(node, ast.Call)
        and (name := getattr(node.func, "attr", getattr(node.func, "id", ""))) in READERS_OF_FILES
    ]
    assert wrong == []


@pytest.mark.parametrize("layer", PURE)
def test_randomness_arrives_as_a_generator(layer):
    wrong = [
        f"{module.where(node.lineno)} uses random.{node.attr}"
        for module in MODULES
        if module.layer == layer
        for node in ast.walk(module.tree)
        if isinstance(node, ast.Attribute)
        and isinstance(node.value, ast.Attribute)
        and node.value.attr == "random"
        and node.attr not in GENERATOR_TYPES
    ]
    wrong += [
        f"{module.where(found.line)} imports {found.name}"
        for module in MODULES
        if module.layer == layer
        for found in module.imports()
        if found.name.startswith("numpy.random") and found.name.split(".")[-1] not in GENERATOR_TYPES
    ]
    assert wrong == []


def imports_of_test(module):
    """Return what the test of the same name imports; nothing where there is none."""
    path = ROOT / "tests" / module.path.relative_to(PACKAGE).with_name(f"test_{module.path.name}")
    return {found.name for found in Module(path).imports()} if path.exists() else set()


@pytest.mark.parametrize("layer", PURE)
def test_a_module_of_a_pure_layer_has_a_test_of_its_name(layer):
    modules = [module for module in MODULES if module.layer == layer and module.path.stem != "__init__"]
    assert len(modules) >= 5
    names = {".".join(m.path.relative_to(PACKAGE.parent).with_suffix("").parts): m for m in modules}
    untested = [n for n, m in names.items() if not any(one.startswith(f"{n}.") for one in imports_of_test(m))]
    assert untested == []


def test_the_architecture_document_quotes_the_table():
    assert table("MAY_IMPORT") == MAY_IMPORT


@pytest.mark.parametrize("layer", ROOMS)
def test_every_module_has_a_room_and_every_room_a_module(layer):
    found = {module.room for module in IN_ROOMS if module.layer == layer}
    assert found == set(ROOMS[layer])


@pytest.mark.parametrize("layer", ROOMS)
def test_a_room_imports_only_from_those_before_it(layer):
    place = {room: number for number, room in enumerate(ROOMS[layer])}
    wrong = [
        f"{module.where(found.line)} imports {found.name}"
        for module in IN_ROOMS
        if module.layer == layer
        for found in module.imports()
        if layer_of(found.name) == layer
        and (parts := [*found.name.split("."), ""])[1] == layer
        and place.get(parts[2], 0) > place[module.room]
    ]
    assert wrong == []


def test_no_modules_import_one_another_in_a_circle():
    names = {module.name for module in MODULES}
    graph = {
        module.name: {
            name for found in module.imports() for name in (found.name, found.name.rpartition(".")[0]) if name in names
        }
        - {module.name, "tenter"}
        for module in MODULES
    }
    assert set(TopologicalSorter(graph).static_order()) <= names  # raises CycleError, which names the circle


def test_no_room_is_too_full_to_look_through():
    files: dict[str, int] = {}
    for module in MODULES:
        room = module.path.parent.relative_to(PACKAGE).as_posix()
        files[room] = files.get(room, 0) + 1
    assert {room: count for room, count in files.items() if count > MOST_FILES and room not in ONLY_ADDED_TO} == {}


@pytest.mark.parametrize("tree", ["tests", "studies"])
def test_no_room_of_tests_or_studies_holds_too_many_files_either(tree):
    rooms = Counter(path.parent.relative_to(ROOT).as_posix() for path in (ROOT / tree).rglob("*.py"))
    assert len(rooms) > 5
    assert {room: count for room, count in rooms.items() if count - 1 > MOST_FILES} == {}  # beside __init__


def test_help_loads_no_heavy_library():
    heavy = ["numpy", "scipy", "cv2", "mediapipe", "typst", "colour"]
    program = f"""
import sys
from tenter.cli.main import run
sys.argv = ["tenter", "--help"]
try:
    run()
except SystemExit as end:
    assert end.code == 0, end.code
print("loaded:", *[name for name in {heavy!r} if name in sys.modules])
"""
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, timeout=60)
    shown, _, loaded = done.stdout.rpartition("loaded:")
    assert "Usage" in shown
    assert loaded.split() == []
