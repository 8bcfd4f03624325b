"""How numbers are written: their sign, and the one way in which it is done."""

import ast
import re
from pathlib import Path

import numpy as np
import pytest

from tenter.numerals import how_many, number, signed

SOURCE = Path(__file__).parents[1] / "src/tenter"


def test_a_number_has_its_sign_and_a_nought_has_none():
    assert [signed(v) for v in (1.55, -0.3, 0.04, -0.04, 0.0, -0.0)] == ["+1.6", "−0.3", "0.0", "0.0", "0.0", "0.0"]
    assert [number(v) for v in (1.55, -0.3, 0.04, -0.04)] == ["1.6", "−0.3", "0.0", "0.0"]
    assert [signed(v, 0) for v in (0.4, -0.4, -3.6)] == ["0", "0", "−4"]
    assert [signed(np.float64(v), 2) for v in (-0.004, -0.005, 0.006)] == ["0.00", "−0.01", "+0.01"]


@pytest.mark.parametrize("decimals", [0, 1, 2])
def test_no_nought_has_a_minus(decimals):
    for value in np.linspace(-1.5, 1.5, 3001):
        for text in (number(value, decimals), signed(value, decimals)):
            assert text[0] not in "+−" or any(digit in text for digit in "123456789"), value


def test_nothing_else_writes_a_sign():
    """A format of its own would write -0.0 again."""
    found = [
        f"{path.relative_to(SOURCE)}:{node.lineno}"
        for path in SOURCE.rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.FormattedValue)
        and node.format_spec is not None
        and "+" in ast.unparse(node.format_spec)
    ]
    assert found == []


def test_one_is_said_as_one():
    assert [how_many(n, "cloth") for n in (0, 1, 2)] == ["0 cloths", "1 cloth", "2 cloths"]
    assert [how_many(n, "entry", "entries") for n in (0, 1, 2)] == ["0 entries", "1 entry", "2 entries"]


def test_no_sentence_makes_its_own_plural():
    own = re.compile(r"\{'e?s' \* \(|'' if \S+ == 1 else 's'")
    assert [path.name for path in SOURCE.rglob("*.py") if own.search(path.read_text(encoding="utf-8"))] == []
