"""What is shown calls nobody she or he, since a client may be anyone, and has one word for one idea."""

import ast
import re
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[2] / "src/tenter"
SHE = re.compile(r"\b(she|her|hers|herself|he|him|his|himself)\b", re.IGNORECASE)
NOT_OUR_WORDS = (
    re.compile(
        r"left out (of the fit|one at a time|in turn)|is missed by"
    ),  # the card's colours are predicted to within
    re.compile(r"(?<!ndividual )[Tt]ypology angle of|\bITA \{|\bITA \d"),  # individual typology angle (ITA)
)
_LAYERS = ("web", "report", "cli", "photo", "consultation")
_TOLD = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)


_REMARKS = re.compile(r"\{#.*?#\}|\{% comment %\}.*?\{% endcomment %\}|(?m:(?:^|\s)//[^\n]*)|/\*.*?\*/", re.DOTALL)


def shown(path):
    """Return what a file may show: a template's or script's text, or the strings of a module that are no docstrings."""
    text = path.read_text()
    if path.suffix != ".py":
        return [_REMARKS.sub("", text)]
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


# Turns that sound translated, inverted or like a riddle, and what to say instead.
STILTED = (
    r"\banew\b",  # again
    r"\bkept apart\b",  # not evidence
    r"\b(is|are|was|were) told\b",  # Tenter shows, says
    r"\bstays? (shut|unsaid)\b",  # cannot be opened, Tenter does not say
    r"\bwhat (is|it is) \w+ is\b",  # subject, verb, object
    r"\b[Ll]et pass\b",
    r"\bgoes without\b",  # is optional
    r"\bgoe?s? by (words|the|what)\b",  # uses
    r"\bas custom\b|\bcustom(ary)? has\b",  # by convention
    r"\b[Nn]ext door\b",  # neighbour
    r"\b[Pp]ractitioner",  # consultant
)
STILTED_PAGES = (
    r"\b[Hh]eld against\b",  # compared with
    r"\b(twice|readings?|it), apart\b",  # independently
    r"\b(No|no) \w+ stands\b",  # there is no entry
    r"\b([Nn]o|[Aa]ny)body sits\b",  # no sitting in progress
    r"\b[Nn]o evidence\b",  # not evidence
    r"\bbench units\b",  # on Tenter's scale
    r"\b(sealed|locked) by\b",  # with
    r"\b[Ss]peaks? of\b",  # uses, says
    r"\blies? (in|on|beside|there|where|within)\b",  # is
    r"\b[Tt]ells? (no|the sitting|little)\b",  # shows no
    r"\bjudged blind\b",  # until then you see no odds
    r"\b[Ll]eave it as it is\b",  # Cancel
    r"\b(are|is) the most\b|\bat the longest\b",  # at most
    r"\bmended\b",  # corrected
    r"\bwritten over\b",  # overwritten
    r"\b(deleted|erased|ends|erase .*) (then )?by (itself|themselves)\b",  # automatically
    r"(?<![\w.])[Aa]nalysts? [a-z]|[a-z>] [Aa]nalysts?[ ,.;<]|>[Aa]nalysts?<",  # consultant
    r"\bthis machine\b",  # computer
    r"\b[Kk]eep (it|this \w+)</button>",  # Save
    r"\bnothing (of it|of this|more) (was|is) written\b",  # was not saved
    r"\bdoes not tell\b|(?<!here )\bis no (table|copy|archive|backup|colour|kind|version)\b",  # is not a
)


@pytest.mark.parametrize("turn", STILTED)
@pytest.mark.parametrize("layer", _LAYERS)
def test_nothing_shown_reads_as_translated(layer, turn):
    assert said_of(layer, re.compile(turn)) == {}


@pytest.mark.parametrize("turn", STILTED_PAGES)
def test_no_page_reads_as_translated(turn):
    assert said_of("web", re.compile(turn)) == {}


REASONS = (
    *("advice", "reasons", "face_light/same_light", "card/shadow", "card/gate", "card/copies"),
    *("own_card/gate", "face/gate", "face/recolouring", "together/agreement"),
)


@pytest.mark.parametrize("module", REASONS)
def test_a_reason_is_said_in_short_sentences(module):
    assert [text for text in shown(SOURCE / "photo" / f"{module}.py") if "; " in text] == []
