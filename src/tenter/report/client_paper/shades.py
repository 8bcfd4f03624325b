"""The colours of a personal palette as they are drawn: a plain name, a swatch, and a sign for how each is known."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tenter.arrays import steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_2, Colours, Conditions
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.colours.colours import Basis, PaletteColour, Staple
from tenter.language import N_, _
from tenter.report.words import terms
from tenter.report.words.palette_words import BASIS_WORDS, CHOSEN_WORDS, staple_words
from tenter.report.words.swatches import plain_words
from tenter.report.words.wording import sentence

_SAME = 6.0  # ΔE00 within which a liked colour is one of the client's own


class ShadeSign(StrEnum):
    """How a colour came onto the paper. Each sign has a shape of its own, so that none is told by colour."""

    SEEN = "seen"
    PREDICTED = "predicted"
    CONVENTION = "convention"
    CHOSEN = "chosen"


_LONG_WORD = 12  # letters: of those a tenth of a laptop's screen breaks the last off; looked at


@dataclass(frozen=True, slots=True)
class SignKey:
    """A sign with what it stands for."""

    sign: ShadeSign
    text: str


_MEANS = {
    ShadeSign.SEEN: BASIS_WORDS[Basis.SEEN],
    ShadeSign.PREDICTED: N_("predicted from what was seen"),
    ShadeSign.CONVENTION: BASIS_WORDS[Basis.CONVENTION],
    ShadeSign.CHOSEN: CHOSEN_WORDS,
}
_OF_BASIS = {Basis.SEEN: ShadeSign.SEEN, Basis.PREDICTED: ShadeSign.PREDICTED, Basis.CONVENTION: ShadeSign.CONVENTION}


@dataclass(frozen=True, slots=True)
class Shade:
    """One colour of the paper.

    in_line: its name inside a sentence. title: what the client calls it ("Your red"), empty for most. words: the colour
    without its hue being seen. hex: sRGB, '#rrggbb', clipped where `shown_truly` is false. lab: CIELAB (3,) under
    D65/2°, for whatever is worked out between colours.
    """

    name: str
    in_line: str
    title: str
    words: str
    hex: str
    sign: ShadeSign
    shown_truly: bool
    family: HueFamily
    lab: tuple[float, float, float]

    @property
    def has_a_long_word(self) -> bool:
        """Whether a word of its name is too long to stand in full size under one of ten colours side by side."""
        return max(map(len, self.name.split()), default=0) >= _LONG_WORD


@dataclass(frozen=True, slots=True)
class StapleLine:
    """One of the colours that every shop sells, and where the client wears it."""

    name: str
    hex: str
    answer: str


@dataclass(frozen=True, slots=True)
class ShadeRow:
    """Colours that hang side by side."""

    title: str
    text: str
    shades: tuple[Shade, ...]


# What hangs on one rail of a shop.
_RAILS = {
    HueFamily.RED: N_("Reds and pinks"),
    HueFamily.PINK: N_("Reds and pinks"),
    HueFamily.ORANGE: N_("Oranges and yellows"),
    HueFamily.YELLOW: N_("Oranges and yellows"),
    HueFamily.GREEN: N_("Greens"),
    HueFamily.TEAL: N_("Teals"),
    HueFamily.BLUE: N_("Blues"),
    HueFamily.PURPLE: N_("Purples"),
    HueFamily.BROWN: N_("Browns"),
    HueFamily.WHITE: N_("Whites"),
    HueFamily.GREY: N_("Greys"),
    HueFamily.DARK: N_("Darks"),
    HueFamily.METAL: N_("Metals"),
}


def shades(colours: Sequence[PaletteColour], conditions: Conditions) -> tuple[Shade, ...]:
    """Return colours of a palette as they are drawn, in their order."""
    if not colours:
        return ()
    given = Colours(np.array([c.lab for c in colours]), conditions)
    screens, truly = given.on_screen()
    labs = given.under(D65_2).lab
    return tuple(
        Shade(
            name=sentence(terms.colour(colour.name)),
            in_line=terms.in_line(colour.name),
            title=sentence(terms.title(colour.title)),
            words=plain_words(np.asarray(colour.lab), colour.hue_family),
            hex=screen,
            sign=ShadeSign.CHOSEN if colour.chosen else _OF_BASIS[colour.basis],
            shown_truly=in_gamut,
            family=colour.hue_family,
            lab=(float(lab[0]), float(lab[1]), float(lab[2])),
        )
        for colour, screen, in_gamut, lab in zip(colours, screens, truly, labs, strict=True)
    )


def nearest_shade(kit: Kit, cloth: str, own: Sequence[Shade]) -> tuple[Shade, bool]:
    """Return the shade that is nearest to a cloth of a kit, of its hue where there is one, and whether it is the same.

    own: the palette's, at least one. The difference is ΔE00 under D65/2°; up to 6 they count as the same, which is
    ours. Raises `UnknownName` for a cloth that the kit does not have.
    """
    family = kit[cloth].hue_family
    apart = np.asarray(delta_e_2000(np.array([s.lab for s in own]), kit.colours.under(D65_2).lab[kit.row(cloth)]))
    same_hue = np.array([s.family is family for s in own])
    among = steady(np.where(same_hue, apart, np.inf) if same_hue.any() else apart)
    at = int(np.argmin(among))
    return own[at], bool(among[at] <= _SAME)


def staple_lines(staples: Sequence[Staple], conditions: Conditions) -> tuple[StapleLine, ...]:
    """Return the strip of staples; `conditions`: of their Lab."""
    if not staples:
        return ()
    screens = Colours(np.array([s.lab for s in staples]), conditions).on_screen()[0]
    return tuple(
        StapleLine(sentence(terms.colour(s.name)), screen, staple_words(s))
        for s, screen in zip(staples, screens, strict=True)
    )


def on_rails(hung: Iterable[Shade]) -> tuple[ShadeRow, ...]:
    """Return colours as a shop hangs them: a rail a hue, in the order in which they come."""
    rails: dict[str, list[Shade]] = {}
    for shade in hung:
        rails.setdefault(_RAILS[shade.family], []).append(shade)
    return tuple(ShadeRow(_(title), "", tuple(found)) for title, found in rails.items())


def sign_keys(drawn: Iterable[Shade]) -> tuple[SignKey, ...]:
    """Return the signs that a paper uses, with what they stand for."""
    used = {shade.sign for shade in drawn}
    return tuple(SignKey(sign, _(text)) for sign, text in _MEANS.items() if sign in used)
