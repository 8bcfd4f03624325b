"""Cloths harder than those of the study: `.venv/bin/python -m studies.cloths.hard_cloths [--count 24]`.

Each kind is photographed in the lights and with the cameras of the study, by turns. A colour is right when it lies in
its 90 % interval; else only a refusal that says how to do better will do.
"""

import argparse
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from functools import partial

import cv2
import numpy as np

from studies.cloths.cloth_study import Row, Tally, a_cloth, a_room, apart, beside_card, line, photographed
from studies.scenes.cloth_scene import Drapery, cloth_reflectances, cloth_scene, true_lab
from studies.scenes.exposure import Scene
from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.photo.cloth.colour import ClothReason, cloth_pixels, read_cloth
from tenter.photo.cloth.measure import light_doubt
from tenter.photo.cloth.print_palette import print_palette
from tenter.photo.cloth.rack import measure_rack
from tenter.photo.files.loading import photo_from_bytes

Reader = Callable[[str, int, np.random.Generator, Tally], None]
_SIX = [(330 + 185 * column, 40 + 320 * row, 165, 290) for row in range(2) for column in range(3)]
_CARD_TO_RACK = (325, 25)  # where a rack begins, right of the card


def reflectances(which: Callable[[FloatArray], FloatArray]) -> FloatArray:
    """Return the reflectances whose Lab (n, 3) makes `which` (n,) true."""
    pool = cloth_reflectances()
    return pool[which(true_lab(pool)).astype(bool)]


def _hung(rng: np.random.Generator, pool: FloatArray | None = None, most_folds: int = 4, **of: float) -> list[Drapery]:
    cloths = [a_cloth(box, int(rng.integers(0, most_folds + 1)), rng) for box in _SIX]
    if pool is not None:
        cloths = [replace(cloth, reflectances=pool[rng.integers(len(pool))]) for cloth in cloths]
    return [replace(cloth, **of) for cloth in cloths]


def _navy_and_black(rng: np.random.Generator) -> list[Drapery]:
    black = np.full(81, 0.022)
    navy = np.interp(np.linspace(0, 1, 81), [0, 0.15, 0.35, 0.5, 1], [0.035, 0.055, 0.028, 0.020, 0.021])
    return [replace(c, reflectances=navy if k % 2 else black, gloss=0.0) for k, c in enumerate(_hung(rng))]


def _alike(rng: np.random.Generator) -> list[Drapery]:
    pool = cloth_reflectances()
    one = pool[rng.integers(len(pool))]
    return [replace(cloth, reflectances=one) for cloth in _hung(rng)]


KINDS: dict[str, Callable[[np.random.Generator], list[Drapery]]] = {
    "ordinary": _hung,
    "coarse weave": lambda rng: _hung(rng, weave=0.15),
    "ribs": lambda rng: _hung(rng, ribs=0.5),  # an instrument sees the ribs' shadow too: the truth has it
    "velvet": lambda rng: _hung(rng, pile=0.06, gloss=0.0),
    "strongly folded": lambda rng: [replace(c, folds=8, slope=50.0) for c in _hung(rng)],
    "satin": lambda rng: _hung(rng, gloss=0.25),
    "sequins": lambda rng: _hung(rng, sparkle=0.15),
    "a few glints": lambda rng: _hung(rng, sparkle=0.02),
    "navy beside black": _navy_and_black,
    "very vivid": lambda rng: _hung(rng, reflectances(lambda lab: np.hypot(lab[:, 1], lab[:, 2]) > 60)),
    "nearly white": lambda rng: _hung(rng, reflectances(lambda lab: lab[:, 0] > 88)),
    "turned by 20°": lambda rng: [replace(c, tilt=float(rng.choice([-20, 20]))) for c in _hung(rng)],
    "all alike": _alike,
}


def single(kind: str, turn: int, rng: np.random.Generator, tally: Tally) -> None:
    """Read six cloths of a kind, each in a place that is given."""
    cloths = KINDS[kind](rng)
    seen = beside_card(cloths, turn, rng, tally)
    if seen is None:
        return
    for k, cloth in enumerate(cloths):
        found = read_cloth(
            cloth_pixels(seen.photo, seen.where(k), seen.correction),
            seen.correction,
            light_error=light_doubt(seen.card),
        )
        if isinstance(found, ClothReason):
            tally.refused[found.code] += 1
        else:
            tally.rows.append(
                Row(
                    seen.light,
                    kind,
                    found.lab,
                    true_lab((1 - cloth.ribs / 2) * cloth.reflectances),
                    found.half_width_90,
                )
            )


# -- prints ------------------------------------------------------------------------------------------------------------


def printed(count: int, stripes: bool, kind: str, turn: int, rng: np.random.Generator, tally: Tally) -> None:
    """Read prints of so many colours."""
    cloths = []
    for column in range(3):
        areas = tuple(map(float, rng.dirichlet(np.full(count, 12.0))))
        cloths.append(
            Drapery(
                (330 + 185 * column, 40, 165, 600),
                apart(rng, count),
                int(rng.integers(0, 3)),
                10.0,
                0.0,
                float(rng.normal(0, 4)),
                areas,
                stripes,
            )
        )
    seen = beside_card(cloths, turn, rng, tally)
    if seen is None:
        return
    for k, cloth in enumerate(cloths):
        palette = print_palette(seen.photo, seen.where(k), seen.correction)
        tally.counted[f"{kind}: {len(palette)} found"] += 1
        true = true_lab(cloth.reflectances)
        for colour in palette:
            nearest = int(delta_e_2000(colour.lab, true).argmin())
            tally.rows.append(Row(seen.light, kind, colour.lab, true[nearest], colour.half_width_90))


# -- racks -------------------------------------------------------------------------------------------------------------


