"""Numbers and lists as they are written for a reader: a true minus sign, no sign before a nought, "a, b and c"."""

from collections.abc import Sequence


def number(value: float, decimals: int = 1) -> str:
    """Return the number `value`, of any unit, with so many decimals, as '1.6', '−0.3' or '0.0'."""
    return f"{_rounded(value, decimals):.{decimals}f}".replace("-", "−")


def signed(value: float, decimals: int = 1) -> str:
    """Return the number `value`, of any unit, with its sign, as '+1.6', '−0.3' or '0.0'."""
    return f"{'+' if _rounded(value, decimals) > 0 else ''}{number(value, decimals)}"


def trimmed(value: float) -> str:
    """Return the number `value`, of any unit, with as many decimals as it has, six at most, as '1000' or '0.005'."""
    return number(value, 6).rstrip("0").rstrip(".")


def whole_percent(share: float) -> str:
    """Return a share, 0 to 1, as '97 %'."""
    return f"{number(100 * share, 0)} %"


def _rounded(value: float, decimals: int) -> float:
    return round(float(value), decimals) + 0.0  # -0.0 becomes 0.0


def how_many(count: int, one: str, more: str = "") -> str:
    """Return '1 cloth' or '3 cloths'; `more` is for what takes more than an s, as entry and entries."""
    return f"{count} {one if count == 1 else more or f'{one}s'}"


def listed(names: Sequence[str], joint: str = "and") -> str:
    """Return 'a', 'a and b' or 'a, b and c'."""
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} {joint} {names[-1]}"
