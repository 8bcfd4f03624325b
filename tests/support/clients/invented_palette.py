"""An invented personal palette of 44 colours, so that what a paper does with one hangs on no engine."""

from typing import Any

from tenter.colorimetry.spaces import lch_to_lab
from tenter.consultation.cloths.hue_families import HueFamily, hue_family
from tenter.consultation.colours.colours import (
    Basis,
    MissingHue,
    PaletteColour,
    Part,
    PersonalPalette,
    Staple,
    StapleAnswer,
    Suited,
)

# name: L*, C*, h
_NEUTRALS = {
    "charcoal": (27, 3, 260, "instead of black"),
    "ink blue": (30, 22, 258, "your navy"),
    "graphite": (36, 4, 250, "a suit"),
    "slate blue": (50, 18, 264, "denim"),
    "mushroom": (63, 10, 50, "trench"),
    "rosewood": (41, 16, 18, "bag"),
    "cocoa": (42, 9, 40, "shoe"),
    "dove grey": (70, 4, 300, ""),
    "pale taupe": (78, 6, 40, ""),
    "ice lilac": (83, 9, 310, ""),
}
_WHITES = {"soft white": (93, 3, 95, "your white"), "iced lavender": (89, 6, 305, "")}
_NEAR = {
    "old rose": (55, 26, 8, ""),
    "raspberry": (43, 40, 5, "your red"),
    "sage": (64, 14, 150, ""),
    "eucalyptus": (52, 18, 168, ""),
    "mineral teal": (50, 16, 206, ""),
    "dusty blue": (64, 17, 254, ""),
    "slate violet": (50, 20, 292, ""),
    "heather": (56, 16, 310, ""),
}
_ACCENTS = {
    "blush": (80, 12, 10, ""),
    "rose pink": (66, 28, 3, ""),
    "mauve pink": (64, 20, 348, ""),
    "cranberry": (38, 38, 12, ""),
    "wine": (29, 28, 5, ""),
    "watermelon": (52, 40, 14, ""),
    "straw": (80, 22, 92, ""),
    "pale lemon": (90, 20, 102, ""),
    "wheat": (76, 24, 84, ""),
    "pistachio": (77, 18, 130, ""),
    "grey-green": (58, 13, 160, ""),
    "jade": (56, 26, 166, ""),
    "pine": (36, 18, 172, ""),
    "duck-egg": (80, 12, 198, ""),
    "verdigris": (62, 18, 190, ""),
    "dark teal": (33, 18, 208, ""),
    "powder blue": (80, 14, 248, ""),
    "air force blue": (52, 18, 248, ""),
    "cornflower": (60, 28, 274, ""),
    "marine": (34, 26, 268, ""),
    "periwinkle": (66, 26, 286, ""),
    "lavender": (72, 20, 302, ""),
    "mauve": (60, 17, 326, ""),
    "plum": (35, 24, 330, ""),
}
_PARTS = {Part.NEUTRAL: _NEUTRALS, Part.WHITE: _WHITES, Part.NEAR_FACE: _NEAR, Part.ACCENT: _ACCENTS}
_STAPLES = (
    ("black", (15, 0, 0), StapleAnswer.SWAP, "charcoal"),
    ("navy", (22, 2, -24), StapleAnswer.AWAY, ""),
    ("grey", (55, 0, -1), StapleAnswer.NEAR, ""),
    ("denim", (44, 0, -22), StapleAnswer.NEAR, ""),
    ("camel", (66, 5, 18), StapleAnswer.SWAP, "mushroom"),
    ("brown", (37, 14, 18), StapleAnswer.SWAP, "cocoa"),
    ("white", (96, 0, 1), StapleAnswer.SWAP, "soft white"),
    ("beige", (80, 3, 11), StapleAnswer.SWAP, "pale taupe"),
)


def lab_of(lch: tuple[float, float, float]) -> tuple[float, float, float]:
    L, a, b = (float(v) for v in lch_to_lab(lch))
    return L, a, b


def colour(name: str, lch: tuple[float, float, float], part: Part, **more: Any) -> PaletteColour:
    lab = lab_of(lch)
    given = {"basis": Basis.PREDICTED, "fit": Suited.BEST, "suitability": 0.8, "interval": (0.7, 0.9)}
    family = more.pop("family", None) or hue_family(lab)
    return PaletteColour(lab=lab, name=name, hue_family=family, part=part, **{**given, **more})


def invented_palette(categories: tuple[str, ...] = ("soft summer",), **fields: Any) -> PersonalPalette:
    """Return a palette with every part, sign and answer in it."""
    colours = [
        colour(name, (L, C, h), part, title=title, basis=Basis.SEEN if (L + C) % 3 < 1 else Basis.PREDICTED)
        for part, named in _PARTS.items()
        for name, (L, C, h, title) in named.items()
    ]
    colours[-1] = colour("plum", (35, 24, 330), Part.ACCENT, chosen=True)
    metals = [
        colour(name, lch, Part.METAL, family=HueFamily.METAL, basis=Basis.CONVENTION)
        for name, lch in {"silver": (75, 2, 260), "pewter": (52, 3, 250)}.items()
    ]
    made: dict[str, Any] = {
        "colours": tuple(colours),
        "metals": tuple(metals),
        "borrowed": (colour("sage grey", (58, 8, 140), Part.SMALL, fit=Suited.BORROW),),
        "missing": (MissingHue(HueFamily.ORANGE, "watermelon or blush"),),
        "staples": tuple(Staple(n, lab, answer, swap) for n, lab, answer, swap in _STAPLES),
        "categories": categories,
        "probabilities": dict.fromkeys(categories, 1 / max(1, len(categories))),
    }
    return PersonalPalette(**{**made, **fields})
