"""Facts that more than one module needs have one home, and no other module writes their numbers."""

import ast
import re
import tokenize
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "src/tenter"


def homes(number: re.Pattern[str], folder: Path = PACKAGE) -> set[str]:
    """Return the modules that write a number, as it is written in the code; comments and texts do not count."""
    found = set()
    for path in folder.rglob("*.py"):
        if not number.search(path.read_text(encoding="utf-8")):
            continue
        with tokenize.open(path) as file:
            written = {t.string for t in tokenize.generate_tokens(file.readline) if t.type == tokenize.NUMBER}
        if any(number.fullmatch(one) for one in written):
            found.add(path.relative_to(folder).as_posix())
    return found


@pytest.mark.parametrize(
    ("number", "home"),
    [
        (r"1\.64[45]\d*", "colorimetry/intervals.py"),  # half-width of a 90 % interval, in standard deviations
        (r"0o[67]00", "durable.py"),  # what only its owner may read
    ],
    ids=["half-width of 90 %", "private modes"],
)
def test_a_number_has_one_home(number, home):
    assert homes(re.compile(number)) == {home}


def test_scrypt_has_one_home():
    users = {path.name for path in PACKAGE.rglob("*.py") if "scrypt import" in path.read_text(encoding="utf-8")}
    assert users == {"stretching.py"}


def statuses_as_numbers(tree: ast.Module) -> list[int]:
    """Return the lines where an answer's status is a bare number of refusal, or such a number has a name."""
    refusals = range(400, 600)
    given = [k.value for n in ast.walk(tree) if isinstance(n, ast.Call) for k in n.keywords if k.arg == "status"]
    numbers = [n for value in given for n in ast.walk(value) if isinstance(n, ast.Constant) and n.value in refusals]
    every = [n for n in ast.walk(tree) if isinstance(n, ast.Constant) and n.value in (403, 404, 409, 413, 422, 429)]
    return sorted({n.lineno for n in (*numbers, *every)})


def test_a_status_is_named():
    modules = [path for path in (PACKAGE / "web").rglob("*.py") if "migrations" not in path.parts]
    found = {path.name: statuses_as_numbers(ast.parse(path.read_text(encoding="utf-8"))) for path in modules}
    assert {name: lines for name, lines in found.items() if lines} == {}


def taking(key: str, folder: Path = PACKAGE) -> set[str]:
    """Return the modules that take a key out of a JSON object: `document["key"]`, `document.get("key")`, `pop`."""
    found = set()
    for path in folder.rglob("*.py"):
        text = path.read_text(encoding="utf-8")
        if key not in text:
            continue
        tree = ast.parse(text)
        taken = [n.slice for n in ast.walk(tree) if isinstance(n, ast.Subscript)]
        calls = [n for n in ast.walk(tree) if isinstance(n, ast.Call) and isinstance(n.func, ast.Attribute)]
        taken += [call.args[0] for call in calls if call.func.attr in {"get", "pop"} and call.args]
        if any(isinstance(one, ast.Constant) and one.value == key for one in taken):
            found.add(path.relative_to(folder).as_posix())
    return found


@pytest.mark.parametrize(
    ("key", "readers"),
    [
        # The last two read what they write themselves: a room's factors, and the outlines that a page draws.
        (
            "regions",
            {
                *("measured/written_face.py", "measured/written_series.py"),
                *("consultation/reflected/room.py", "report/pictures/face_picture.py"),
            },
        ),
        ("skin_against_all", {"measured/face_parts.py"}),
        ("interval_parts", {"photo/regions/interval_parts.py"}),
        ("can_tell", {"measured/written_series.py"}),
        ("for_room", {"measured/written_series.py"}),
    ],
)
def test_the_json_of_a_face_has_one_reader(key, readers):
    assert taking(key) == readers


def test_a_second_home_is_seen(tmp_path):
    (tmp_path / "one.py").write_text("A = 0o600  # 0o700\n")
    (tmp_path / "other.py").write_text("# 0o600\nB = '0o700'\n")
    assert homes(re.compile("0o[67]00"), tmp_path) == {"one.py"}
    assert statuses_as_numbers(ast.parse("A = 422\nrender(x, status=500 if x else 200)\nB = 500\n")) == [1, 2]


def test_a_second_reader_is_seen(tmp_path):
    (tmp_path / "one.py").write_text("A = document['regions']\n")
    (tmp_path / "other.py").write_text("B = document.get('regions', {})\n")
    (tmp_path / "writer.py").write_text("C = {'regions': 3} | {'more': get('regions')}\n")
    assert taking("regions", tmp_path) == {"one.py", "other.py"}
