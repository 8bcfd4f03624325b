"""No text calls a person she or he, has two words for one idea, or uses a turn that sounds translated.

Read are the strings that the program may show, the help of its commands, and the documents.
"""

import ast
import re
from functools import cache
from pathlib import Path

import pytest
import typer

from tenter.cli.main import app

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src/tenter"
SHE = re.compile(r"\b(she|her|hers|herself|he|him|his|himself)\b", re.IGNORECASE)
NOT_OUR_WORDS = (
    re.compile(
        r"left out (of the fit|one at a time|in turn)|is missed by"
    ),  # the card's colours are predicted to within
    re.compile(r"(?<!ndividual )[Tt]ypology angle of|\bITA \{|\bITA \d"),  # individual typology angle (ITA)
)
_TOLD = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)


HEBREW = "he"  # its code, ISO 639-1
_REMARKS = re.compile(r"\{#.*?#\}|\{% comment %\}.*?\{% endcomment %\}|(?m:(?:^|\s)//[^\n]*)|/\*.*?\*/", re.DOTALL)


@cache
def shown(path):
    """Return what a file may show: a template's or script's text, or the strings of a module without its docstrings."""
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
        if node.value != HEBREW
    ]


_CODE = re.compile(r"```.*?```|`[^`\n]*`", re.DOTALL)
DOCUMENTS = (*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md"))


def helped(command, path):
    """Return by command what its help says, of those below it too."""
    texts = [command.help or "", *(getattr(p, "help", None) or "" for p in command.params)]
    below = [helped(inner, f"{path} {word}") for word, inner in getattr(command, "commands", {}).items()]
    return {path: texts} | {name: said for each in below for name, said in each.items()}


@cache
def texts():
    """Return what a user may read, by the file or the command that says it."""
    files = [path for suffix in ("py", "html", "js", "typ") for path in SOURCE.rglob(f"*.{suffix}")]
    said = {str(path.relative_to(ROOT)): shown(path) for path in files}
    documents = {
        str(path.relative_to(ROOT)): [_CODE.sub("`…`", path.read_text(encoding="utf-8"))] for path in DOCUMENTS
    }
    assert min(len(said), 20 * len(documents)) > 300
    return said | documents | helped(typer.main.get_command(app), "tenter")


def said_with(pattern):
    """Return by file or command the places with some words, and what is around them."""
    found = {
        name: [text[max(0, at.start() - 40) : at.end() + 40] for text in said for at in pattern.finditer(text)]
        for name, said in texts().items()
    }
    return {name: places for name, places in found.items() if places}


def test_nobody_is_called_she_or_he():
    assert said_with(SHE) == {}


def test_no_comment_calls_anybody_she_or_he():
    code = [path for suffix in ("py", "html", "js", "typ", "toml") for path in SOURCE.rglob(f"*.{suffix}")]
    named = re.compile(SHE.pattern.replace("|he|", "|") + r"|\bhe\b(?!\")", re.IGNORECASE)
    assert [str(path.relative_to(ROOT)) for path in code if named.search(path.read_text(encoding="utf-8"))] == []


@pytest.mark.parametrize("pattern", NOT_OUR_WORDS, ids=str)
def test_an_idea_has_one_word(pattern):
    assert said_with(pattern) == {}


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
    r"\bmend(ed|ing)?\b",  # correct
    r"\b[Pp]assed over\b",  # skipped, ignored
    r"\bcame together\b",  # were both given
    r"\btakes? the place of\b",  # replaces
    r"\bwritten over\b",  # overwritten
    r"\b(deleted|erased|ends|erase .*) (then )?by (itself|themselves)\b",  # automatically
    r"(?<![\w.])[Aa]nalysts? [a-z]|[a-z>] [Aa]nalysts?[ ,.;<]|>[Aa]nalysts?<",  # consultant
    r"\bthis machine\b",  # computer
    r"\b[Kk]eep (it|this \w+)</button>",  # Save
    r"\bnothing (of it|of this|more) (was|is) written\b",  # was not saved
    r"\bdoes not tell\b|(?<!here )\bis no (table|copy|archive|backup|colour|kind|version)\b",  # is not a
)


@pytest.mark.parametrize("turn", STILTED)
def test_nothing_reads_as_translated(turn):
    assert said_with(re.compile(turn)) == {}


def test_a_share_has_a_space_before_its_percent_sign():
    """As ISO 80000-1 has it: 97 %. `typ` files have no shares of their own, but widths in percent."""
    printed = [path for path in SOURCE.rglob("*.py") if re.search(r":[^{}\n]*\d%\}", path.read_text(encoding="utf-8"))]
    assert [str(path.relative_to(ROOT)) for path in printed] == []
    close = re.compile(r"(?<![%\w])\d+%(?![\w;%])|(?<!\})\}%(?!\})")
    assert {name: places for name, places in said_with(close).items() if not name.endswith(".typ")} == {}


REASONS = (
    *("advice", "reasons", "face_light/same_light", "card/shadow", "card/gate", "card/copies"),
    *("own_card/gate", "face/gate", "face/recolouring", "together/agreement"),
)


@pytest.mark.parametrize("module", REASONS)
def test_a_reason_is_said_in_short_sentences(module):
    assert [text for text in shown(SOURCE / "photo" / f"{module}.py") if "; " in text] == []
