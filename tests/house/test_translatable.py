"""No template has words of its own: each sentence goes through Django's catalogue, or it stays English in German."""

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest
from django.template.base import Lexer, TokenType

_WEB = Path(__file__).parents[2] / "src" / "tenter" / "web"
TEMPLATES = sorted(_WEB.glob("**/templates/**/*.html"))
# What is the same in every language: names, units, keys and what a file is called.
_SAME = re.compile(
    r"\b(Tenter|Android|Lab|LCh|XYZ|CSV|PDF|PNG|SVG|QR|TOML|ZIP|HTTPS|CIE|ISO|CGATS|CxF|SHA|ITA|MCDM|CCT|Duv|Ra|Rf|Rg|R\d+|"
    r"F\d*|ΔE\d*|Δ[Lab]|lx|nm|px|mm|cm|min|K|Esc|Enter|Space|Backspace)\b"
)
_WORD = re.compile(r"[^\W\d_]{2,}")
_SAID = ("alt", "title", "aria-label", "aria-description", "placeholder", "label", "summary")
_QUOTED = re.compile(r"""(_\(|\|term:)?"([^"]*)\"""")
_SENTENCE = re.compile(r"[A-Za-z]{2,} |^[A-Z][a-z]+$")  # of what a tag or filter is given; names of files are none
_ASKED = re.compile(r'\bsaid\((?:[\w.]+ \? )?"([\w-]+)"')  # by a script, the first of two where it chooses
_PLURAL = re.compile(r"\|\s*(pluralize|yesno:\")")


class _Words(HTMLParser):
    """The words of a page that are read: texts, and what attributes say."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self._quiet = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._quiet += tag in ("script", "style", "code")
        pressed = dict(attrs).get("type") in ("submit", "button", "reset")
        for name, said in attrs:
            if name in _SAID or name.startswith("data-said") or (name == "value" and pressed):
                self._add(said or "")

    def handle_endtag(self, tag: str) -> None:
        self._quiet -= tag in ("script", "style", "code")

    def handle_data(self, data: str) -> None:
        if not self._quiet:
            self._add(data)

    def _add(self, text: str) -> None:
        if _WORD.search(_SAME.sub("", text)):
            self.found.append(" ".join(text.split()))


def _given(contents: str) -> Iterator[str]:
    yield from (text for marked, text in _QUOTED.findall(contents) if not marked and _SENTENCE.search(text))


def naked(template: str) -> Iterator[str]:
    """Yield what a template says past the catalogue."""
    page, inside, classes = [], 0, False
    for token in Lexer(template).tokenize():
        tag = token.contents.split(maxsplit=1)[0] if token.contents.strip() else ""
        if token.token_type is TokenType.BLOCK:
            inside += (tag in ("blocktranslate", "blocktrans", "comment")) - tag.startswith(
                ("endblocktrans", "endcomment")
            )
            classes = classes or (tag == "block" and token.contents.endswith("_class"))
            classes = classes and tag != "endblock"
            if tag not in ("translate", "load", "url", "static"):
                yield from _given(token.contents)
        if token.token_type in (TokenType.BLOCK, TokenType.VAR):
            if _PLURAL.search(token.contents):
                yield token.contents
            if token.token_type is TokenType.VAR and not inside:
                yield from _given(token.contents)
        elif token.token_type is TokenType.TEXT and not inside and not classes:
            page.append(token.contents)
    words = _Words()
    words.feed("".join(page))
    words.close()
    yield from words.found


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.stem)
def test_a_template_says_nothing_past_the_catalogue(path: Path) -> None:
    assert list(naked(path.read_text(encoding="utf-8"))) == []


def test_words_past_the_catalogue_are_found() -> None:
    said = '<p title="A word">{% translate "told" %} left {% include "x.html" with a="two words" b=_("in it") %}</p>'
    assert list(naked(said)) == ["two words", "A word", "left"]
    assert list(naked("{% blocktranslate %}all of it{% endblocktranslate %}<i>ΔE00 2 lx</i>")) == []


def test_what_scripts_say_is_in_a_page() -> None:
    scripts = [path.read_text(encoding="utf-8") for path in (_WEB / "static").rglob("*.js")]
    asked = {name for text in scripts for name in _ASKED.findall(text) if "/said.js" in text}
    pages = "".join(path.read_text(encoding="utf-8") for path in TEMPLATES)
    assert asked - set(re.findall(r"data-said-([\w-]+)=", pages)) == set()
    assert {"saved", "elsewhere-own", "space", "hung"} <= asked
