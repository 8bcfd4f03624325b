"""How hard a passphrase is to guess, in words, by a rule simple enough to be told.

The rule counts characters and different words. It cannot know a line of a song from four words drawn by lot, and says
so; it never measures in bits what it cannot know.
"""

import re

from django.contrib.auth.password_validation import CommonPasswordValidator
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.web.sealing.photo_keys import SHORTEST

_FEW = 6  # different characters: fewer are a pattern; this and the next three are set by judgement
_WORDS, _LETTERS = 4, 3  # different words that are strong together, and how many letters make one
_LONG = 16  # characters of a passphrase that is no run of words
RULE = gettext_lazy(
    "Four words or more that have nothing to do with each other are strong, for instance drawn from a book with your "
    "eyes closed. A line that is printed somewhere is weaker than it looks."
)


def strength_in_words(said: str) -> str:
    """Return a sentence on how hard a passphrase is to guess for somebody who has the computer and time."""
    if len(said) < SHORTEST:
        return _("Too short: %(least)s characters or more are needed.") % {"least": SHORTEST}
    try:
        CommonPasswordValidator().validate(said.strip())
    except ValidationError:
        return _("Weak: it is on the list of passwords that everybody tries first.")
    if len(set(said.casefold())) < _FEW:
        return _("Weak: it repeats a few characters.")
    words = {word for word in re.findall(r"[^\W\d_]+", said.casefold()) if len(word) >= _LETTERS}
    if len(words) >= _WORDS:
        return _("Strong, if the words have nothing to do with each other.")
    if len(said) >= _LONG:
        return _("Fair. One or two more words make it strong.")
    return _("Weak against somebody with time. Use four words or more.")
