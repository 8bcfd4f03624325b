"""Every word for a colour that is understood, and the colour that is typical of it.

First what a shop calls colours (`names.py`) and what it calls the same ones by another name; then the 267 names of the
ISCC-NBS system and their hues; then CSS's named colours, drawn in to what a real surface has, for a cloth is no screen.
Capitals, spaces, hyphens and accents of spelling (gray, grey) do not count.
"""

import unicodedata
from collections.abc import Mapping
from functools import cache, lru_cache

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.colour_names import css_colours, every_name
from tenter.colorimetry.measurement import D65_2, D65_10, Colours
from tenter.colorimetry.real_surfaces import most_chroma
from tenter.colorimetry.spaces import lab_to_lch, lch_to_lab
from tenter.consultation.cloths.hue_families import HueFamily, hue_family
from tenter.consultation.colours.names import STEP_WORDS, known_names, typical_lab

# What shops call the colours of `names.py` as well. From memory, common practice, no source.
_ALSO = {
    "anthracite": "graphite",
    "army green": "olive",
    "aubergine purple": "aubergine",
    "baby pink": "ballet pink",
    "bone": "ivory",
    "bordeaux": "burgundy",
    "brick red": "brick",
    "bright white": "pure white",
    "british racing green": "bottle green",
    "butter yellow": "butter",
    "butterscotch": "caramel",
    "canary": "lemon",
    "cappuccino": "mushroom",
    "cerise": "raspberry",
    "champagne": "ecru",
    "chartreuse yellow": "chartreuse",
    "cherry": "true red",
    "chilli": "scarlet",
    "claret": "wine",
    "clay": "terracotta",
    "cobalt blue": "cobalt",
    "coral red": "poppy",
    "crimson red": "crimson",
    "dark brown": "chocolate",
    "dark chocolate": "espresso",
    "dark denim": "ink blue",
    "dark navy": "midnight",
    "duck egg blue": "duck-egg",
    "dusky pink": "dusty rose",
    "dusty cedar": "dusty red",
    "dusty pink": "dusty rose",
    "ebony": "black-brown",
    "eggplant": "aubergine",
    "electric blue": "cobalt",
    "fawn": "biscuit",
    "fern green": "fern",
    "fire engine red": "scarlet",
    "flax": "straw",
    "forest": "forest green",
    "french navy": "navy",
    "garnet": "ruby",
    "ginger": "cinnamon",
    "grass": "grass green",
    "gunmetal": "graphite",
    "heather grey": "mid grey",
    "jeans": "denim",
    "jet black": "black",
    "latte": "biscuit",
    "lavender grey": "dove grey",
    "lime green": "lime",
    "linen": "ecru",
    "lipstick red": "true red",
    "marigold": "sunflower",
    "marine blue": "marine",
    "maroon": "burgundy",
    "marsala": "rosewood",
    "mauve pink": "cool pink",
    "merlot": "wine",
    "midnight blue": "midnight",
    "mocha": "cocoa",
    "moss green": "moss",
    "mustard yellow": "mustard",
    "natural": "ecru",
    "navy blue": "navy",
    "nutmeg": "chestnut",
    "oatmeal": "oyster",
    "ochre": "mustard",
    "off-white": "soft white",
    "olive green": "olive",
    "optic white": "pure white",
    "oxblood red": "oxblood",
    "pale blue": "powder blue",
    "pale pink": "ballet pink",
    "pale yellow": "primrose",
    "paprika": "rust red",
    "peach pink": "warm pink",
    "petrol blue": "petrol",
    "pillar box red": "true red",
    "pine green": "pine",
    "pistachio green": "pistachio",
    "powder pink": "ballet pink",
    "putty": "stone",
    "racing green": "bottle green",
    "raspberry pink": "raspberry",
    "rose grey": "pink-grey",
    "rose": "rose pink",
    "ruby red": "ruby",
    "russet": "rust",
    "saffron": "golden yellow",
    "sage green": "sage",
    "sage grey": "green-grey",
    "salmon pink": "salmon",
    "sapphire blue": "sapphire",
    "shocking pink": "hot pink",
    "sky": "sky blue",
    "smoke": "steel grey",
    "stone grey": "stone",
    "sunshine yellow": "sunflower",
    "taupe grey": "taupe",
    "teal blue": "lake blue",
    "teal green": "sea green",
    "terracotta rose": "clay red",
    "toffee brown": "toffee",
    "turquoise blue": "turquoise",
    "umber": "chocolate",
    "vanilla cream": "vanilla",
    "wine red": "wine",
    "winter white": "soft white",
}
_METALS = {"gold", "silver"}  # of CSS: what a shop sells by these names shines, and one colour value says little of it


