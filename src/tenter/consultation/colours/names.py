"""Plain colour names, as a shop would say them, with a typical colour of each.

From memory, common practice, no source: no two shops agree on what coral is. A colour gets the nearest name (ΔE00) of
its own hue family, and where it lies away from what is typical of the name, a word that says how.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import lab_to_lch, lch_to_lab
from tenter.consultation.cloths.hue_families import HueFamily, hue_family
from tenter.consultation.cloths.tables import bundled_table

# L*, C*, h of each name, under D65/10°; the family is that of the colour.
_NAMES: dict[str, tuple[float, float, float]] = {
    row["name"]: (float(row["L"]), float(row["C"]), float(row["h"]))
    for row in bundled_table("colour_names.csv", ("name", "L", "C", "h"))
}
_STEPS = {"light": (0, 1), "deep": (0, -1), "bright": (1, 1), "soft": (1, -1)}  # L* or C*, up or down
STEP_WORDS = tuple(_STEPS)
_SAID_FROM = (6.0, 7.0)  # L* and C* from which a colour is said to lie away from what is typical of its name
# Steps from which a name alone misleads ("air force blue" for a vivid blue), and how many names are tried then.
_MISLEADS_FROM, _TRIED = 1.6, 6
# Names that say how light or how strong they are: "deep pale lemon" is said by nobody either.
_SAID_ALREADY = {"pale", "ice", "iced", "dark", "dusty", "soft", "hot", "mid", "powder", "baby", "duck-egg", "black"}
# Names of quiet colours are not called bright, and those of strong ones are not called soft.
_QUIET = {
    *("sage", "rosewood", "blush", "mauve", "heather", "verdigris", "slate", "pebble", "oyster", "mink", "greige"),
    *("taupe", "mushroom", "stone", "sand", "beige", "camel", "tan", "toffee", "caramel", "bronze", "khaki", "cocoa"),
    *("denim", "eucalyptus", "moss", "olive", "walnut", "biscuit", "espresso", "chocolate", "coffee", "brick", "rust"),
    *("chestnut", "oxblood", "cinnamon", "damson", "aubergine"),
}
_STRONG = {
    *("scarlet", "tomato", "poppy", "crimson", "geranium", "fuchsia", "magenta", "bubblegum", "cobalt", "emerald"),
    *("ultramarine", "sapphire", "ruby", "lime", "lemon", "sunflower", "violet", "tangerine", "chartreuse"),
}
_UNSAID = {"bright": _QUIET, "soft": _STRONG, "deep": {"blush", "snow"}, "light": {"espresso", "aubergine"}}
_PLAIN_FAMILIES = (HueFamily.WHITE, HueFamily.DARK)  # "soft pure white" is said by nobody


@dataclass(frozen=True, slots=True)
class _Named:
    names: tuple[str, ...]
    lab: FloatArray  # (n, 3)
    lch: FloatArray


@cache
def _table() -> dict[HueFamily, _Named]:
    found: dict[HueFamily, list[str]] = {}
    for name, lch in _NAMES.items():
        found.setdefault(hue_family(lch_to_lab(np.array(lch))), []).append(name)
    return {
        f: _Named(tuple(n), lch_to_lab(rows := np.array([_NAMES[m] for m in n], float)), rows) for f, n in found.items()
    }


def typical_lab(name: str) -> FloatArray | None:
    """Return the typical colour (3,) of a name, D65/10°, or None for a name that is not known.

    Capitals and spaces do not count. "Light", "deep", "bright" or "soft" before a name moves its colour by one step.
    """
    words = name.lower().split()
    first, plain = " ".join(words[:1]), " ".join(words)
    if plain not in _NAMES and first in _STEPS:
        plain = " ".join(words[1:])
    if plain not in _NAMES:
        return None
    lch = np.array(_NAMES[plain], dtype=float)
    if plain != " ".join(words):
        of, sign = _STEPS[first]
        lch[of] = max(0.0, lch[of] + sign * _SAID_FROM[of])
    return lch_to_lab(lch)


def known_names() -> tuple[str, ...]:
    """Return every plain name, in alphabetical order."""
    return tuple(sorted(_NAMES))


def base_name(lab: FloatArray, family: HueFamily) -> str:
    """Return the nearest name of a colour (3,), D65/10°, within its hue family."""
    return base_names(lab[None], [family])[0]


def base_names(lab: FloatArray, families: Sequence[HueFamily]) -> tuple[str, ...]:
    """Return the nearest name of each of n colours (n, 3), D65/10°, within its hue family."""
    return tuple(nearest[0] for nearest in _nearest(lab, families))


def colour_names(lab: FloatArray, families: Sequence[HueFamily]) -> list[tuple[str, ...]]:
    """Return names of colours (n, 3), D65/10°, best first: the nearest name with how the colour differs, then others.

    The first is what the colour is called wherever no other colour has the name.
    """
    found = zip(lab_to_lch(lab), families, _nearest(lab, families), strict=True)
    return [_names_of(lch, family, nearest) for lch, family, nearest in found]


def _names_of(lch: FloatArray, family: HueFamily, nearest: Sequence[str]) -> tuple[str, ...]:
    first = _called(lch, family, nearest)
    others = [name for name in nearest if name != first]
    sizes = _steps_from(lch, first)
    words = list(sizes)
    steps = [word for word in words if _is_said(word, first)]
    said = [f"{word} {first}" for word in steps]
    away = bool(said) and sizes[steps[0]] >= 1 and family not in _PLAIN_FAMILIES
    plain = [*said[:1], first, *said[1:]] if away else [first, *said]
    return (*plain, *others)


def _called(lch: FloatArray, family: HueFamily, nearest: Sequence[str]) -> str:
    """Return the nearest name that fits, or with which it can be said how the colour differs."""
    if family in _PLAIN_FAMILIES:
        return nearest[0]
    return next((name for name in nearest[:_TRIED] if _fits(lch, name)), nearest[0])


def _fits(lch: FloatArray, name: str) -> bool:
    word, size = next(iter(_steps_from(lch, name).items()), ("", 0.0))
    return size < _MISLEADS_FROM or _is_said(word, name)


def _steps_from(lch: FloatArray, name: str) -> dict[str, float]:
    """Return by how many steps a colour differs from what is typical of a name, the largest first."""
    apart = lch[:2] - np.array(_NAMES[name][:2])
    sizes = {word: steady(float(sign * apart[of] / _SAID_FROM[of])) for word, (of, sign) in _STEPS.items()}
    return dict(sorted(((w, size) for w, size in sizes.items() if size > 0), key=lambda each: -each[1]))


def _is_said(step: str, name: str) -> bool:
    """Tell whether anybody would say it: before one plain word that does not say the opposite ("bright sage")."""
    return name.isalpha() and name not in _SAID_ALREADY and name not in _UNSAID.get(step, ())


def _nearest(lab: FloatArray, families: Sequence[HueFamily]) -> list[list[str]]:
    """Return the names of each colour's family, nearest first; the colours of a family are worked out together."""
    found: list[list[str]] = [[] for _ in families]
    for family in dict.fromkeys(families):
        rows = [i for i, own in enumerate(families) if own is family]
        table = _table()[family]
        apart = steady(np.asarray(delta_e_2000(table.lab, np.asarray(lab)[rows][:, None])))
        for row, order in zip(rows, np.argsort(apart, axis=1, kind="stable"), strict=True):
            found[row] = [table.names[i] for i in order]
    return found
