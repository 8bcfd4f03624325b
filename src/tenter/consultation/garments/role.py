"""Where a garment is worn, by how well its colour suits. Common practice, no source.

The borders are those of the palette (`personal/borders.py`). Three rules of the trade hold a colour nearer than its
suitability alone would:

- a colour of the client's own season is theirs, so that it goes away from the face at the furthest (practice check S2);
  where the method counts only the sub-season as one's own, that alone;
- plain black and grey may be worn away from the face by anyone;
- a colour of the client's palette, or one that hardly differs from it, has the role that the palette gives it, and so
  has a staple that the palette says is worn near the face or away from it.

One rule sends a colour further off: what hardly differs from a staple that the palette keeps from the face, or swaps
for another, and is nearer to that than to any colour of the palette for the face, is not worn near the face, however
well it suits by itself.

A white goes by its undertone, as the whites of a palette do: its lightness and softness say little beside a face.
"""

from collections.abc import Sequence
from enum import StrEnum

import numpy as np

from tenter.arrays import BoolArray, FloatArray, IntArray, steady
from tenter.colorimetry.difference import delta_e_2000, lightness_apart
from tenter.colorimetry.spaces import Lab
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.colours.borders import AWAY_FROM, HARDLY_DIFFERS, NEAR_FROM, SMALL_FROM
from tenter.consultation.colours.colours import PaletteColour, Part, PersonalPalette, StapleAnswer, Suited
from tenter.consultation.conventions.method import Method
from tenter.consultation.conventions.method_parts import SiblingColours
from tenter.consultation.palette.palette import PLAIN
from tenter.consultation.palette.whites import TINTED
from tenter.consultation.personal.suitability import Known
from tenter.consultation.words.odds_words import Degree, degree

SOLD_AS = 8.0  # ΔE00 around a staple within which shops sell it by the name: ours, common practice, no source


class GarmentAnswer(StrEnum):
    """What is said of a garment: where it is worn, or that it cannot be told."""

    NEAR_FACE = "near_face"
    AWAY = "away"
    SMALL = "small"
    LEAVE = "leave"
    CANNOT_TELL = "cannot_tell"


class Hold(StrEnum):
    """The rule that an answer follows from, where it is not the suitability alone."""

    PALETTE = "palette"
    SEASON = "season"
    PLAIN = "plain"
    WHITE = "white"


ROLES = (
    GarmentAnswer.NEAR_FACE,
    GarmentAnswer.AWAY,
    GarmentAnswer.SMALL,
    GarmentAnswer.LEAVE,
)  # nearest the face first
_AWAY = ROLES.index(GarmentAnswer.AWAY)
_BORDERS = np.array([NEAR_FROM, AWAY_FROM, SMALL_FROM])
_OF_FIT = dict(zip((Suited.BEST, Suited.YES, Suited.BORROW, Suited.LEAVE), ROLES, strict=True))
_OF_PART = {
    Part.NEAR_FACE: GarmentAnswer.NEAR_FACE,
    Part.WHITE: GarmentAnswer.NEAR_FACE,
    Part.AWAY: GarmentAnswer.AWAY,
    Part.SMALL: GarmentAnswer.SMALL,
}
_OF_STAPLE = {StapleAnswer.NEAR: GarmentAnswer.NEAR_FACE, StapleAnswer.AWAY: GarmentAnswer.AWAY}
_PLAIN_FAMILIES = (HueFamily.DARK, HueFamily.GREY)


def steps_by_suitability(suitability: FloatArray) -> IntArray:
    """Return the place in `ROLES` of suitabilities (n,), 0 to 1, shape (n,); 0 is nearest the face."""
    steps: IntArray = (steady(suitability)[:, None] < _BORDERS).sum(axis=1)
    return steps


def steps_of_whites(known: Known, places: FloatArray) -> IntArray:
    """Return the place in `ROLES` of whites at places (n, 3) in bench units, shape (n,).

    Near the face with the client's undertone, a step further for each step between the two. Common practice, no source.
    """
    own = known.ideal[Axis.UNDERTONE.column]
    side = 0 if degree(float(own)) is Degree.MIDDLE else int(np.sign(own))
    tint = steady(places[:, Axis.UNDERTONE.column])
    sides = np.where(np.abs(tint) < TINTED, 0, np.sign(tint)).astype(np.intp)
    steps: IntArray = np.abs(sides - side)
    return steps


