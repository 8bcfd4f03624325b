"""Munsell renotation of a colour: hue, value and chroma, by looking between the published ones.

Hue runs 0-100 up the circle, ten to each of R, YR, Y, GY, G, BG, B, PB, P and RP: 5YR is 15, and 10RP is 0.
"""

import re
from functools import cache
from importlib.resources import files

import numpy as np
from scipy.interpolate import LinearNDInterpolator

from tenter.arrays import ArrayLike, FloatArray, steady
from tenter.colorimetry.adaptation import Transform, adapt
from tenter.colorimetry.illuminants import Observer, white_point
from tenter.colorimetry.spaces import lab_to_xyz, xyz_to_lab
from tenter.errors import TenterError

HUE_FAMILIES = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
# Munsell values at which the value function is tabulated, a thousandth apart.
_VALUES: FloatArray = np.linspace(0, 10, 10001)
# ASTM D1535: luminance factor, 0-1, of a Munsell value relative to a perfect white (from memory; see the tests).
_LUMINANCE: FloatArray = np.polyval([0.00081939, -0.020484, 0.23352, -0.22533, 1.1914, 0.0], _VALUES) / 100
_BEYOND = 30.0  # the table is carried on to thirty times its strongest chroma, past every colour


def hue_number(notation: str) -> float:
    """Return the place 0-100 of a hue such as "2.5YR" on the circle.

    Raises
    ------
    TenterError
        If it is not a number 0-10 and one of the ten families.
    """
    match = re.fullmatch(r"(\d+(?:\.\d+)?)([A-Z]{1,2})", notation)
    if match is None or match[2] not in HUE_FAMILIES or float(match[1]) > 10:
        raise TenterError(f"{notation!r} is no Munsell hue; write a number up to 10 and a family, as in 2.5YR")
    return (10.0 * HUE_FAMILIES.index(match[2]) + float(match[1])) % 100


def hue_notation(hue: float) -> str:
    """Return a `hue`, its place 0 to 100 on the circle, as in "2.5YR"; a family begins above 0 and ends with 10."""
    tenths = round(hue * 10) % 1000 or 1000
    family, within = divmod(tenths - 1, 100)
    return f"{(within + 1) / 10:g}{HUE_FAMILIES[family]}"


def luminance(value: ArrayLike) -> FloatArray:
    """Return the luminance factor Y, 0-1, of Munsell values 0-10 (...), in their shape. Source: ASTM D1535."""
    factor: FloatArray = np.interp(np.asarray(value, dtype=float), _VALUES, _LUMINANCE)
    return factor


def munsell(lab: ArrayLike) -> FloatArray:
    """Return hue (0-100), value and chroma of CIELAB colours under D65, 2°.

    Parameters
    ----------
    lab : array_like, shape (..., 3)
        Adapted to illuminant C, which the renotations were made for, by Bradford.

    Returns
    -------
    ndarray, shape (..., 3)
        Between two value planes of the table, hue and chroma are interpolated at the same a* and b*. Hue is rounded to
        1e-9, so that the circle begins at one place on every processor; two hues are compared on the circle.

    Raises
    ------
    TenterError
        If a number is missing or infinite.

    References
    ----------
    S. M. Newhall, D. Nickerson, D. B. Judd (1943), J. Opt. Soc. Am. 33(7), 385-418; value: ASTM D1535.
    """
    given = np.asarray(lab, dtype=float)
    if not np.isfinite(given).all():
        raise TenterError("a colour that is not a number has no Munsell notation; check the reading's L*, a*, b*")
    d65, c = (white_point(name, Observer.CIE_1931_2) for name in ("D65", "C"))
    xyz = adapt(lab_to_xyz(given.reshape(-1, 3), d65), d65, c, Transform.BRADFORD)
    value = np.interp(xyz[:, 1], _LUMINANCE, _VALUES)
    plane = _between_planes(value, xyz_to_lab(xyz, c)[:, 1:])
    hue = steady(np.degrees(np.arctan2(plane[:, 1], plane[:, 0])) / 3.6) % 100  # and not 99.99999999999997
    found = np.stack([hue, value, np.hypot(plane[:, 0], plane[:, 1])], axis=-1)
    return found.reshape(given.shape)


def _between_planes(value: FloatArray, ab: FloatArray) -> FloatArray:
    """Return chroma times cosine and sine of the hue, shape (n, 2)."""
    heights = np.array(list(_planes()))
    above = np.clip(np.searchsorted(heights, value), 1, len(heights) - 1)
    share = np.clip((value - heights[above - 1]) / (heights[above] - heights[above - 1]), 0, 1)
    found = np.zeros_like(ab)
    for k in np.unique(above):
        here = above == k
        low, high = (_in_plane(_planes()[heights[i]], ab[here]) for i in (k - 1, k))
        found[here] = low + share[here, None] * (high - low)
    return found


def _in_plane(plane: LinearNDInterpolator, ab: FloatArray) -> FloatArray:
    """Return what the plane holds at a* and b*; past its edge (some near-blacks), the nearest on the way to grey."""
    found: FloatArray = plane(ab)
    nearer = 1.0
    while (outside := np.isnan(found).any(axis=1)).any():
        nearer *= 0.8
        found[outside] = plane(nearer * ab[outside]) / nearer
    return found


@cache
def _planes() -> dict[float, LinearNDInterpolator]:
    """Return, for each value of the table, what turns a* and b* under C into chroma times cosine and sine of hue."""
    text = (files("tenter.colorimetry") / "data" / "munsell_renotation.csv").read_text(encoding="utf-8")
    rows = [line.split(",") for line in text.splitlines() if line[0].isdigit()]
    table = np.array([[hue_number(row[0]), *map(float, row[1:])] for row in rows])
    real = (table[:, 3] >= 0) & (table[:, 4] > 0) & (table[:, 3] + table[:, 4] <= 1)  # the rest is past all light
    hue, value, chroma, x, y = table[real].T
    xyz = np.stack([x / y, np.ones_like(x), (1 - x - y) / y], axis=-1) * luminance(value)[:, None]
    ab = xyz_to_lab(xyz, white_point("C", Observer.CIE_1931_2))[:, 1:]
    polar = chroma[:, None] * np.stack([np.cos(np.radians(3.6 * hue)), np.sin(np.radians(3.6 * hue))], axis=-1)
    at = {float(v): value == v for v in np.unique(value)}
    return {v: _plane(ab[here], polar[here], chroma[here], hue[here]) for v, here in at.items()}


def _plane(ab: FloatArray, polar: FloatArray, chroma: FloatArray, hue: FloatArray) -> LinearNDInterpolator:
    last = np.array([chroma[i] == chroma[hue == hue[i]].max() for i in range(len(hue))])
    grey = np.zeros((1, 2))
    places = np.concatenate([grey, ab, _BEYOND * ab[last]])
    return LinearNDInterpolator(places, np.concatenate([grey, polar, _BEYOND * polar[last]]))
