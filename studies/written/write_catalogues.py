"""Brings each language's translations in line with the templates, and writes of them what the program reads.

A language is a folder of src/tenter/catalogues: its `LC_MESSAGES/tenter.po` are papers, `django.po` screens. A sentence
that is new has no translation yet, one that is gone is left out. Run `write_template` first, then from the project's
folder: python -m studies.written.write_catalogues [TAG of a language to begin]
"""

import io
import sys
from collections.abc import Iterator
from pathlib import Path

from babel.messages.catalog import Catalog, Message
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from studies.written.write_template import CATALOGUES, Domain


def translations(domain: Domain, folder: Path = CATALOGUES) -> Iterator[Path]:
    """Yield the files of translations that there are of a domain."""
    yield from sorted(folder.glob(f"*/LC_MESSAGES/{domain}.po"))


def brought_in_line(path: Path, domain: Domain) -> Catalog:
    """Return a file's translations of the sentences that there are now, in their order."""
    kept = _read(path)
    fresh = _read(domain.template, kept.locale_identifier)
    fresh.version, fresh.header_comment = kept.version, kept.header_comment
    for message in fresh:
        known = kept.get(message.id, message.context) if message.id else None
        if known is not None and is_translated(known):
            message.string = known.string
    return fresh


def is_translated(message: Message) -> bool:
    """Whether a sentence has a translation that a person has let stand, in each of its numbers."""
    said = message.string if isinstance(message.string, tuple) else (message.string,)
    return all(said) and not message.fuzzy


def compiled(catalog: Catalog) -> bytes:
    """Return what the program reads of translations: a file of gettext's own form."""
    file = io.BytesIO()
    write_mo(file, catalog)
    return file.getvalue()


def written(catalog: Catalog) -> bytes:
    """Return translations as translators edit them."""
    file = io.BytesIO()
    write_po(file, catalog, width=120, include_lineno=False)
    return file.getvalue()


def _read(path: Path, locale: str | None = None) -> Catalog:
    with path.open("rb") as file:
        catalog = read_po(file, locale=locale)
    catalog.fuzzy = False
    return catalog


def _begin(tag: str) -> None:
    for domain in Domain:
        path = CATALOGUES / tag.replace("-", "_") / "LC_MESSAGES" / f"{domain}.po"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(written(_read(domain.template, path.parent.parent.name)))


def main(tags: list[str]) -> None:
    for tag in tags:
        _begin(tag)
    for domain in Domain:
        for path in translations(domain):
            catalog = brought_in_line(path, domain)
            path.write_bytes(written(catalog))
            path.with_suffix(".mo").write_bytes(compiled(catalog))
            left = sum(1 for message in catalog if message.id and not is_translated(message))
            print(f"written: {path.relative_to(Path.cwd())}, {left} of {len(catalog)} without a translation")


if __name__ == "__main__":
    main(sys.argv[1:])