def held_steps(
    palette: PersonalPalette, method: Method, lab: FloatArray, families: Sequence[HueFamily], places: FloatArray
) -> dict[Hold, IntArray]:
    """Return by rule the place in `ROLES` beyond which colours (n, 3) are not sent from the face, shape (n,).

    lab (n, 3): D65/10°, of hue families (n). places (n, 3): the same in bench units. Common practice, no source.
    """
    plain = np.array([family in _PLAIN_FAMILIES for family in families], dtype=bool)
    plain &= np.abs(places[:, Axis.UNDERTONE.column]) < PLAIN
    last = len(ROLES) - 1
    return {
        Hold.PALETTE: _steps_in_palette(palette, lab),
        Hold.SEASON: np.where(_own_places(method, palette.categories, places), _AWAY, last),
        Hold.PLAIN: np.where(plain, _AWAY, last),
    }


def kept_off_steps(palette: PersonalPalette, lab: FloatArray) -> IntArray:
    """Return by the palette's staples the place in `ROLES` before which colours are not worn, shape (n,).

    lab (n, 3): CIELAB under D65/10°.
    """
    off = [s.lab for s in palette.staples if s.answer is not StapleAnswer.NEAR]
    own = [c.lab for c in (*palette.colours, *palette.borrowed) if role_of(c) is GarmentAnswer.NEAR_FACE]
    steps: IntArray = np.where(_nearest_alike(lab, off) < _nearest_alike(lab, own), _AWAY, 0)
    return steps


def _nearest_alike(lab: FloatArray, among: Sequence[Lab]) -> FloatArray:
    """Return how far colours (n, 3) are from the nearest of some from which they hardly differ, infinity where none."""
    nearest = np.full(len(lab), np.inf)
    if among:
        theirs = np.array(among)
        rows, at = np.nonzero(steady(lightness_apart(lab[:, None], theirs[None])) <= HARDLY_DIFFERS)
        apart = steady(delta_e_2000(lab[rows], theirs[at]))
        alike = apart <= HARDLY_DIFFERS
        np.minimum.at(nearest, rows[alike], apart[alike])
    return nearest


def _own_places(method: Method, categories: Sequence[str], places: FloatArray) -> BoolArray:
    """Tell which places (n, 3) lie in the client's season, or sub-season where the method counts that alone."""
    theirs = np.array([_is_own(method, category, categories) for category in method.categories], dtype=bool)
    apart = np.sum((places[:, None] - method.prototypes[None]) ** 2, axis=2)
    found: BoolArray = theirs[np.argmin(steady(apart), axis=1)]
    return found


def _is_own(method: Method, category: str, categories: Sequence[str]) -> bool:
    if method.readings.sibling_colours is SiblingColours.OWN:
        return category in categories
    return method.season_of[category] in {method.season_of[c] for c in categories}


def _steps_in_palette(palette: PersonalPalette, lab: FloatArray) -> IntArray:
    """Return the role by the palette of colours (n, 3) that hardly differ from one of its own; else the last."""
    own = [(c.lab, ROLES.index(role_of(c)), HARDLY_DIFFERS) for c in (*palette.colours, *palette.borrowed)]
    own += [(s.lab, ROLES.index(_OF_STAPLE[s.answer]), SOLD_AS) for s in palette.staples if s.answer in _OF_STAPLE]
    steps = np.full(len(lab), len(ROLES) - 1)
    if own:
        theirs, roles, reach = (np.array(column) for column in zip(*own, strict=True))
        rows, at = np.nonzero(steady(lightness_apart(lab[:, None], theirs[None])) <= reach)
        alike = steady(delta_e_2000(lab[rows], theirs[at])) <= reach[at]
        np.minimum.at(steps, rows[alike], roles[at[alike]])
    return steps


def role_of(colour: PaletteColour) -> GarmentAnswer:
    """Return where a colour of a palette is worn."""
    return _OF_PART.get(colour.part, _OF_FIT[colour.fit])
