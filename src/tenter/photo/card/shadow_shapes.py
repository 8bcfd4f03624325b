"""The shadows that a card is asked for: beyond lines at every angle, and on blocks of its patches."""

from dataclasses import dataclass
from functools import cache
from itertools import product

import numpy as np

from tenter.arrays import FloatArray
from tenter.photo.patches.grid import CardGrid

_ANGLES_DEGREES, _OFFSETS_A_PITCH = range(0, 180, 15), 4  # of edges: which way, and at how many places a pitch
_EDGE_PITCHES = 0.03  # how soft an edge is
_BLOCKS_OF_PATCH = 9  # places looked at in each, three by three


@dataclass(frozen=True, slots=True)
class TriedShadows:
    """The m shadows that are tried on n patches.

    outlines (k, 2): of each, in pitches. on_patches (n, m): how much of each patch lies beyond each, 0 to 1.
    """

    outlines: tuple[FloatArray, ...]
    on_patches: FloatArray


@cache
def tried_shadows(grid: CardGrid) -> TriedShadows:
    """Return the shadows that are tried on a card: along lines at every angle, and on blocks of patches. Ours."""
    lines = [_across(grid, np.radians(angle), offset) for angle in _ANGLES_DEGREES for offset in _offsets(grid)]
    blocks = [
        np.array([[left, top], [left + width, top], [left + width, top + height], [left, top + height]], dtype=float)
        for left, top, width, height in _blocks(grid)
    ]
    third = np.array([1, 3, 5]) / 6
    within = np.stack(np.meshgrid(third, third), axis=-1).reshape(-1, 2)
    places = (np.array(grid.cells)[:, None] + within).reshape(-1, 2)
    on_patches = shadows_on(places, grid).reshape(len(grid.cells), _BLOCKS_OF_PATCH, -1).mean(axis=1)
    return TriedShadows((*lines, *blocks), on_patches)


def _offsets(grid: CardGrid) -> FloatArray:
    """Return where edges are tried, in pitches from the card's middle: to a step short of its longer side's end."""
    steps = _OFFSETS_A_PITCH * max(grid.columns, grid.rows) // 2
    offsets: FloatArray = np.arange(1 - steps, steps) / _OFFSETS_A_PITCH
    return offsets


def _across(grid: CardGrid, angle: float, offset: float) -> FloatArray:
    """Return both ends (2, 2), in pitches, of the line at so many pitches from the card's middle, within the card."""
    normal, along = np.array([np.cos(angle), np.sin(angle)]), np.array([-np.sin(angle), np.cos(angle)])
    foot, size = grid.middle + offset * normal, np.array([grid.columns, grid.rows])
    with np.errstate(divide="ignore", invalid="ignore"):
        bounds = np.sort(np.stack([(0 - foot) / along, (size - foot) / along]), axis=0)
    bounded = np.abs(along) > 1e-9
    start, stop = bounds[0][bounded].max(), bounds[1][bounded].min()
    ends: FloatArray = foot + np.array([[start], [max(start, stop)]]) * along
    return ends


def _blocks(grid: CardGrid) -> list[tuple[int, int, int, int]]:
    """Return left, top, width and height of the blocks of patches that a finger or a glare may lie on."""
    return [
        (left, top, width, height)
        for width, height in product(range(1, 5), range(1, 4))
        for left, top in product(range(grid.columns - width + 1), range(grid.rows - height + 1))
    ]


def shadows_on(places: FloatArray, grid: CardGrid) -> FloatArray:
    """Return how much each of m shadows lies on each place, shape (n, m), 0 to 1; lines first, then blocks.

    places (n, 2): on the card, in pitches.
    """
    from_middle = places - grid.middle
    angles = np.radians(_ANGLES_DEGREES)
    across = from_middle @ np.array([np.cos(angles), np.sin(angles)])
    beyond = ((across[:, :, None] - _offsets(grid)) / _EDGE_PITCHES).clip(-40, 40).reshape(len(places), -1)
    blocks = [
        np.minimum(_within(places[:, 0], left, left + width), _within(places[:, 1], top, top + height))
        for left, top, width, height in _blocks(grid)
    ]
    return np.concatenate([1 / (1 + np.exp(-beyond)), np.stack(blocks, axis=1)], axis=1)


def _within(at: FloatArray, start: float, stop: float) -> FloatArray:
    """Return 1 between two lines, half on them and 0 beyond."""
    inside: FloatArray = np.clip(0.5 + np.minimum(at - start, stop - at) / _EDGE_PITCHES, 0, 1)
    return inside
