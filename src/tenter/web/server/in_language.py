"""A language for a while: that of templates and that of the sentences beneath them, which go together."""

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
