"""Colour names by the ISCC-NBS blocks: ranges of Munsell hue, value and chroma, each with one of 267 names.

A colour is named by the block it lies in, never by the nearest middle of a block. Blocks hold their lower borders, so
that every colour has exactly one name.

Source: K. L. Kelly, D. B. Judd (1976), Color: Universal Language and Dictionary of Names, NBS Special Publication 440.
"""

from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np

from tenter.arrays import ArrayLike, FloatArray, IntArray, steady
from tenter.colorimetry.intervals import DEVIATIONS_TO_90
from tenter.colorimetry.munsell import hue_notation, hue_number, munsell
from tenter.colorimetry.spaces import srgb_to_lab
from tenter.errors import TenterError

_STEPS = 7  # per axis, when an interval is looked through


@dataclass(frozen=True, slots=True)
class ColourName:
    """One of the 267 names and its number."""

    number: int
    name: str


@dataclass(frozen=True, slots=True)
class NameReading:
    """The name of a measured colour, and how sure it is.

    `notation` is that of Munsell. `share` is the part, 0 to 1, of the colour's 90 % interval, weighted as a normal
    error, that bears this name. `others` has every other name within the interval with its share, likeliest first. The
    name is that of the middle, even where another has the larger share.
    """

    name: ColourName
    notation: str
    share: float
    others: tuple[tuple[ColourName, float], ...]


@dataclass(frozen=True, slots=True)
class _Sector:
    """The blocks of one range of hues: lower and upper borders (n, 2) of value and chroma, and numbers (n,)."""

    lower: FloatArray
    upper: FloatArray
    number: IntArray


def _lines(file: str) -> list[list[str]]:
    text = (files("tenter.colorimetry") / "data" / file).read_text(encoding="utf-8")
    return [line.split(",") for line in text.splitlines() if not line.startswith("#")][1:]


@cache
def _names() -> dict[int, ColourName]:
    return {int(number): ColourName(int(number), name.lower()) for number, name in _lines("iscc_nbs_names.csv")}


@cache
def _sectors() -> tuple[FloatArray, tuple[_Sector, ...]]:
    """Return the hues where the sectors begin, going up, and the sectors; the last runs on past hue 0."""
    rows = _lines("iscc_nbs_blocks.csv")
    begin = np.array([hue_number(row[0]) for row in rows])
    borders = np.array([[float(field) for field in row[2:6]] for row in rows])
    number = np.array([int(row[6]) for row in rows], dtype=np.intp)
    begins = np.unique(begin)
    return begins, tuple(
        _Sector(borders[begin == hue][:, [0, 2]], borders[begin == hue][:, [1, 3]], number[begin == hue])
        for hue in begins
    )


@cache
def every_name() -> tuple[tuple[str, FloatArray], ...]:
    """Return the 267 names, each with the middle (3,) of its block: CIELAB, D65/2°."""
    rows = _lines("iscc_nbs_middles.csv")
    return tuple((_names()[int(number)].name, np.array(lab, dtype=float)) for number, *lab in rows)


@cache
def css_colours() -> tuple[tuple[str, FloatArray], ...]:
    """Return CSS's named colours, each name in words and its colour (3,): CIELAB, D65/2°.

    Source: W3C, CSS Color Module Level 4, section 6.1.
    """
    rows = _lines("css_colours.csv")
    labs = srgb_to_lab(np.array([list(bytes.fromhex(code[1:])) for _, code in rows]) / 255)
    return tuple((name, lab) for (name, _), lab in zip(rows, labs, strict=True))


def block_numbers(notations: ArrayLike) -> IntArray:
    """Return the number 1-267 of the block that holds each Munsell hue (0-100), value and chroma, shape (n,).

    Parameters
    ----------
    notations : array_like, shape (n, 3)

    Raises
    ------
    TenterError
        If a value or a chroma is below 0.
    """
    given = steady(np.asarray(notations, dtype=float))  # 0.9999999999 is a border that arithmetic missed
    if not (given[:, 1:] >= 0).all():
        raise TenterError("a Munsell notation needs a value and a chroma of 0 or more to be named")
    begins, sectors = _sectors()
    of = (np.searchsorted(begins, given[:, 0] % 100, side="right") - 1) % len(begins)
    numbers = np.zeros(len(given), dtype=np.intp)
    for k in np.unique(of):
        here = of == k
        place = given[here, None, 1:]
        inside = ((place >= sectors[k].lower) & (place < sectors[k].upper)).all(axis=-1)
        numbers[here] = sectors[k].number[inside.argmax(axis=1)]
    return numbers


def colour_name(lab: ArrayLike) -> ColourName:
    """Return the name of one CIELAB colour (3,) under D65, 2°; raises `TenterError` if it is not a number."""
    return _names()[int(block_numbers(munsell(lab)[None])[0])]


def name_reading(lab: FloatArray, half_width_90: FloatArray) -> NameReading:
    """Return the name of a measured Lab (3,), D65/2°, and how sure it is by its 90 % half-widths (3,) in L*, a* and b*.

    The interval is looked through on a grid of seven steps an axis; below L* 0 it counts as black. Raises `TenterError`
    if a number is missing or infinite.
    """
    axis = np.linspace(-1, 1, _STEPS)
    grid = np.stack(np.meshgrid(axis, axis, axis, indexing="ij"), axis=-1).reshape(-1, 3)
    weights = np.exp(-0.5 * ((DEVIATIONS_TO_90 * grid) ** 2).sum(axis=1))
    colours = lab + half_width_90 * grid
    colours[:, 0] = np.maximum(colours[:, 0], 0)
    numbers = block_numbers(munsell(colours))
    shares = np.bincount(numbers, weights, minlength=len(_names()) + 1) / weights.sum()
    name = colour_name(lab)
    order = [int(n) for n in np.argsort(-shares, kind="stable") if shares[n] > 0 and n != name.number]
    hue, value, chroma = munsell(lab)
    notation = f"{hue_notation(float(hue))} {value:.1f}/{chroma:.1f}" if chroma >= 0.05 else f"N {value:.1f}"
    return NameReading(
        name, notation, float(shares[name.number]), tuple((_names()[n], float(shares[n])) for n in order)
    )
