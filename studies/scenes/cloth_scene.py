"""Cloths beside a classic card, flat, folded, shining or printed, alone or in a rack, with every colour known.

The pictures are composed, not path-traced: a plane with a card, and cloths whose folds are waves in a height map, lit
by one lamp from the side, shaded by the angle to it, darker in the valleys, with a lobe of gloss in the lamp's colour.
Reflectances: the 41 clothes of Vrhel, Gershon and Iwan (tests/data/vrhel) and the demo kit's colours, recovered.
"""

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import cv2
import numpy as np

from studies.scenes.exposure import FIRST_PATCH, Scene
from tenter import Kit
from tenter.arrays import AnyArray, BoolArray, FloatArray
from tenter.colorimetry.illuminants import WAVELENGTHS_NM, Observer
from tenter.colorimetry.reflectance import reflectance_to_lab, resample
from tenter.photo.patches.reference import classic24

_VRHEL = Path(__file__).parents[2] / "tests" / "data" / "vrhel"
_WALL, _FRAME = 11, 13
FIRST_CLOTH = 50  # label of the first cloth
_PATCH_PX, _GAP_PX = 40, 6
CARD_PX = (6 * _PATCH_PX + 7 * _GAP_PX, 4 * _PATCH_PX + 5 * _GAP_PX)  # width and height of the card


@cache
def cloth_reflectances() -> FloatArray:
    """Return the reflectances (n, 81) of 41 measured clothes, then of the demo kit's cloths, recovered."""
    with next(_VRHEL.glob("*.csv")).open(encoding="utf-8") as file:
        rows = list(csv.reader(file))
    columns = [i for i, name in enumerate(rows[0]) if name.startswith("R")]
    measured = [[float(row[i]) for i in columns] for row in rows[1:] if row[0] == "clothes"]
    nm = [float(rows[0][i][1:]) for i in columns]
    demo = Kit.demo()
    matt = [not drape.is_metal for drape in demo.drapes]
    return np.concatenate([resample(measured, nm), demo.bench_colours.reflectance[matt]])


def true_lab(reflectance: FloatArray) -> FloatArray:
    """Return what an instrument would read: Lab (..., 3), D65/2°."""
    return reflectance_to_lab(reflectance, "D65", Observer.CIE_1931_2)


@dataclass(frozen=True)
class Drapery:
    """How a cloth hangs.

    box: left, top, width and height in pixels. folds: how many; 0 lies flat. slope: of the steepest fold, in degrees.
    gloss: 0 matt, 0.15 satin. tilt: turns the whole cloth out of the card's plane, in degrees, toward the lamp above 0.
    reflectances: one, or those of a print, whose spots lie on the first; areas: of all of them; stripes: in stripes.
    weave: standard deviation of the light from thread to thread. ribs: how far ribs of 9 pixels darken it. pile: light
    of the lamp's colour that a pile turns back where it is seen aslant, as velvet does. sparkle: part that mirrors.
    """

    box: tuple[int, int, int, int]
    reflectances: FloatArray
    folds: int = 0
    slope: float = 0.0
    gloss: float = 0.0
    tilt: float = 0.0
    areas: tuple[float, ...] = (1.0,)
    stripes: bool = False
    weave: float = 0.02
    ribs: float = 0.0
    pile: float = 0.0
    sparkle: float = 0.0


@dataclass(frozen=True)
class Room:
    """The wall and the lamp: its angle to the wall's normal in degrees, from the left above 0, and the falling off.

    gradient: change of log light across the picture's width and height. mottle: standard deviation of the wall's own
    lightness, as log light, in blots. stripes: of the wall's reflectance, every other stripe differs by that part.
    """

    size: tuple[int, int] = (900, 700)
    wall: float = 0.45
    lamp: float = 35.0
    gradient: tuple[float, float] = (0.0, 0.0)
    mottle: float = 0.0
    stripes: float = 0.0


