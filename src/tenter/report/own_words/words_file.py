"""A studio's words as a TOML file, or a JSON file of the same fields; docs/reference/studio-words.md shows one."""

import hashlib
import json
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from tenter.consultation.cloths.tables import read_text
from tenter.consultation.conventions.method_fields import Fields, items, text
from tenter.errors import TenterError, UnreadableInput
from tenter.given import given_path, shown
from tenter.language import N_, _
from tenter.report.own_words.studio_picture import read_studio_picture
from tenter.report.own_words.studio_words import DEFAULT_LANGUAGE, EVERY_SEASON, Logo, StudioWords, TextOf

EVERYBODY = "everybody"  # what the file calls `EVERY_SEASON`
_MARK_LETTERS = 10  # of a file's mark
_LONGEST_VERSION = 40  # letters
_REMEDY = N_("docs/reference/studio-words.md shows such a file.")


def read_words(path: str | Path) -> StudioWords:
    """Return the words of a TOML file, or of a JSON file with the same fields.

    Raises
    ------
    TenterError
        For what is no path.
    UnreadableInput
        If the file cannot be read, a field is unknown or of the wrong kind, or a text or picture cannot be printed.
    """
    file = given_path(path)
    fields = Fields(_document(read_text(file), file), str(file))
    try:
        return _words(fields, file)
    except TenterError as error:
        problem = str(error).removeprefix(f"{file}: ")
        raise UnreadableInput(str(file), problem, _("Nothing of it was used; correct that and read it again")) from None


def _document(written: str, file: Path) -> Mapping[str, object]:
    kind = "JSON" if file.suffix.lower() == ".json" else "TOML"
    try:
        found: object = json.loads(written) if kind == "JSON" else tomllib.loads(written)
    except (ValueError, RecursionError) as error:
        raise UnreadableInput(str(file), _("not {kind} ({error})", kind=kind, error=error), _(_REMEDY)) from None
    if not isinstance(found, Mapping):
        raise UnreadableInput(str(file), _("a table of fields is needed, got {found}", found=shown(found)), _(_REMEDY))
    return found


def _words(fields: Fields, file: Path) -> StudioWords:
    pictures = {name: _picture(fields, name, file.parent) for name in ("logo", "signed")}
    words = StudioWords(
        letterhead=tuple(fields.get("letterhead", items(_any_text)) if "letterhead" in fields else ()),
        logo=pictures["logo"],
        signature=_optional(fields, "signature"),
        signed=pictures["signed"],
        letter=_optional(fields, "letter"),
        texts=_texts(fields, "texts"),
        make_up_texts=_texts(fields, "make_up"),
        language=_optional(fields, "language") or DEFAULT_LANGUAGE,
        version=_version(fields, file, pictures),
    )
    fields.require_all_read()
    return replace(words, version="") if words.is_empty else words


def _any_text(value: object) -> str:
    if not isinstance(value, str):
        raise TenterError(_("a text is needed, got {value}", value=shown(value)))
    return value


def _optional(fields: Fields, name: str) -> str:
    return fields.get(name, _any_text) if name in fields else ""


def _picture(fields: Fields, name: str, folder: Path) -> Logo | None:
    place = _optional(fields, name)
    return read_studio_picture(folder / place) if place else None


def _texts(fields: Fields, name: str) -> tuple[TextOf, ...]:
    if name not in fields:
        return ()
    of_each = fields.get(name, _table)
    named = {EVERY_SEASON if of == EVERYBODY and name == "make_up" else of: said for of, said in of_each.items()}
    return tuple(TextOf(of, said) for of, said in named.items())


def _table(value: object) -> dict[str, str]:
    if not isinstance(value, Mapping):
        raise TenterError(_("a table of texts is needed, got {value}", value=shown(value)))
    return {text(of): _any_text(said) for of, said in value.items()}


def _version(fields: Fields, file: Path, pictures: Mapping[str, Logo | None]) -> str:
    """Return the version that a file gives itself, or a mark of all that it says."""
    given = _optional(fields, "version").strip()
    if len(given) > _LONGEST_VERSION or not given.isprintable():
        raise TenterError(
            _(
                "the version has {most} letters at most, on one line; got {given}",
                most=_LONGEST_VERSION,
                given=shown(given),
            )
        )
    if given:
        return given
    said = hashlib.sha256(file.read_bytes())
    for picture in pictures.values():
        said.update(picture.content if picture else b"")
    return said.hexdigest()[:_MARK_LETTERS]
