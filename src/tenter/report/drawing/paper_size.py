"""The sheet of paper that is printed on."""

from enum import StrEnum


class PaperSize(StrEnum):
    """A4 or Letter."""

    A4 = "a4"
    LETTER = "letter"

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height in millimetres."""
        return (210.0, 297.0) if self is PaperSize.A4 else (215.9, 279.4)

    @property
    def typst_name(self) -> str:
        """What typst calls it."""
        return "a4" if self is PaperSize.A4 else "us-letter"