def cloth_scene(
    cloths: list[Drapery], room: Room = Room(), card_at: tuple[int, int] | None = (30, 30), seed: int = 0
) -> Scene:
    """Return the scene of cloths on a wall beside a card; the region "cloth k" holds the cloth's reflectance."""
    rng = np.random.default_rng(seed)
    width, height = room.size
    label = np.full((height, width), _WALL, dtype=np.uint8)
    material = np.zeros((height, width), dtype=np.int32)
    body, shine = np.ones((height, width)), np.zeros((height, width))
    surfaces = [np.full(WAVELENGTHS_NM.size, room.wall)]
    if room.mottle:
        blots = cv2.GaussianBlur(rng.normal(size=(height, width)), (0, 0), 40)
        body *= np.exp(room.mottle * blots / blots.std())
    if room.stripes:
        body *= np.where(np.arange(width) // 45 % 2, 1 + room.stripes, 1)
    patches, corners = _paint_card(label, material, surfaces, card_at)
    body[label != _WALL] = 1.0
    for k, cloth in enumerate(cloths):
        left, top, w, h = cloth.box
        where = (slice(top, top + h), slice(left, left + w))
        label[where] = FIRST_CLOTH + k
        spots = _stripes((h, w), cloth.areas) if cloth.stripes else _spots((h, w), cloth.areas, rng)
        material[where] = len(surfaces) + spots
        surfaces.extend(np.atleast_2d(cloth.reflectances))
        body[where], shine[where] = _shading(cloth, room, rng)
    field = _field(room)
    basis = np.zeros((len(surfaces), 2, WAVELENGTHS_NM.size))
    basis[:, 0], basis[:, 1] = np.array(surfaces), 1.0
    names = [f"cloth {k}" for k in range(len(cloths))]
    labels = {str(FIRST_CLOTH + k): name for k, name in enumerate(names)}
    means = np.array([np.average(np.atleast_2d(c.reflectances), axis=0, weights=c.areas) for c in cloths])
    return Scene(
        name="cloths",
        coef=np.stack([field * body, field * shine])[None],
        basis=basis,
        material=material,
        label=label,
        region_reflectance=means,
        patch_reflectance=classic24().reflectances,
        card_corners_px=corners,
        card_patches_px=patches,
        meta={"card": card_at is not None, "regions": names, "labels": {"1": "none", **labels}},
    )


def _paint_card(
    label: AnyArray, material: AnyArray, surfaces: list[FloatArray], at: tuple[int, int] | None
) -> tuple[FloatArray, FloatArray]:
    if at is None:
        return np.zeros((0, 4, 2)), np.zeros((0, 2))
    x0, y0 = at
    w, h = CARD_PX
    label[y0 : y0 + h, x0 : x0 + w], material[y0 : y0 + h, x0 : x0 + w] = _FRAME, len(surfaces)
    surfaces.append(np.full(WAVELENGTHS_NM.size, 0.04))
    quads = []
    for k, reflectance in enumerate(classic24().reflectances):
        x = x0 + _GAP_PX + (k % 6) * (_PATCH_PX + _GAP_PX)
        y = y0 + _GAP_PX + (k // 6) * (_PATCH_PX + _GAP_PX)
        label[y : y + _PATCH_PX, x : x + _PATCH_PX] = FIRST_PATCH + k
        material[y : y + _PATCH_PX, x : x + _PATCH_PX] = len(surfaces)
        surfaces.append(reflectance)
        quads.append([[x, y], [x + _PATCH_PX, y], [x + _PATCH_PX, y + _PATCH_PX], [x, y + _PATCH_PX]])
    return np.array(quads, dtype=float), np.array([[x0, y0], [x0 + w, y0], [x0 + w, y0 + h], [x0, y0 + h]], dtype=float)


def _field(room: Room) -> FloatArray:
    width, height = room.size
    y, x = np.mgrid[:height, :width]
    field: FloatArray = np.exp(room.gradient[0] * (x / width - 0.5) + room.gradient[1] * (y / height - 0.5))
    return field


def _shading(cloth: Drapery, room: Room, rng: np.random.Generator) -> tuple[FloatArray, FloatArray]:
    """Return the light on a cloth (height, width), 1 for one in the wall's plane, and its gloss."""
    _, _, width, height = cloth.box
    y, x = np.mgrid[:height, :width].astype(float)
    lean = np.full((height, width), np.tan(np.radians(cloth.tilt)))
    depth = np.zeros((height, width))
    for _ in range(cloth.folds):  # soft ridges that run down the cloth, a little aslant
        centre, aslant = rng.uniform(0, width), rng.normal(0, 0.15)
        size = width * rng.uniform(0.03, 0.09)
        across = (x + aslant * (y - height / 2) - centre) / size
        steepness = np.tan(np.radians(cloth.slope * rng.uniform(0.4, 1.0)))
        lean = lean + steepness * across * np.exp(0.5 - 0.5 * across**2) * rng.choice([-1, 1])
        depth = depth + 0.25 * steepness * np.exp(-0.5 * ((across - 2) / 0.8) ** 2)
    lamp = np.radians(room.lamp)
    normal = np.stack([-lean, np.ones_like(lean)]) / np.sqrt(1 + lean**2)
    lit = np.maximum(normal[0] * -np.sin(lamp) + normal[1] * np.cos(lamp), 0) / np.cos(lamp)
    half = np.array([-np.sin(lamp / 2), np.cos(lamp / 2)])
    shine = cloth.gloss * np.maximum(normal[0] * half[0] + normal[1] * half[1], 0) ** 60
    weave = rng.normal(1, cloth.weave, (height, width)) * (1 - cloth.ribs * (0.5 + 0.5 * np.sin(2 * np.pi * x / 9)))
    shine += cloth.pile * (1 - normal[1]) ** 0.5
    if cloth.sparkle:
        glints = cv2.dilate(
            (rng.random((height, width)) < cloth.sparkle / 9).astype(np.uint8), np.ones((3, 3), np.uint8)
        )
        shine += glints * cv2.blur(rng.exponential(1.5, (height, width)), (3, 3))
    return 0.85 * lit * np.maximum(weave, 0) * np.exp(-depth) + 0.15 * np.exp(-depth), shine


def _stripes(shape: tuple[int, int], areas: tuple[float, ...]) -> AnyArray:
    """Return which reflectance of a striped cloth each pixel (height, width) has; a repeat is 60 pixels."""
    ends = np.cumsum(areas)[:-1]
    return np.broadcast_to(np.searchsorted(ends, np.arange(shape[1]) % 60 / 60, side="right"), shape).astype(np.int32)


def _spots(shape: tuple[int, int], areas: tuple[float, ...], rng: np.random.Generator) -> AnyArray:
    """Return which reflectance of a print each pixel (height, width) has: blots whose areas are those asked for."""
    found = np.zeros(shape, dtype=np.int32)
    free = np.ones(shape, dtype=bool)
    for k, area in enumerate(areas[1:], start=1):
        heights = cv2.GaussianBlur(rng.normal(size=shape), (0, 0), min(shape) / 18)
        limit = np.quantile(heights[free], 1 - area * free.size / free.sum())
        chosen: BoolArray = free & (heights >= limit)
        found[chosen] = k
        free &= ~chosen
    return found
