"""Method files of many categories, as long names as schools give them, for whatever has to hold for 4 to 24."""

import math

_WORDS = ("light", "warm and golden", "bright", "soft and muted", "deep", "clear")
_MIDDLES = {"spring": (0.8, 0.8), "summer": (0.5, -0.8), "autumn": (-0.8, -0.6), "winter": (-0.8, 0.9)}


def many_categories(count: int) -> str:
    """Return the TOML of a method of four seasons with `count` categories, 4 to 24."""
    lines = ['extends = "four-by-three"', f'name = "of-{count}"', f'title = "{count} categories"']
    for season in _MIDDLES:
        lines += ["[[seasons]]", f'name = "{season}"', f'undertone = "{_side(season)}"']
    return "\n".join([*lines, *(line for season in _MIDDLES for line in _categories(season, count // 4))])


def _side(season: str) -> str:
    return "warm" if season in ("spring", "autumn") else "cool"


def _categories(season: str, count: int) -> list[str]:
    sign, (depth, clarity) = (1 if _side(season) == "warm" else -1), _MIDDLES[season]
    lines = []
    for place, word in enumerate(_WORDS[:count]):
        around = 2 * math.pi * (place + 0.3) / count
        found = (
            sign * (0.9 + 0.4 * math.cos(2 * around)),
            depth + 0.6 * math.cos(around),
            clarity + 0.6 * math.sin(around),
        )
        prototype = ", ".join(f"{value:.2f}" for value in found)
        lines += ["[[categories]]", f'name = "{word} {season}"', f'season = "{season}"', f"prototype = [{prototype}]"]
    return lines