def warped(scene: Scene, matrix: FloatArray) -> Scene:
    """Return a scene seen through a homography (3, 3) of its pixels; what comes into view is the wall."""
    height, width = scene.label.shape

    y, x = np.indices((height, width))
    seen = np.stack([x, y, np.ones_like(x)], axis=-1) @ np.linalg.inv(matrix).T
    column, row = (
        np.clip(np.round(seen[..., k] / seen[..., 2]), 0, side - 1).astype(int) for k, side in ((0, width), (1, height))
    )
    return replace(
        scene, coef=scene.coef[:, :, row, column], material=scene.material[row, column], label=scene.label[row, column]
    )


def _perspective(rng: np.random.Generator, strength: float, size: tuple[int, int]) -> FloatArray:
    width, height = size
    corners = np.array([[0, 0], [width, 0], [width, height], [0, height]], dtype=np.float32)
    inward = np.array([[1, 1], [-1, 1], [-1, -1], [1, -1]]) * (width, height)
    moved = corners + inward * rng.uniform(0, strength, (4, 2))
    return np.asarray(cv2.getPerspectiveTransform(corners, moved.astype(np.float32)))


def _rotation(degrees: float, size: tuple[int, int]) -> FloatArray:
    flat = cv2.getRotationMatrix2D((size[0] / 2, size[1] / 2), degrees, 0.88)
    return np.vstack([flat, [0, 0, 1]])


RACKS = (
    "3 x 7, plain wall",
    "3 x 7, striped wall",
    "3 x 7, turned 5 to 10°",
    "3 x 7, perspective",
    "3 x 7, three empty",
    "3 x 7, touching",
    "3 x 7, pairs alike",
    "3 x 7, cut by the edge",
    "1 x 6",
    "6 x 1",
)


def rack(kind: str, turn: int, rng: np.random.Generator, tally: Tally) -> None:
    """Read a rack of a kind."""
    rows, columns = map(int, kind.split(",", maxsplit=1)[0].split(" x "))
    left, top = _CARD_TO_RACK
    size = (1300, 700)
    pitch = (130, 210) if rows > 1 and columns > 1 else (150, 105) if columns == 1 else (150, 210)
    part = 1.0 if "touching" in kind else 0.82
    start = left + (80 if "cut" in kind else 0)
    if "cut" in kind:
        size = (start + pitch[0] * columns - pitch[0] // 2, 700)
    pool = cloth_reflectances()
    chosen = pool[rng.integers(len(pool), size=rows * columns)]
    if "alike" in kind:
        chosen = np.repeat(chosen[::2], 2, axis=0)[: rows * columns]
    places = [(r, c) for r in range(rows) for c in range(columns)]
    empty = set(rng.choice(len(places), 3, replace=False).tolist()) if "empty" in kind else set()
    cloths, of_cell = [], {}
    for k, (r, c) in enumerate(places):
        if k in empty:
            continue
        x, y = start + pitch[0] * c, top + pitch[1] * r
        w, h = min(round(part * pitch[0]), size[0] - x), round(part * pitch[1])
        of_cell[(r + 1, c + 1)] = chosen[k]
        cloths.append(replace(a_cloth((x, y, w, h), int(rng.integers(0, 4)), rng), reflectances=chosen[k]))
    room = replace(a_room(rng, 0.15), size=size, stripes=0.35 if "striped" in kind else 0.0)
    scene = cloth_scene(cloths, room, seed=turn)
    if "turned" in kind:
        scene = warped(scene, _rotation(float(rng.choice([-1, 1]) * rng.uniform(5, 10)), size))
    if "perspective" in kind:
        scene = warped(scene, _perspective(rng, 0.08, size))
    taken = photographed(scene, turn, rng)
    measured = measure_rack(photo_from_bytes(taken.jpeg(), "rack"), rows, columns)
    tally.counted[f"{kind}: {'found' if measured.cells else 'not found'}"] += 1
    tally.refused.update(f"{reason.code}" for reason in (*measured.card_reasons, *measured.reasons))
    for cell in measured.cells:
        true = of_cell.get((cell.row, cell.column))
        if true is None:
            tally.counted[f"{kind}: empty place {'said' if cell.colour is None else 'READ'}"] += 1
        elif cell.colour is None:
            tally.refused[str(getattr(cell.found, "code", ""))] += 1
        else:
            tally.rows.append(Row(taken.lights[0], kind, cell.colour.lab, true_lab(true), cell.colour.half_width_90))


def parts() -> dict[str, Reader]:
    """Return what reads a photograph of each kind."""
    found: dict[str, Reader] = dict.fromkeys(KINDS, single)
    for count, stripes in ((3, False), (8, False), (2, True), (4, True)):
        found[f"{'stripes' if stripes else 'print'} of {count}"] = partial(printed, count, stripes)
    return found | dict.fromkeys(RACKS, rack)


def study(count: int, seed: int, only: str) -> None:
    """Photograph each kind `count` times, read it, and print what came."""
    print("                         n   ΔE00   p95  match   p95     L*   a*   b*    ± L*  a*  b*")
    for kind, read in parts().items():
        if only not in kind:
            continue
        tally = Tally([], Counter(), Counter())
        for turn in range(count):
            read(kind, turn, np.random.default_rng([seed, turn, sum(map(ord, kind))]), tally)
        print(line(f"{kind:24s}", tally.rows))
        said = [f"{what} {n}" for what, n in (*tally.refused.most_common(), *sorted(tally.counted.items()))]
        if said:
            print("      " + ", ".join(said), flush=True)


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--count", type=int, default=8)
    parser.add_argument("--seed", type=int, default=3)
    parser.add_argument("--only", default="")
    options = parser.parse_args()
    study(options.count, options.seed, options.only)
