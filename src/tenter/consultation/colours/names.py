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

# L*, C*, h of each name, under D65/10°; the family is that of the colour.
_NAMES: dict[str, tuple[float, float, float]] = {
    # reds
    "tomato": (48, 58, 37),
    "scarlet": (47, 66, 33),
    "poppy": (51, 62, 31),
    "true red": (43, 60, 27),
    "brick": (41, 40, 38),
    "rust red": (37, 38, 40),
    "cranberry": (38, 46, 18),
    "ruby": (36, 52, 15),
    "crimson": (40, 56, 20),
    "raspberry": (43, 48, 5),
    "burgundy": (25, 28, 12),
    "wine": (29, 32, 8),
    "oxblood": (27, 28, 27),
    "mahogany": (33, 28, 36),
    "berry": (36, 38, 358),
    "rosewood": (43, 24, 21),
    "mulberry": (32, 30, 350),
    "watermelon": (51, 52, 20),
    "clay red": (49, 32, 33),
    "dusty red": (48, 21, 30),
    # pinks
    "coral": (66, 46, 37),
    "salmon": (70, 34, 36),
    "shell pink": (82, 16, 35),
    "warm pink": (78, 24, 39),
    "blush": (80, 12, 20),
    "ballet pink": (84, 13, 5),
    "rose pink": (63, 35, 10),
    "dusty rose": (60, 22, 12),
    "old rose": (55, 26, 18),
    "cool pink": (64, 20, 348),
    "carnation": (70, 32, 2),
    "bubblegum": (68, 40, 355),
    "hot pink": (56, 62, 359),
    "fuchsia": (48, 58, 347),
    "orchid": (63, 36, 338),
    "geranium": (56, 56, 22),
    "flamingo": (64, 48, 24),
    # oranges
    "apricot": (76, 36, 65),
    "peach": (80, 26, 58),
    "melon": (72, 42, 54),
    "tangerine": (66, 64, 57),
    "orange": (64, 70, 62),
    "pumpkin": (59, 60, 60),
    "burnt orange": (54, 54, 54),
    "terracotta": (54, 40, 47),
    "rust": (45, 44, 48),
    "copper": (56, 42, 58),
    "cinnamon": (53, 32, 56),
    "amber": (66, 56, 73),
    "caramel": (59, 34, 68),
    "sandstone": (70, 23, 66),
    # yellows
    "butter": (88, 32, 90),
    "primrose": (90, 34, 100),
    "lemon": (90, 56, 101),
    "citron": (86, 44, 106),
    "sunflower": (82, 70, 82),
    "golden yellow": (80, 60, 84),
    "honey": (72, 44, 78),
    "mustard": (67, 52, 85),
    "old gold": (62, 42, 85),
    "straw": (78, 28, 88),
    "wheat": (80, 22, 80),
    "pale lemon": (93, 22, 102),
    "chartreuse": (82, 58, 107),
    # greens
    "lime": (78, 54, 116),
    "apple green": (70, 46, 124),
    "spring green": (76, 32, 128),
    "pistachio": (80, 26, 118),
    "leaf green": (58, 42, 128),
    "grass green": (50, 42, 135),
    "kelly green": (50, 50, 150),
    "emerald": (48, 46, 163),
    "jade": (58, 34, 166),
    "mint": (84, 20, 165),
    "seafoam": (76, 22, 172),
    "sage": (64, 14, 132),
    "grey-green": (58, 13, 160),
    "eucalyptus": (52, 18, 168),
    "moss": (46, 28, 116),
    "olive": (44, 26, 104),
    "khaki green": (48, 20, 107),
    "avocado": (54, 34, 112),
    "fern": (48, 28, 132),
    "forest green": (32, 24, 152),
    "bottle green": (28, 20, 162),
    "pine": (34, 24, 170),
    "dark olive": (32, 20, 106),
    "hunter green": (36, 26, 140),
    # teals
    "turquoise": (66, 36, 196),
    "aqua": (78, 22, 200),
    "lagoon": (60, 36, 206),
    "teal": (42, 26, 202),
    "dark teal": (31, 20, 205),
    "petrol": (33, 22, 220),
    "sea green": (54, 30, 184),
    "verdigris": (62, 20, 190),
    "duck-egg": (82, 14, 198),
    "peacock": (46, 34, 214),
    "mineral teal": (50, 16, 206),
    "spruce": (36, 20, 184),
    # blues
    "sky blue": (76, 24, 250),
    "powder blue": (82, 15, 245),
    "baby blue": (81, 16, 258),
    "cornflower": (60, 36, 276),
    "periwinkle": (66, 32, 286),
    "cobalt": (40, 54, 279),
    "royal blue": (36, 56, 286),
    "sapphire": (34, 44, 278),
    "ultramarine": (31, 52, 290),
    "azure": (62, 38, 256),
    "cerulean": (56, 36, 240),
    "lake blue": (44, 28, 230),
    "slate blue": (50, 18, 264),
    "denim": (44, 23, 266),
    "air force blue": (52, 20, 248),
    "dusty blue": (64, 17, 254),
    "navy": (22, 24, 278),
    "ink blue": (28, 24, 256),
    "marine": (32, 30, 268),
    "blue-grey": (60, 12, 255),
    "ice blue": (85, 14.5, 240),
    # purples
    "lavender": (72, 24, 300),
    "lilac": (76, 20, 312),
    "wisteria": (66, 28, 304),
    "violet": (44, 48, 306),
    "iris": (48, 40, 298),
    "purple": (36, 44, 316),
    "amethyst": (54, 34, 314),
    "plum": (33, 28, 332),
    "aubergine": (25, 18, 334),
    "damson": (28, 22, 318),
    "mauve": (60, 18, 326),
    "heather": (56, 16, 310),
    "grape": (32, 32, 308),
    "magenta": (44, 44, 334),
    "dusty plum": (46, 18, 330),
    "indigo": (26, 32, 298),
    # browns
    "chocolate": (27, 17, 52),
    "espresso": (24, 11, 50),
    "cocoa": (40, 13, 48),
    "chestnut": (37, 24, 50),
    "cognac": (46, 35, 58),
    "tan": (58, 18, 70),
    "camel": (66, 18.5, 76),
    "toffee": (49, 28, 66),
    "coffee": (34, 16, 62),
    "taupe": (53, 11, 58),
    "mushroom": (66, 11, 62),
    "khaki": (62, 16, 90),
    "sand": (77, 15, 80),
    "beige": (80, 12, 74),
    "stone": (72, 11, 84),
    "bronze": (43, 25, 82),
    "walnut": (44, 19, 72),
    "biscuit": (75, 17, 70),
    # darks
    "black": (15, 1, 270),
    "soft black": (21, 2, 60),
    "charcoal": (27, 2, 260),
    "midnight": (18, 12, 280),
    "black-brown": (20, 8, 55),
    "black-plum": (21, 10, 335),
    "black-green": (22, 9, 165),
    "dark slate": (26, 10, 240),
    "dark bark": (26, 12, 78),
    # greys
    "slate": (40, 6, 250),
    "graphite": (33, 3, 250),
    "mid grey": (55, 1.5, 250),
    "silver grey": (72, 2, 250),
    "dove grey": (68, 4, 300),
    "pearl grey": (80, 3, 250),
    "warm grey": (58, 6, 80),
    "greige": (68, 8, 75),
    "oyster": (80, 7, 85),
    "pewter": (46, 4, 100),
    "steel grey": (56, 6, 250),
    "mink": (46, 8, 45),
    "pebble": (74, 8, 70),
    "lead grey": (38, 5, 70),
    "pink-grey": (64, 7, 10),
    "pale grey": (84, 2, 270),
    "green-grey": (58, 8, 140),
    "ice lilac": (84, 9, 310),
    # whites
    "pure white": (96, 1, 270),
    "soft white": (93, 3, 95),
    "ivory": (92, 9, 94),
    "cream": (90, 13, 88),
    "oyster white": (88, 6, 85),
    "cool white": (92, 3, 250),
    "ecru": (87, 11, 82),
    "ice pink": (88, 8, 0),
    "ice grey": (88, 2, 255),
    "ice mint": (90, 8, 165),
    "ice lemon": (94, 13, 106),
    "vanilla": (95, 10, 97),
    "snow": (92, 3.5, 345),
    "blue-white": (92, 4, 280),
    "iced blue": (88, 8, 250),
    "iced lavender": (87, 8, 305),
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
