"""The numbers wanted of the verdict, each beside what was found."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Target:
    """A number, what is wanted of it, and whether more or less is better. `found` None: it could not be had."""

    name: str
    found: float | None
    wanted: float
    at_least: bool
    unit: str = ""

    @property
    def passes(self) -> bool:
        if self.found is None or self.found != self.found:
            return False
        return self.found >= self.wanted if self.at_least else self.found <= self.wanted

    def plain(self) -> dict[str, object]:
        return {
            "name": self.name,
            "found": self.found,
            "wanted": self.wanted,
            "at_least": self.at_least,
            "unit": self.unit,
            "passes": self.passes,
        }

    def __str__(self) -> str:
        found = "none" if self.found is None else f"{self.found:.4g}"
        sign = "≥" if self.at_least else "≤"
        word = "pass" if self.passes else "FAIL"
        return f"{word}  {self.name:58s} {found:>8s} {self.unit:2s} wanted {sign} {self.wanted:g}"


def at_least(name: str, found: float | None, wanted: float, unit: str = "") -> Target:
    """Return a target that a number must reach."""
    return Target(name, found, wanted, True, unit)


def at_most(name: str, found: float | None, wanted: float, unit: str = "") -> Target:
    """Return a target that a number must not exceed."""
    return Target(name, found, wanted, False, unit)
