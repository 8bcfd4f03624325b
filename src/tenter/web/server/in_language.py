"""A language for a while: that of templates and that of the sentences beneath them, which go together; its own name."""

from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path

from django.conf import settings
from django.utils import translation

from tenter.language import ENGLISH, written_in
from tenter.translations import catalogue

_kept = lru_cache(catalogue)


@contextmanager
def in_language(code: str) -> Iterator[None]:
    """Write templates and sentences in a language, given by its tag; English where there is no catalogue of it."""
    found = _kept(code, Path(settings.LOCALE_PATHS[0])) if code in dict(settings.LANGUAGES) else ENGLISH
    with written_in(found), translation.override(found.code):
        yield


def own_name(code: str) -> str:
    """Return what the speakers of a language call it, by its tag; the tag itself where nobody has noted that."""
    try:
        name: str = translation.get_language_info(code)["name_local"]
    except KeyError:
        return code
    return name[:1].upper() + name[1:]
