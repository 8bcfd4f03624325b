"""Writes src/tenter/catalogues/tenter.pot: every sentence that papers write, for translators to start from.

The sentences are read from the code; words that come as data are listed by `report/term_list.py`. Run it from the
project's folder: python -m studies.written.write_template
"""

import ast
import io
import re
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.pofile import write_po

from tenter.report.term_list import every_term

PACKAGE = Path(__file__).parents[2] / "src" / "tenter"
TEMPLATE = PACKAGE / "catalogues" / "tenter.pot"
_WITH_CONTEXT = ("pgettext", "pgettext_lazy")
# How many texts each takes, first of all.
_SENTENCES = {"_": 1, "N_": 1, "gettext_lazy": 1, **dict.fromkeys(("ngettext", "ngettext_lazy", *_WITH_CONTEXT), 2)}
_THROUGH = re.compile(r"tenter\.language|gettext")  # in every module that writes through a catalogue
_LONG_AGO = datetime(2026, 1, 1, tzinfo=UTC)  # so that the file changes with its sentences alone


def template() -> str:
    """Return the template's text: sentences in the order of the modules, then the words that come as data."""
    catalog = Catalog(
        project="Tenter",
        version="papers",
        copyright_holder="the authors of Tenter",
        header_comment="# Sentences and words of Tenter's papers. Keep what is in braces as it is.",
        creation_date=_LONG_AGO,
        fuzzy=False,
    )
    for path in sorted(PACKAGE.rglob("*.py")):
        place = path.relative_to(PACKAGE.parent).as_posix()
        code = path.read_text(encoding="utf-8")
        for function, texts in sentences(code) if _THROUGH.search(code) else ():
            context, *message = texts if function in _WITH_CONTEXT else (None, *texts)
            catalog.add(tuple(message) if len(message) > 1 else message[0], locations=[(place, 0)], context=context)
    for context, word, note in every_term():
        catalog.add(word, auto_comments=[note], context=context)
    file = io.BytesIO()
    write_po(file, catalog, width=120, omit_header=False, include_lineno=False)
    return file.getvalue().decode("utf-8")


def sentences(code: str) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield the texts that a module writes through a catalogue, each with the function that takes it there."""
    calls = [call for call in ast.walk(ast.parse(code)) if isinstance(call, ast.Call)]
    for call in sorted(calls, key=lambda call: (call.lineno, call.col_offset)):
        function = call.func.id if isinstance(call.func, ast.Name) else ""
        given = call.args[: _SENTENCES.get(function, 0)]
        texts = tuple(one.value for one in given if isinstance(one, ast.Constant) and isinstance(one.value, str))
        if texts and len(texts) == _SENTENCES[function]:
            yield function, texts


def main() -> None:
    TEMPLATE.write_text(template(), encoding="utf-8")
    print(f"written: {TEMPLATE.relative_to(Path.cwd())}")


if __name__ == "__main__":
    main()
