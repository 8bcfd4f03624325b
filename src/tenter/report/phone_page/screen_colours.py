"""Colours of a screen as cloth: a grid of sRGB under D65/10°, where palettes and garments are.

A screen colour is taken for a cloth that looks the same under D65 to the 2° observer, and is carried to the 10°
observer through a recovered reflectance: a prediction.
"""

from functools import cache

import numpy as np

from tenter.arrays import ArrayLike, FloatArray
from tenter.colorimetry.measurement import D65_2, D65_10, Colours, Conditions
from tenter.colorimetry.spaces import srgb_to_lab
from tenter.consultation.cloths.hue_families import HueFamily, hue_families
from tenter.consultation.colours.colour_words import book_words, word_lab
from tenter.consultation.colours.names import known_names

LEVELS = 28  # of each channel; a typed colour is at most 5 of 255 steps from the nearest, less than phones differ by
_CARRIED_LEVELS = 9  # of the coarse grid on which the step between observers is known; between, ΔE00 0.4 off at most


@cache
def grid_lab() -> FloatArray:
    """Return the Lab of the grid under D65/10°, shape (n, 3), where n is LEVELS³; red runs slowest and blue fastest.

    The array is shared and cannot be written to.
    """
    codes = np.linspace(0, 1, LEVELS)
    lab = lab_of_screen(np.stack(np.meshgrid(codes, codes, codes, indexing="ij"), axis=-1).reshape(-1, 3))
    lab.setflags(write=False)
    return lab


@cache
def grid_families() -> tuple[HueFamily, ...]:
    """Return the hue family of each colour of the grid."""
    return hue_families(grid_lab())


def hex_of_names(lab: FloatArray, conditions: Conditions) -> list[str]:
    """Return '#rrggbb' of the colours (n, 3) that names stand for; the plain ones are reckoned once for all clients."""
    known, rows = _hex_by_name(conditions), [tuple(row) for row in lab.tolist()]
    new = [row for row in dict.fromkeys(rows) if row not in known]
    hexes = Colours(np.array(new), conditions).on_screen()[0] if new else []
    found = known | dict(zip(new, hexes, strict=True))
    return [found[row] for row in rows]


@cache
def _hex_by_name(conditions: Conditions) -> dict[tuple[float, ...], str]:
    lab = np.array([word_lab(name) for name in (*book_words(), *known_names())], dtype=float)
    return dict(zip(map(tuple, lab.tolist()), Colours(lab, conditions).on_screen()[0], strict=True))


def lab_of_screen(rgb: ArrayLike) -> FloatArray:
    """Return the Lab (n, 3), D65/10°, of screen colours (n, 3), sRGB from 0 to 1."""
    given = np.atleast_2d(np.asarray(rgb, dtype=float))
    place = given * (_CARRIED_LEVELS - 1)
    low = np.clip(np.floor(place).astype(int), 0, _CARRIED_LEVELS - 2)
    share, step = place - low, _carried()
    moved = np.zeros_like(given)
    for corner in np.ndindex(2, 2, 2):
        weight = np.prod(np.where(np.array(corner), share, 1 - share), axis=1)
        moved += weight[:, None] * step[tuple((low + corner).T)]
    found: FloatArray = srgb_to_lab(given) + moved
    return found


@cache
def _carried() -> FloatArray:
    """Return by how much Lab moves from the 2° to the 10° observer over the coarse grid, (m, m, m, 3)."""
    codes = np.linspace(0, 1, _CARRIED_LEVELS)
    shown = srgb_to_lab(np.stack(np.meshgrid(codes, codes, codes, indexing="ij"), axis=-1))
    return np.asarray(Colours(shown, D65_2).under(D65_10).lab - shown)
