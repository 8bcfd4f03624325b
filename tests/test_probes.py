"""The probes tell what coverage.py finds by tracing, line for line and branch for branch."""

import json
import runpy
from pathlib import Path
from typing import Any

import pytest
from coverage import Coverage
from tests.probes import HITS, Probed, arcs_of

_CODE = '''"""A module with every kind of statement that runs elsewhere."""
from functools import cache

@cache
def turned(x):
    """Say which way it went."""
    if x > 2:
        return "far"
    elif x == 2:
        x += (
            1
        )
    else:
        pass
    for n in range(x):
        if n:
            break
    else:
        x = -1
    while x > 0:
        x -= 1
    return x

class Kept:
    first = 1

    def fail(self, how):
        with open(__file__) as lines:
            for line in lines:
                if how == "soon":
                    raise ValueError(line)
        try:
            return int(how)
        except TypeError:
            return None
        except ValueError:
            if how:
                how = [one for one in how if one]
        finally:
            self.first = 2
        while True:
            return 5
'''
_CALLS = [
    "",
    "turned(3)",
    "turned(2)",
    "turned(1)",
    "turned(0), turned(-1)",
    "Kept().fail('1')",
    "Kept().fail('x')",
    "Kept().fail('yy'), Kept().fail(None)",
    "Kept().fail('')",
]


def _reported(measured: Coverage, folder: Path) -> tuple[Any, Any]:
    measured.json_report(outfile=str(folder / "report.json"))
    [found] = json.loads((folder / "report.json").read_text())["files"].values()
    return found["missing_lines"], found["missing_branches"]


@pytest.mark.parametrize("call", _CALLS)
def test_they_tell_what_tracing_finds(call: str, tmp_path: Path) -> None:
    path = tmp_path / "sample.py"
    path.write_text(_CODE + call + "\n")
    traced = Coverage(data_file=None, config_file=False, branch=True, include=[str(path)])
    with traced.collect():
        runpy.run_path(str(path))

    probed = Probed(path.read_bytes())
    hits = [0] * len(probed.lines)
    exec(compile(probed.tree, str(path), "exec"), {HITS: hits, "__file__": str(path)})
    told = Coverage(data_file=None, config_file=False, branch=True, include=[str(path)])
    told.get_data().add_arcs({str(path): arcs_of(path.read_bytes(), [n for n, hit in enumerate(hits) if hit])})

    lines, branches = _reported(told, tmp_path)
    assert (lines, branches) == _reported(traced, tmp_path)
    assert lines
    assert branches


def test_an_empty_module_has_nothing_to_tell() -> None:
    assert arcs_of(b"", []) == set()


def test_a_statement_that_no_probe_knows_is_refused() -> None:
    with pytest.raises(NotImplementedError, match="teach `Probed` its cases"):
        Probed(b"match 1:\n    case 1:\n        pass\n")
