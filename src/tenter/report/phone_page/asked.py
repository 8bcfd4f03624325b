"""What the page answers about a colour that a client types: reckoned here for a grid of screen colours and for names.

The page looks the answers up and computes none, so that it says what the garment check says: the same suitability, the
same borders, the same words. The error of a typed colour is taken as about one step of the grid, and that of a name as
what is sold under it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.ndimage import gaussian_filter

from tenter.arrays import FloatArray, IntArray, steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.intervals import DEVIATIONS_TO_90
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.hue_families import HueFamily, hue_families
from tenter.consultation.colours.colours import Part, PersonalPalette
from tenter.consultation.colours.matching import TOLD_APART
from tenter.consultation.garments.check import SURE_OF_ROLE
from tenter.consultation.garments.measured_role import DRAWN_IN, drawn_points
from tenter.consultation.garments.role import (
    ROLES,
    Hold,
    held_steps,
    kept_off_steps,
    steps_by_suitability,
    steps_of_whites,
)
from tenter.consultation.personal.suitability import Known
from tenter.report.phone_page.screen_colours import LEVELS, grid_families, grid_lab

HOLDING_RULES = (
    None,
    *Hold,
)  # the rule that a role follows from where it is not the suitability alone, as garments have it
NO_COLOUR = -1  # where a palette has no colour of a kind that can be told apart
_GRID_ERROR = 0.8  # standard deviation of a typed colour's error, in steps of the grid
_CHUNK = 1024  # colours at a time: what is reckoned of them fits into a processor's cache


@dataclass(frozen=True, slots=True, eq=False)
class AskedColours:
    """What is known of n colours that a client may ask about.

    step (n,): place in `ROLES` at the colour itself. held (n,): place in `HOLDING_RULES`. chances (n, 4): how likely
    each role is, with the colour's error. certainty (n,): how sure the role is, as the garment check has it. off (n,
    3, 3): mean, low and high of how far it lies from the ideal on each axis. nearest (n,): index among the palette's
    colours and those borrowed, with `apart` (n,) in ΔE00. white, neutral, near (n,): indices of a white, a neutral
    and a best colour to wear it with, or `NO_COLOUR`.
    """

    step: IntArray
    held: IntArray
    chances: FloatArray
    certainty: FloatArray
    off: FloatArray
    nearest: IntArray
    apart: FloatArray
    white: IntArray
    neutral: IntArray
    near: IntArray

    @property
    def chance(self) -> FloatArray:
        """The chance of the role at the colour itself, shape (n,)."""
        return _of_step(self.chances, self.step)

    def mask(self) -> IntArray:
        """Return which roles a colour lies between, as bits, shape (n,): as many of the likeliest as make it sure."""
        order = np.argsort(-steady(self.chances), axis=1, kind="stable")
        reached = np.cumsum(np.take_along_axis(self.chances, order, axis=1), axis=1)
        wanted = np.concatenate([np.ones((len(order), 1), bool), steady(reached[:, :-1]) < SURE_OF_ROLE], axis=1)
        mask: IntArray = np.where(wanted, 1 << order, 0).sum(axis=1)
        return mask


def _of_step(chances: FloatArray, step: IntArray) -> FloatArray:
    chance: FloatArray = np.take_along_axis(chances, step[:, None], axis=1)[:, 0]
    return chance


@dataclass(frozen=True, slots=True, eq=False)
class _Colours:
    """Colours for one client: Lab and places (n, 3), the place of each in `ROLES` and in `HOLDING_RULES` (n,)."""

    lab: FloatArray
    places: FloatArray
    step: IntArray
    held: IntArray

    @property
    def one_hot(self) -> FloatArray:
        """Each role as a column of noughts and ones, shape (n, 4)."""
        return np.eye(len(ROLES))[self.step]


def asked_of(
    palette: PersonalPalette, known: Known, named: FloatArray, half_width_90: FloatArray
) -> tuple[AskedColours, AskedColours]:
    """Return what is known of every colour of the grid, and of colours (n, 3), D65/10°, known by their name alone.

    half_width_90 (n, 3): how far each name reaches, in L*, a* and b*.
    """
    grid = _colours(palette, known, grid_lab(), grid_families())
    names = _colours(palette, known, named, hue_families(named))
    about_grid = [_about_grid(grid, drawn) for drawn in DRAWN_IN]
    about_names = [_about_names(palette, known, names, half_width_90, drawn) for drawn in DRAWN_IN]
    return (
        _asked(palette, known, grid, about_grid, np.zeros_like(grid.places)),
        _asked(palette, known, names, [chances for chances, _ in about_names], about_names[0][1]),
    )


def _about_grid(grid: _Colours, drawn: float) -> FloatArray:
    """Return how likely each role is about the colours of the grid, (m, 4), for an error drawn in by a factor."""
    cube = grid.one_hot.reshape(LEVELS, LEVELS, LEVELS, len(ROLES))
    spread = (*(drawn * _GRID_ERROR,) * 3, 0)
    found: FloatArray = gaussian_filter(cube, spread, mode="nearest").reshape(-1, len(ROLES))
    return found


def _about_names(
    palette: PersonalPalette, known: Known, names: _Colours, half_width_90: FloatArray, drawn: float
) -> tuple[FloatArray, FloatArray]:
    """Return how likely each role is about names (n, 4), and 90 % half-widths of their places (n, 3).

    As the garment check has it: the whole error counts the colour itself too.
    """
    deviates = drawn_points(drawn)[None, :, :] * half_width_90[:, None, :] / DEVIATIONS_TO_90
    tried = (names.lab[:, None, :] + deviates).reshape(-1, 3)
    tried[:, 0] = np.maximum(tried[:, 0], 0)
    about = _colours(palette, known, tried, hue_families(tried))
    roles = about.one_hot.reshape(len(names.lab), -1, len(ROLES))
    if drawn == DRAWN_IN[0]:
        roles = np.concatenate([names.one_hot[:, None, :], roles], axis=1)
    spread = about.places.reshape(len(names.lab), -1, 3).std(axis=1)
    return roles.mean(axis=1), DEVIATIONS_TO_90 * spread


def _colours(palette: PersonalPalette, known: Known, lab: FloatArray, families: Sequence[HueFamily]) -> _Colours:
    """Return colours (n, 3) with the role of each, as the garment check has it."""
    places = known.places(lab, families)
    suitability = np.concatenate([known.suitability(part) for part in _parts(places)])
    white = np.array([family is HueFamily.WHITE for family in families], dtype=bool)
    steps = np.where(white, steps_of_whites(known, places), steps_by_suitability(suitability))
    some = [held_steps(palette, known.method, lab[at], families[at], places[at]) for at in _slices(len(lab))]
    holds = {hold: np.concatenate([one[hold] for one in some]) for hold in some[0]}
    nearest = np.min([steps, *holds.values()], axis=0)
    kept_off = np.concatenate([kept_off_steps(palette, part) for part in _parts(lab)])
    role: IntArray = np.maximum(nearest, kept_off)
    held = np.where(
        white, np.where(kept_off > 0, HOLDING_RULES.index(Hold.PALETTE), HOLDING_RULES.index(Hold.WHITE)), 0
    )
    for hold, limit in reversed(holds.items()):  # the first that holds is said
        held = np.where((limit == role) & (role < steps), HOLDING_RULES.index(hold), held)
    held = np.where(role > nearest, HOLDING_RULES.index(Hold.PALETTE), held)
    return _Colours(lab, places, role, held)


def _parts(values: FloatArray) -> list[FloatArray]:
    return [values[at] for at in _slices(len(values))]


def _slices(count: int) -> list[slice]:
    return [slice(start, start + _CHUNK) for start in range(0, count, _CHUNK)]


def _asked(
    palette: PersonalPalette,
    known: Known,
    here: _Colours,
    chances: Sequence[FloatArray],
    half: FloatArray,
) -> AskedColours:
    own = (*palette.colours, *palette.borrowed)
    labs = np.array([c.lab for c in own]).reshape(-1, 3)
    apart = np.concatenate([delta_e_2000(part[:, None], labs[None]) for part in _parts(here.lab)])
    nearest = np.argmin(steady(apart), axis=1)
    suited = np.array([c.suitability for c in own])
    told = np.where(apart >= TOLD_APART, 1.0, -np.inf)

    def best(part: Part, worth: FloatArray) -> IntArray:
        of_part = np.array([c.part is part and n < len(palette.colours) for n, c in enumerate(own)], dtype=bool)
        score = np.where(of_part & np.isfinite(told), steady(worth), -np.inf)
        return np.where(np.isfinite(score.max(axis=1)), score.argmax(axis=1), NO_COLOUR)

    return AskedColours(
        step=here.step,
        held=here.held,
        chances=chances[0],
        certainty=np.min([_of_step(found, here.step) for found in chances], axis=0),
        off=_off(known, here.places, half),
        nearest=nearest,
        apart=np.take_along_axis(apart, nearest[:, None], axis=1)[:, 0],
        white=best(Part.WHITE, np.broadcast_to(suited, apart.shape)),
        neutral=best(Part.NEUTRAL, np.broadcast_to(suited, apart.shape)),
        near=best(Part.NEAR_FACE, -apart),
    )


def _off(known: Known, places: FloatArray, half: FloatArray) -> FloatArray:
    """Return mean, low and high of places (n, 3) from the ideal, (n, 3, 3), widened by the colour's error (n, 3)."""
    ends = known.off(np.zeros(3))  # the ideal turned round: 0 minus where it may be
    middle = places + np.array([ends[axis].mean for axis in Axis])
    below = np.array([ends[axis].mean - ends[axis].low for axis in Axis])
    above = np.array([ends[axis].high - ends[axis].mean for axis in Axis])
    return np.stack([middle, middle - np.hypot(below, half), middle + np.hypot(above, half)], axis=-1)
