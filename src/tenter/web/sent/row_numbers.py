"""A row's number as a page sends it, in a field of text."""

_LONGEST = 18  # digits that every database takes


def row_number(text: str) -> int | None:
    """Return the number that a text is; None where it can be no row's."""
    return int(text) if text.isascii() and text.isdecimal() and len(text) <= _LONGEST else None
