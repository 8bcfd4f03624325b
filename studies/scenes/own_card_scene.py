"""Our own card in the rendered scenes, in place of the classic one, and the photograph it is calibrated by.

The light at the card is taken from the scene (composed.py). The card is printed by an invented printer (no two alike:
inks, dot gain, paper), driven by a profile which does not quite fit it. The program knows nothing of that printer: it
guesses spectra from other invented printers.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

import cv2
import numpy as np
from scipy.optimize import least_squares

from studies.scenes.cameras import CMFS, light_power
from studies.scenes.composed import with_card
from studies.scenes.dye_printer import DyePrinter, dye_printer
from studies.scenes.exposure import FIRST_PATCH, Scene, Shot, expose, load_scene
from tenter.arrays import AnyArray, ByteArray, FloatArray
from tenter.colorimetry.spaces import srgb_to_xyz, xyz_to_lab
from tenter.photo.own_card import layout
from tenter.photo.own_card.ink import Printer, ink_densities, paper_reflectance
from tenter.photo.patches.correction import D65_WHITE
from tenter.photo.patches.reference import classic24
from tenter.report.printing.card_sheet import BLACK, card_sheet

DYED = 100  # serials above it are prints of the dye printer
AnyPrinter = Printer | DyePrinter
_UNIT = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
_DAYLIGHTS = ("D65", "D50", "DAY5500")
_D65_WEIGHTS: FloatArray = light_power("D65")[:, None] * CMFS


@dataclass(frozen=True)
class PrintedCard:
    """One print: reflectances (36, 81) of its patches, of its bare paper and of its black."""

    serial: int
    patches: FloatArray
    paper: FloatArray
    black: FloatArray

    @property
    def xyz(self) -> FloatArray:
        """(36, 3) under D65/2°."""
        return self.patches @ _D65_WEIGHTS


@cache
def printed_card(serial: int) -> PrintedCard:
    """Return a print; the serial is the seed of everything in which it differs from others."""
    return _print(serial, *printer_pair(serial))


@cache
def printer_pair(serial: int) -> tuple[AnyPrinter, AnyPrinter]:
    """Return a printer as its driver thinks of it, and as it is."""
    rng = np.random.default_rng(serial)
    if serial > DYED:
        return dye_printer(), dye_printer(rng)
    thought = Printer(paper_reflectance(), ink_densities())
    densities = np.stack([ink_densities(rng.normal(0, 5), rng.uniform(0.85, 1.15))[k] for k in range(4)])
    real = Printer(
        paper_reflectance(rng.uniform(0.84, 0.93), rng.uniform(-0.03, 0.1)),
        densities,
        rng.uniform(0.012, 0.026),
        rng.uniform(0.05, 0.2),
        rng.uniform(1.6, 2.8),
    )
    return thought, real


def printed(serial: int, colours: Sequence[str]) -> FloatArray:
    """Return the reflectances (n, 81) of what a printer makes of '#rrggbb'."""
    thought, real = printer_pair(serial)
    return real.reflectance(np.array([_separated(thought, colour) for colour in colours]))


def _print(serial: int, thought: AnyPrinter, real: AnyPrinter) -> PrintedCard:
    """Return what a printer makes of the sheet whose driver takes it for another."""
    coverage = np.array([_separated(thought, patch.hex) for patch in layout.CARD_PATCHES])
    black = real.reflectance(np.array([0.2, 0.2, 0.2, 1.0]))
    return PrintedCard(serial, real.reflectance(coverage), real.reflectance(np.zeros(4)), black)


def _separated(printer: AnyPrinter, colour: str) -> FloatArray:
    """Return the coverages (4,) sent for a colour: the paper is white, and black replaces half of what is grey."""
    code = np.array([int(colour[k : k + 2], 16) for k in (1, 3, 5)]) / 255
    if (code == 1).all():
        return np.zeros(4)
    paper = printer.paper @ _D65_WEIGHTS
    target = xyz_to_lab(srgb_to_xyz(code), D65_WHITE)

    def inks(cmy: FloatArray) -> FloatArray:
        black = 0.5 * max(0.0, float(cmy.min()) - 0.15)
        return np.append(cmy, black)

    def misses(cmy: FloatArray) -> FloatArray:
        xyz = printer.reflectance(inks(cmy)) @ _D65_WEIGHTS
        return np.asarray(xyz_to_lab(xyz / paper * D65_WHITE, D65_WHITE) - target)

    return inks(least_squares(misses, 1 - 0.9 * code, bounds=(0, 1)).x)


def with_own_card(scene: Scene, card: PrintedCard) -> Scene:
    """Return a scene with our own card in the place of the classic one, in the same light."""
    outline = np.asarray(scene.card_corners_px, dtype=float)
    across, down = (float(np.linalg.norm(outline[k] - outline[0])) for k in (1, 3))
    if across < down:  # the classic card stands on its short side: ours does too
        outline, across, down = np.roll(outline, -1, axis=0), down, across
    fits = np.array([layout.WIDTH_MM / across, layout.HEIGHT_MM / down])
    part = 0.5 + (_UNIT - 0.5) * fits / fits.max()
    on_outline, _ = cv2.findHomography(_UNIT, outline)
    to_picture, _ = cv2.findHomography(layout.CARD_CORNERS_MM, _carried(part, on_outline))
    return laid(scene, card, to_picture, board=card.paper)


def laid(scene: Scene, card: PrintedCard, to_picture: AnyArray, board: FloatArray | None = None) -> Scene:
    """Return a scene with the card drawn over it as its sheet is: paper, patches, corner marks, serial."""
    surfaces = [card.paper, *card.patches]
    quads = [layout.CARD_CORNERS_MM, *(patch.quad_mm for patch in layout.CARD_PATCHES)]
    for left, top, width, height, colour in card_sheet(card.serial).rectangles[len(layout.CARD_PATCHES) :]:
        surfaces.append(card.black if colour == BLACK else card.paper)
        quads.append((left, top) + _UNIT * (width, height))
    drawn = [(_carried(quad, to_picture), surface) for quad, surface in zip(quads, surfaces, strict=True)]
    return with_card(scene, drawn, board, white=1 + layout.WHITE)


def _carried(points: FloatArray, homography: AnyArray) -> FloatArray:
    return np.asarray(cv2.perspectiveTransform(points[None], homography)[0], dtype=float)


def calibration_photograph(
    card: PrintedCard, seed: int, camera: str, light: str | None = None, uneven: float = 1.0
) -> ByteArray:
    """Return a picture of the print beside the classic card as one would take it; by daylight if no light is named.

    uneven: how much of an ordinary lamp's falling off.
    """
    rng = np.random.default_rng(seed)
    corners = np.array([[150.0, 440.0], [490.0, 436.0], [494.0, 438.0], [146.0, 438.0]])
    corners[2:, 1] += 340 * layout.HEIGHT_MM / layout.WIDTH_MM
    to_picture, _ = cv2.findHomography(layout.CARD_CORNERS_MM, corners + rng.uniform(-5, 5, (4, 2)))
    shot = Shot(
        exposure=float(2 ** rng.uniform(-0.3, 0.1)),
        white_balance=str(rng.choice(["auto", "as-shot", "off"])),
        tone=str(rng.choice(["linear", "s-curve"])),
        noise=float(rng.uniform(0.05, 0.4)),
        vignette=float(rng.choice([0.0, 0.05])),
        seed=int(rng.integers(2**31)),
    )
    scene = laid(_table(rng, uneven), card, to_picture)
    return expose(scene, light or str(rng.choice(_DAYLIGHTS)), camera, shot).picture


def _table(rng: np.random.Generator, uneven: float) -> Scene:
    """Return a grey table with the classic card in its upper half, lit by one lamp that falls off to one side."""
    chart = classic24().reflectances
    height, width = 800, 640
    material, label = np.zeros((height, width), dtype=np.int64), np.zeros((height, width), dtype=np.uint8)
    left, top, pitch, side = 65, 70, 85, 72
    material[top - 20 : top + 4 * pitch + 7, left - 20 : left + 6 * pitch + 7] = 1  # the card's dark frame
    for k in range(len(chart)):
        y, x = top + pitch * (k // 6), left + pitch * (k % 6)
        material[y : y + side, x : x + side], label[y : y + side, x : x + side] = 2 + k, FIRST_PATCH + k
    y, x = (np.mgrid[:height, :width] + 0.5 - np.array([400, 320])[:, None, None]) / 400
    slope, bend = uneven * rng.normal(0, 0.15, 2), uneven * rng.normal(0, 0.03)
    coef = np.exp(slope[0] * y + slope[1] * x + bend * (x * x + y * y))[None, None]
    basis = np.concatenate([np.full((1, 81), 0.35), np.full((1, 81), 0.04), chart])[:, None, :]
    right, bottom = left + 6 * pitch, top + 4 * pitch
    corners = np.array([[left, top], [right, top], [right, bottom], [left, bottom]])
    meta = {"labels": {}, "regions": [], "card": True}
    return Scene("table", coef, basis, material, label, np.zeros((0, 81)), chart, corners, np.zeros((24, 4, 2)), meta)


@lru_cache(maxsize=12)
def own_scene(name: str, serial: int) -> Scene:
    """Return a scene of studies/scenes/rendered with one print of our own card in it."""
    return with_own_card(load_scene(name), printed_card(serial))
