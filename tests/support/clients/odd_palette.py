"""An invented palette of 44 colours with metals, borrowed colours and odd names, for tests of papers and files."""

from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.colours.colours import (
    Basis,
    PaletteColour,
    Part,
    PersonalPalette,
    Staple,
    StapleAnswer,
    Suited,
)

ODD_NAMES = (
    'say "navy"',
    "it's; } x{",
    "line one\nline two",
    "коралл",
    "珊瑚 色",
    "زمردي",
    "नीला",
    "<b>&amp;</b>",
    "back\\slash",
    "tab\there",
    "*/ end /*",
    "a very long name of a colour, forty letters",
)
_PLAIN = (
    *("ink", "navy", "charcoal", "denim", "trench", "taupe", "slate", "stone", "pearl", "fog", "ivory", "soft white"),
    *("coral", "rose", "berry", "plum", "teal", "moss", "sage", "amber", "rust", "peacock", "lilac", "cobalt"),
)
_PARTS = (Part.NEUTRAL,) * 10 + (Part.WHITE,) * 2 + (Part.NEAR_FACE,) * 8 + (Part.ACCENT,) * 24
_BASES = (Basis.SEEN, Basis.PREDICTED, Basis.CONVENTION)
_FAMILIES = tuple(HueFamily)
_OUTSIDE_SRGB = {20: (52.123457, -48.0, -16.654321), 33: (80.0, 12.5, 92.25)}


STAPLES = (
    Staple("black", (15.0, 0.0, -1.0), StapleAnswer.SWAP, "ink"),
    Staple("navy", (22.123457, 2.0, -20.0), StapleAnswer.NEAR),
    Staple('a "red" <&>', (50.0, 70.0, 45.0), StapleAnswer.AWAY, "coral"),
)


def _lab(k: int) -> tuple[float, float, float]:
    """Colours spread over what is dyed, every digit of them in use, and two that no screen shows."""
    if k in _OUTSIDE_SRGB:
        return _OUTSIDE_SRGB[k]
    lightness = 18.0 + 1.7123 * k
    most = 1 - ((lightness - 52) / 48) ** 2
    return lightness, most * 34.0 * ((k * 7) % 11 / 5 - 1), most * 30.0 * ((k * 5) % 13 / 6 - 1)


def colour(k: int, name: str, part: Part, **changes: object) -> PaletteColour:
    given = {
        "lab": _lab(k),
        "name": name,
        "hue_family": _FAMILIES[k % len(_FAMILIES)],
        "part": part,
        "fit": Suited.YES,
        "basis": _BASES[k % 3],
        "suitability": 0.8,
        "interval": (0.6, 0.95),
    }
    return PaletteColour(**(given | changes))


def odd_palette(names: tuple[str, ...] = (*_PLAIN, *ODD_NAMES)) -> PersonalPalette:
    """Return 44 counted colours, two metals, three borrowed colours and three staples."""
    called = (*names, *(f"shade {k}" for k in range(44)))[:44]
    colours = tuple(
        colour(k, name, _PARTS[k], title="your red" if k == 12 else "", chosen=k == 13) for k, name in enumerate(called)
    )
    metals = tuple(
        colour(k, name, Part.METAL, lab=(74.0, 3.0, b)) for k, (name, b) in enumerate((("gold", 28.0), ("silver", 1.0)))
    )
    borrowed = tuple(
        colour(k, f"borrowed {k}", Part.AWAY, fit=Suited.BORROW, lab=(40.0 + 9 * k, 30.0, 10.0 * k)) for k in range(3)
    )
    return PersonalPalette(
        colours, metals, borrowed, (), STAPLES, ("soft autumn",), {"soft autumn": 0.9, "warm autumn": 0.1}
    )
