"""What standards ask of a viewing light, named beside the thresholds of practice: never instead of them."""

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from tenter.language import in_a_row, pgettext


@dataclass(frozen=True, slots=True)
class StandardFigure:
    """One figure of a standard. of: which value of a check it belongs to. status: where it was read."""

    of: str
    standard: str
    item: str
    value: str
    status: str

    @property
    def from_memory(self) -> bool:
        """Whether nobody has read it in the standard."""
        return "memory" in self.status

    @property
    def sentence(self) -> str:
        """The figure in one line, with a mark where nobody has read it in the standard."""
        mark = "from memory, check before use" if self.from_memory else self.status
        return f"{self.standard}, {self.item}: {self.value} ({mark})"


@cache
def standard_figures() -> tuple[StandardFigure, ...]:
    """Return every figure of the bundled table."""
    text = (files("tenter.light") / "data" / "viewing_conditions.csv").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    return tuple(StandardFigure(**row) for row in csv.DictReader(lines))


def standards_on(value: str) -> tuple[str, ...]:
    """Return what standards say of a value of a check, such as "lux", a sentence each."""
    return tuple(figure.sentence for figure in standard_figures() if figure.of == value)


def standards_in_a_line(value: str) -> str:
    """Return the same in one line, each standard once, with * where a figure is from memory; empty where none asks."""
    by_standard: dict[str, list[str]] = {}
    for figure in standard_figures():
        if figure.of == value:
            said = pgettext("asked by a standard", figure.value)
            by_standard.setdefault(figure.standard, []).append(f"{said}{'*' if figure.from_memory else ''}")
    return "; ".join(f"{in_a_row(asked)} ({standard})" for standard, asked in by_standard.items())
