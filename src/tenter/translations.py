"""The languages that there are: the catalogues that come with Tenter, found by their tags and checked."""

import gettext
from importlib.resources import as_file, files
from pathlib import Path
from string import Formatter

from tenter.errors import TenterError, UnknownName
from tenter.language import ENGLISH, SOURCE, Catalogue, _

DOMAIN = "tenter"


def catalogue_folder() -> Path:
    """Return the folder of the catalogues that come with Tenter: CODE/LC_MESSAGES/tenter.mo."""
    with as_file(files("tenter") / "catalogues") as folder:
        return folder


def known_languages(folder: Path | None = None) -> tuple[str, ...]:
    """Return the tags of the languages that papers can be written in, English first; `folder`: of the catalogues."""
    found = (folder or catalogue_folder()).glob(f"*/LC_MESSAGES/{DOMAIN}.mo")
    return (SOURCE, *sorted(_tag(path.parent.parent.name) for path in found))


def catalogue(code: str, folder: Path | None = None) -> Catalogue:
    """Return the translations of a language.

    Parameters
    ----------
    code
        Its tag, such as "de" or "pt-BR".
    folder
        Of the catalogues; Tenter's own where it is left out.

    Raises
    ------
    UnknownName
        If there is no catalogue of it.
    TenterError
        If a translation asks for something that its sentence does not have.
    """
    known = {tag.lower(): tag for tag in known_languages(folder)}
    tag = known.get(_tag(code).lower())
    if tag is None:
        raise UnknownName(_("language that papers can be written in"), code, sorted(known.values()))
    if tag == SOURCE:
        return ENGLISH
    name = tag.replace("-", "_")
    words = gettext.translation(DOMAIN, folder or catalogue_folder(), [name])
    _check(tag, words)
    return Catalogue(tag, words)


# -- what a catalogue has to be ----------------------------------------------------------------------------------------


def _tag(name: str) -> str:
    return name.strip().replace("_", "-")


def placeholders(pattern: str) -> frozenset[str]:
    """Return the names in braces of a sentence; raises `ValueError` where its braces do not close."""
    return frozenset(name for _text, name, _spec, _conversion in Formatter().parse(pattern) if name is not None)


def _check(tag: str, words: gettext.NullTranslations) -> None:
    """Refuse a catalogue of which a sentence would fail only when a paper is being written."""
    for key, said in getattr(words, "_catalog", {}).items():
        message = key[0] if isinstance(key, tuple) else key
        if message and not _fits(message, said):
            shown = message.rpartition("\x04")[2]
            raise TenterError(
                f"the {tag} translation of {shown!r} has other names in braces than the sentence itself; "
                f"it says {said!r}. Use {', '.join(sorted(placeholders(shown))) or 'none'} and no other"
            )


def _fits(message: str, said: str) -> bool:
    try:
        return placeholders(said) <= placeholders(message) | {"count"}
    except ValueError:
        return "{" not in message and "}" not in message
