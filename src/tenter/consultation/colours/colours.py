"""What a personal palette is made of: colours with their part, how well each suits, and how that is known."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tenter.arrays import steady
from tenter.colorimetry.measurement import D65_10, Conditions
from tenter.colorimetry.spaces import Lab
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.words.odds_words import OddsWord
from tenter.errors import TenterError
from tenter.given import shown
from tenter.language import _


class Part(StrEnum):
    """What a colour is for. Near the face, away from it and small are for borrowed colours and garments too."""

    NEAR_FACE = "near_face"
    AWAY = "away"
    SMALL = "small"
    NEUTRAL = "neutral"
    WHITE = "white"
    ACCENT = "accent"
    METAL = "metal"


class Suited(StrEnum):
    """How well a colour suits a client."""

    BEST = "best"
    YES = "yes"
    BORROW = "borrow"
    LEAVE = "leave"


class Basis(StrEnum):
    """How that is known: seen on the client, predicted by the model, or by convention of the trade."""

    SEEN = "seen"
    PREDICTED = "predicted"
    CONVENTION = "convention"


class StapleAnswer(StrEnum):
    """Where a staple colour is worn, or that another is worn instead."""

    NEAR = "near"
    AWAY = "away"
    SWAP = "swap"


@dataclass(frozen=True, slots=True)
class PaletteColour:
    """One colour of a palette.

    lab: CIELAB under the palette's conditions. name: a plain name, as a shop would say it ("coral", "navy"). cloth: the
    id of the cloth that was held, None for a colour that no cloth of the kit has. suitability: from 0 to 1, 1 at the
    client's ideal, with its 90 % interval. answer: what was seen of it, in words, with the place on the face where it
    was seen; empty where nothing was. title: what the client calls it ("your red"), empty for most. chosen: the
    consultant put it there.

    Raises `TenterError` for a colour that is not three finite numbers, and for a suitability or an interval outside 0
    to 1.
    """

    lab: Lab
    name: str
    hue_family: HueFamily
    part: Part
    fit: Suited
    basis: Basis
    suitability: float
    interval: tuple[float, float]
    cloth: str | None = None
    answer: str = ""
    title: str = ""
    chosen: bool = False

    def __post_init__(self) -> None:
        numbers = (*self.lab, self.suitability, *self.interval)
        if len(self.lab) != 3 or not np.all(np.isfinite(numbers)):
            raise TenterError(
                _("{name}: a colour of a palette is three finite numbers with a suitability", name=self.name)
            )
        low, high = self.interval
        if not 0 <= low <= high <= 1 or not 0 <= self.suitability <= 1:
            raise TenterError(
                _(
                    "{name}: suitability lies from 0 to 1, and so does its interval, low before high; got "
                    "{suitability} and {interval}",
                    name=self.name,
                    suitability=shown(self.suitability),
                    interval=shown(self.interval),
                )
            )


@dataclass(frozen=True, slots=True)
class MissingHue:
    """A hue family of which this client has no version, and which of their own colours to wear instead."""

    hue_family: HueFamily
    instead: str


@dataclass(frozen=True, slots=True)
class Staple:
    """One of the colours that every shop sells: whether this client wears it, or which colour of theirs instead.

    lab: CIELAB under D65/10°. swap_for: the name of the colour worn in its place, empty where none is.
    """

    name: str
    lab: Lab
    answer: StapleAnswer
    swap_for: str = ""

    @property
    def has_own_shade(self) -> bool:
        """Whether the client's colour in its place has its very name: another shade than the shops'."""
        return bool(self.swap_for) and self.swap_for.casefold() == self.name.casefold()


@dataclass(frozen=True, slots=True)
class Honoured:
    """A wish or a limit in the client's words, and what became of it in the palette. Either may be empty."""

    sentence: str
    answer: str


@dataclass(frozen=True, slots=True, eq=False)
class PersonalPalette:
    """The colours of one client, in the order in which a shop hangs them: by hue, light to dark.

    colours: the counted ones. metals and borrowed are apart and uncounted. categories: the one that the verdict names,
    or the two that the client lies between; empty while the sitting is not finished. probabilities: of every category.
    odds_word: how sure the verdict is; by_judgement: the consultant named it. honoured: what became of the client's
    wishes.
    """

    colours: tuple[PaletteColour, ...]
    metals: tuple[PaletteColour, ...]
    borrowed: tuple[PaletteColour, ...]
    missing: tuple[MissingHue, ...]
    staples: tuple[Staple, ...]
    categories: tuple[str, ...]
    probabilities: Mapping[str, float]
    odds_word: OddsWord = OddsWord.OPEN
    by_judgement: bool = False
    conditions: Conditions = D65_10
    honoured: tuple[Honoured, ...] = ()

    @property
    def every(self) -> tuple[PaletteColour, ...]:
        """The counted colours in their order, then the metals, then what is borrowed."""
        return (*self.colours, *self.metals, *self.borrowed)

    @property
    def likeliest(self) -> str:
        """The category with the highest probability."""
        return max(self.probabilities, key=lambda c: steady(self.probabilities[c]))

    def of_part(self, *parts: Part) -> tuple[PaletteColour, ...]:
        """Return the counted colours of some parts, in their order."""
        return tuple(c for c in self.colours if c.part in parts)