@lru_cache(maxsize=4096)
def spelt(name: str) -> str:
    """Return a name as names are compared: small letters, marks and digits of any script alone, and grey with an e."""
    small = unicodedata.normalize("NFC", name).lower().replace("gray", "grey")
    return "".join(sign for sign in small if unicodedata.category(sign)[0] in "LMN")


def word_meant(name: str) -> str:
    """Return the name of `names.py` that a shop's word stands for, or the name as it came."""
    return _shop().get(spelt(name), name)


def word_lab(name: str) -> FloatArray | None:
    """Return the typical colour (3,) of a name, D65/10°, or None for a name that is not known.

    "Light", "deep", "bright" or "soft" before a name of a shop moves its colour by one step.
    """
    key = spelt(name)
    if key in _shop():
        return typical_lab(_shop()[key])
    if key in _books():
        return _books()[key][1]
    return next((typical_lab(f"{step} {_shop()[rest]}") for step, rest in _stepped(key) if rest in _shop()), None)


def is_wide(name: str) -> bool:
    """Tell whether a name is one of a hue alone, such as reddish orange, whatever its lightness and strength."""
    return spelt(name) in _hues_alone() and spelt(name) not in _shop()


def _stepped(key: str) -> list[tuple[str, str]]:
    return [(step, key.removeprefix(step)) for step in STEP_WORDS if key.startswith(step)]


def other_words() -> Mapping[str, str]:
    """Return what else the colours of `names.py` are called, each with the name that it stands for."""
    return dict(_other())


def book_words() -> tuple[str, ...]:
    """Return the names of ISCC-NBS and of CSS that no shop's name is, in alphabetical order."""
    return tuple(sorted(name for name, _ in _books().values()))


@cache
def _other() -> Mapping[str, str]:
    """The table above, and every name with its hue behind it: emerald green, lilac purple."""
    plain, taken = known_names(), {spelt(name) for name in known_names()}
    hues = {name: hue_family(np.asarray(typical_lab(name))) for name in plain}
    told = {f"{name} {hue}": name for name, hue in hues.items() if hue not in _UNTOLD and str(hue) not in name}
    return {name: of for name, of in sorted({**told, **_ALSO}.items()) if spelt(name) not in taken}


_UNTOLD = (HueFamily.METAL, HueFamily.DARK)


@cache
def _shop() -> Mapping[str, str]:
    """By how it is spelt, the name of `names.py` that a shop's word stands for."""
    return {spelt(name): of for name, of in [*_other().items(), *((name, name) for name in known_names())]}


@cache
def _books() -> Mapping[str, tuple[str, FloatArray]]:
    """By how it is spelt, each name of ISCC-NBS and of CSS that no shop has, with its colour, D65/10°."""
    found = dict(css_colours()) | _iscc_nbs()
    families = {str(family) for family in HueFamily}
    lab = Colours(_of_cloth(np.array(list(found.values()))), D65_2).under(D65_10).lab
    named = ((name, colour) for name, colour in zip(found, lab, strict=True) if name not in families | _METALS)
    return {spelt(name): (name, colour) for name, colour in named if spelt(name) not in _shop()}


def _of_cloth(lab: FloatArray) -> FloatArray:
    """Return colours (n, 3), D65/2°, no stronger than real surfaces of their lightness and hue are."""
    lch = lab_to_lch(lab)
    lch[:, 1] = np.minimum(lch[:, 1], most_chroma(lch[:, 0], lch[:, 2], D65_2))
    return lch_to_lab(lch)


def _iscc_nbs() -> dict[str, FloatArray]:
    """Return the 267 names, and each of their hues without its modifier ("reddish orange"): Lab, D65/2°."""
    middles = {name.replace("gray", "grey"): lab for name, lab in every_name()}
    hues: dict[str, list[FloatArray]] = {}
    for name, lab in middles.items():
        hues.setdefault(_hue(name), []).append(lab)
    return {hue: np.mean(some, axis=0) for hue, some in hues.items() if hue} | middles


def _hue(name: str) -> str:
    return " ".join(word for word in name.split() if word not in _MODIFIERS)


@cache
def _hues_alone() -> frozenset[str]:
    names = {name.replace("gray", "grey") for name, _ in every_name()}
    return frozenset(spelt(hue) for hue in {_hue(name) for name in names} - names if hue)


_MODIFIERS = {
    *("vivid", "brilliant", "strong", "deep", "very", "light", "moderate", "dark", "pale", "greyish"),
    *("blackish", "medium"),
}
