"""Writes the templates of the translations: every sentence of papers and screens, for translators to start from.

Papers and what lies below them: src/tenter/catalogues/tenter.pot; screens: django.pot beside it. The sentences are read
from the code and from the pages; words that come as data are listed by `report/term_list.py`. Run it from the
project's folder: python -m studies.written.write_template
"""

import ast
import io
from collections.abc import Iterator
from datetime import UTC, datetime
from enum import StrEnum
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract
from babel.messages.pofile import write_po
from django.utils.translation.template import templatize

from tenter.report.term_list import every_term

PACKAGE = Path(__file__).parents[2] / "src" / "tenter"
CATALOGUES = PACKAGE / "catalogues"
_WEB = PACKAGE / "web"
_WITH_CONTEXT = ("pgettext", "pgettext_lazy")
# How many texts each takes, first of all.
_SENTENCES = {
    **dict.fromkeys(("_", "N_", "gettext", "gettext_lazy", "gettext_noop"), 1),
    **dict.fromkeys(("ngettext", "ngettext_lazy", *_WITH_CONTEXT), 2),
}
_THROUGH = "gettext", "tenter.language"  # in every module that writes through a catalogue
# What `templatize` makes of a page's tags, as extractors of messages are told of them.
_TAGS = {"_": None, "gettext": None, "ngettext": (1, 2), "pgettext": ((1, "c"), 2), "npgettext": ((1, "c"), 2, 3)}
_LONG_AGO = datetime(2026, 1, 1, tzinfo=UTC)  # so that the file changes with its sentences alone

Message = tuple[str | None, tuple[str, ...]]  # its context, and the sentence or its singular and plural


class Domain(StrEnum):
    """What a catalogue is of, as its file is called: papers and all below them by our own, screens by Django's."""

    PAPERS = "tenter"
    SCREENS = "django"

    @property
    def template(self) -> Path:
        """Where its template is."""
        return CATALOGUES / f"{self}.pot"


def template(domain: Domain = Domain.PAPERS) -> str:
    """Return the template's text: sentences in the order of the files, then the words that come as data."""
    catalog = Catalog(
        project="Tenter",
        version=domain.name.lower(),
        copyright_holder="the authors of Tenter",
        header_comment=f"# Sentences and words of Tenter's {domain.name.lower()}. Keep what is in braces as it is.",
        creation_date=_LONG_AGO,
        fuzzy=False,
    )
    for path, (context, texts) in _messages(domain):
        place = path.relative_to(PACKAGE.parent).as_posix()
        catalog.add(texts if len(texts) > 1 else texts[0], locations=[(place, 0)], context=context)
    for context, word, note in every_term() if domain is Domain.PAPERS else ():
        catalog.add(word, auto_comments=[note], context=context)
    file = io.BytesIO()
    write_po(file, catalog, width=120, omit_header=False, include_lineno=False)
    return file.getvalue().decode("utf-8")


def _messages(domain: Domain) -> Iterator[tuple[Path, Message]]:
    for path in sorted(PACKAGE.rglob("*.py")):
        code = path.read_text(encoding="utf-8")
        if path.is_relative_to(_WEB) is (domain is Domain.SCREENS) and any(name in code for name in _THROUGH):
            yield from ((path, message) for message in sentences(code))
    for path in sorted(_WEB.rglob("*.html")) if domain is Domain.SCREENS else ():
        yield from ((path, message) for message in sentences_of_page(path.read_text(encoding="utf-8")))


def sentences(code: str) -> Iterator[Message]:
    """Yield the texts that a module writes through a catalogue, each with its context."""
    calls = [call for call in ast.walk(ast.parse(code)) if isinstance(call, ast.Call)]
    for call in sorted(calls, key=lambda call: (call.lineno, call.col_offset)):
        function = call.func.id if isinstance(call.func, ast.Name) else ""
        given = call.args[: _SENTENCES.get(function, 0)]
        texts = tuple(one.value for one in given if isinstance(one, ast.Constant) and isinstance(one.value, str))
        if texts and len(texts) == _SENTENCES[function]:
            yield (texts[0], texts[1:]) if function in _WITH_CONTEXT else (None, texts)


def sentences_of_page(page: str) -> Iterator[Message]:
    """Yield the texts that a page's tags translate, each with its context."""
    lines = (line.lstrip() for line in templatize(page).splitlines())  # as pages are indented, no code is
    code = io.BytesIO("\n".join(lines).encode("utf-8"))
    for _line, texts, _comments, context in extract("python", code, keywords=_TAGS):
        yield context, (texts,) if isinstance(texts, str) else tuple(texts)


def main() -> None:
    for domain in Domain:
        domain.template.write_text(template(domain), encoding="utf-8")
        print(f"written: {domain.template.relative_to(Path.cwd())}")


if __name__ == "__main__":
    main()
