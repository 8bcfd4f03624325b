"""Nothing that is shown calls somebody she or he: a client may be anyone, and so may a consultant."""

import ast
import re
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[1] / "src/tenter"
SHE = re.compile(r"\b(she|her|hers|herself|he|him|his|himself)\b", re.IGNORECASE)
_TOLD = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)


def shown(path):
    """Return what a file may show: a template's text, or the strings of a module that are no docstrings."""
    text = path.read_text()
    if path.suffix != ".py":
        return [text]
    tree = ast.parse(text)
    docstrings = {
        id(first.value)
        for node in ast.walk(tree)
        if isinstance(node, _TOLD) and node.body and isinstance(first := node.body[0], ast.Expr)
    }
    return [
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docstrings
    ]


@pytest.mark.parametrize("layer", ["web", "report", "cli", "photo", "consultation"])
def test_nobody_is_called_she_or_he(layer):
    files = [path for suffix in ("py", "html", "js") for path in (SOURCE / layer).rglob(f"*.{suffix}")]
    assert files
    said = {str(path.relative_to(SOURCE)): [text for text in shown(path) if SHE.search(text)] for path in files}
    assert {name: texts for name, texts in said.items() if texts} == {}
