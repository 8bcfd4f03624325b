"""A file that is handed over, named by the client and the date so that it is found again in any folder."""

import unicodedata
from dataclasses import dataclass

from tenter.language import pgettext
from tenter.report.reading.content import ClientCard

_LONGEST = 60  # characters of a client's name in a file's name
_APART = "-"
IN_A_NAME = "in the name of a file"  # the context of the words below, for who translates them
_NOBODY = "client"
NAMED_AFTER = (
    *("colours", "studio-sheet", "swatches-wallet", "swatches-ring", "swatches-grid", "for-programs"),
    *("phone", "lock-screen", "mail", _NOBODY),
)


@dataclass(frozen=True, slots=True)
class HandedFile:
    """A file as it is handed over: its name, what a server calls its kind, and what is in it.

    notes: what could not be drawn in it; empty when all was.
    """

    name: str
    media_type: str
    content: bytes
    notes: tuple[str, ...] = ()

    @property
    def kinds(self) -> tuple[str, str]:
        """The media type in two parts, without its parameters: ('text', 'html')."""
        main, _slash, rest = self.media_type.partition(";")[0].partition("/")
        return main.strip(), rest.strip()


def file_name(client: ClientCard, what: str, ending: str) -> str:
    """Return a name such as 'ilse-varnholt-2026-03-12-colours.pdf': letters and digits of any script, and hyphens.

    what: one of `NAMED_AFTER`, which is then written in the language, or anything else, which is not.
    """
    whose = _in_a_name(client.name) or _in_a_name(pgettext(IN_A_NAME, _NOBODY))
    return _APART.join((whose, client.date, f"{_in_a_name(pgettext(IN_A_NAME, what))}.{ending}"))


def _in_a_name(text: str) -> str:
    """Return a text as part of a file's name. Marks stay with their letters, as some scripts are made of them."""
    composed = unicodedata.normalize("NFC", text).lower()
    kept = [sign if sign.isalnum() or unicodedata.category(sign).startswith("M") else " " for sign in composed]
    return _APART.join("".join(kept).split())[:_LONGEST].strip(_APART)
