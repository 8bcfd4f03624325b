"""Names as a text file can carry them: any script, and no sign that would break a line or a file."""

import unicodedata

_STAND_IN = "\ufffd"
_NO_LETTERS = frozenset({"\ufffe", "\uffff"})


def one_line(text: str) -> str:
    """Return a text on one line: every end of a line and tab is a space, every other control sign a stand-in."""
    return "".join(_on_the_line(sign) for sign in text)


def _on_the_line(sign: str) -> str:
    kind = unicodedata.category(sign)
    if sign in "\t\n\r\v\f\x85" or kind in {"Zl", "Zp"}:
        return " "
    unfit = kind in {"Cc", "Cs"} or sign in _NO_LETTERS
    return _STAND_IN if unfit else sign
