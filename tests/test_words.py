"""What is shown calls nobody she or he, since a client may be anyone, and has one word for one idea."""

import ast
import re
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[1] / "src/tenter"
SHE = re.compile(r"\b(she|her|hers|herself|he|him|his|himself)\b", re.IGNORECASE)
NOT_OUR_WORDS = (
    re.compile(
        r"left out (of the fit|one at a time|in turn)|is missed by"
    ),  # the card's colours are predicted to within
    re.compile(r"(?<!ndividual )[Tt]ypology angle of|\bITA \{|\bITA \d"),  # individual typology angle (ITA)
)
_LAYERS = ("web", "report", "cli", "photo", "consultation")
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


HEBREW = "he"  # its code, ISO 639-1


def said_of(layer, pattern):
    """Return by file what a layer may show that has some words in it."""
    files = [path for suffix in ("py", "html", "js") for path in (SOURCE / layer).rglob(f"*.{suffix}")]
    assert files
    said = {
        str(path.relative_to(SOURCE)): [text for text in shown(path) if pattern.search(text) and text != HEBREW]
        for path in files
    }
    return {name: texts for name, texts in said.items() if texts}


@pytest.mark.parametrize("layer", _LAYERS)
def test_nobody_is_called_she_or_he(layer):
    assert said_of(layer, SHE) == {}


@pytest.mark.parametrize("pattern", NOT_OUR_WORDS, ids=str)
@pytest.mark.parametrize("layer", _LAYERS)
def test_an_idea_has_one_word(layer, pattern):
    assert said_of(layer, pattern) == {}


REASONS = ("advice", "same_light", "card_shadow", "gate", "own_card_gate", "card_copy", "recolouring", "face_agreement")


@pytest.mark.parametrize("module", REASONS)
def test_a_reason_is_said_in_short_sentences(module):
    assert [text for text in shown(SOURCE / "photo" / f"{module}.py") if "; " in text] == []
