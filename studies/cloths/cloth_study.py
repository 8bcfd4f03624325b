"""How well cloths, racks and prints are read from photographs: `.venv/bin/python -m studies.cloths.cloth_study
[--count 64]`.

Truth is what an instrument would read of the flat cloth, Lab D65/2°. "Lightness-matched" brings the lightness read to
the true one first, which leaves hue and chroma. Cloths are turned out of the card's plane by a normal angle of 4°, and
the lamp stands 20 to 50° from the wall's normal.
"""

import argparse
from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from studies.clients.targets import Target, at_least, at_most
from studies.scenes.cameras import CAMERAS, LIGHTS
from studies.scenes.cloth_scene import FIRST_CLOTH, Drapery, Room, cloth_reflectances, cloth_scene, true_lab
from studies.scenes.exposure import Exposure, Scene, expose, ordinary_shot
from tenter.arrays import AnyArray, BoolArray, FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.photo.cards import CardSearch, ChartKind, look_for_card
from tenter.photo.cloth.colour import ClothReason, cloth_pixels, read_cloth
from tenter.photo.cloth.measure import light_doubt, said_of_card, usable_correction
from tenter.photo.cloth.print_palette import print_palette
from tenter.photo.cloth.rack import measure_rack
from tenter.photo.files.loading import Photo, photo_from_bytes
from tenter.photo.patches.correction import Correction

DAYLIGHT = ("D65", "D50")
_MEASURED = 41  # of the reflectances; the rest are recovered from the demo kit's colours
_ROWS, _COLUMNS, _EMPTY = 4, 5, 2


@dataclass(frozen=True)
class Row:
    """One cloth read: under which light and in which part of the study, what came and what is true."""

    light: str
    part: str
    lab: FloatArray
    true_lab: FloatArray
    half_width: FloatArray

    @property
    def error(self) -> float:
        return float(delta_e_2000(self.lab, self.true_lab))

    @property
    def matched_error(self) -> float:
        factor = (self.true_lab[0] + 16) / (self.lab[0] + 16)
        return float(delta_e_2000(np.array([self.true_lab[0], *(factor * self.lab[1:])]), self.true_lab))


@dataclass
class Tally:
    """What the study found: rows, why cloths or pictures were refused, and how whole racks and prints came out."""

    rows: list[Row]
    refused: Counter[str]
    counted: Counter[str]


def photographed(scene: Scene, turn: int, rng: np.random.Generator) -> Exposure:
    """Return an ordinary, upright photograph; lights and cameras go round by turns."""
    shot = replace(ordinary_shot(rng), rotate=0.0)
    return expose(scene, LIGHTS[turn % len(LIGHTS)], CAMERAS[turn // len(LIGHTS) % len(CAMERAS)], shot)


def a_cloth(box: tuple[int, int, int, int], folds: int, rng: np.random.Generator) -> Drapery:
    pool = cloth_reflectances()
    k = int(rng.integers(len(pool) if rng.random() < 0.5 else _MEASURED))
    gloss = float(rng.choice([0, 0, 0.03, 0.08]))
    return Drapery(box, pool[k], folds, float(rng.uniform(5, 35)), gloss, float(rng.normal(0, 4)))


def a_print(box: tuple[int, int, int, int], rng: np.random.Generator) -> Drapery:
    surfaces = apart(rng, int(rng.integers(2, 5)))
    areas = tuple(map(float, rng.dirichlet(np.full(len(surfaces), 6.0))))
    return Drapery(box, surfaces, int(rng.integers(0, 3)), 10.0, 0.0, float(rng.normal(0, 4)), areas)


def a_room(rng: np.random.Generator, gradient: float, mottle: float = 0.0) -> Room:
    wall, lamp = float(rng.uniform(0.2, 0.7)), float(rng.uniform(20, 50))
    across, down = (float(v) for v in rng.normal(0, gradient, 2))
    return Room(wall=wall, lamp=lamp, gradient=(across, down), mottle=mottle)


@dataclass(frozen=True)
class Beside:
    """Cloths photographed beside a card that can be used, and where each of them is."""

    photo: Photo
    light: str
    card: CardSearch
    correction: Correction
    label: AnyArray

    def where(self, cloth: int) -> BoolArray:
        """Return the pixels (height, width) of a cloth."""
        found: BoolArray = self.label == FIRST_CLOTH + cloth
        return found


def beside_card(cloths: list[Drapery], turn: int, rng: np.random.Generator, tally: Tally) -> Beside | None:
    """Photograph cloths beside a card; None where the card says nothing, which is tallied."""
    scene = cloth_scene(cloths, a_room(rng, 0.06), seed=turn)
    taken = photographed(scene, turn, rng)
    photo = photo_from_bytes(taken.jpeg(), "cloths")
    card = look_for_card(photo, ChartKind.CLASSIC24)
    tally.refused.update(str(reason.code) for reason in said_of_card(card) if reason.refuses)
    correction = usable_correction(card)
    return None if correction is None else Beside(photo, taken.lights[0], card, correction, scene.label)


def single_cloths(turn: int, rng: np.random.Generator, tally: Tally) -> None:
    """Read six cloths of one picture, each in a place that is given, with up to six folds."""
    boxes = [(330 + 185 * column, 40 + 320 * row, 165, 290) for row in range(2) for column in range(3)]
    cloths = [a_cloth(box, int(rng.integers(0, 7)), rng) for box in boxes]
    seen = beside_card(cloths, turn, rng, tally)
    if seen is None:
        return
    for k, cloth in enumerate(cloths):
        pixels = cloth_pixels(seen.photo, seen.where(k), seen.correction)
        found = read_cloth(pixels, seen.correction, light_error=light_doubt(seen.card))
        if isinstance(found, ClothReason):
            tally.refused[found.code] += 1
        else:
            row = Row(seen.light, "cloth", found.lab, true_lab(cloth.reflectances), found.half_width_90)
            tally.rows.append(row)


def racks(turn: int, rng: np.random.Generator, tally: Tally) -> None:
    """Read a rack of four rows of five, two places empty; every third wall is blotched."""
    places = [(325 + 114 * column, 25 + 165 * row) for row in range(_ROWS) for column in range(_COLUMNS)]
    cloths = [a_cloth((x, y, 92, 140), int(rng.integers(0, 4)), rng) for x, y in places]
    empty = {int(k) for k in rng.choice(len(cloths), _EMPTY, replace=False)}
    hung = [cloth for k, cloth in enumerate(cloths) if k not in empty]
    room = a_room(rng, 0.15, 0.0 if turn % 3 else 0.08)
    taken = photographed(cloth_scene(hung, room, seed=turn), turn, rng)
    measured = measure_rack(photo_from_bytes(taken.jpeg(), "rack"), _ROWS, _COLUMNS)
    wall = "plain wall" if turn % 3 else "blotched wall"
    tally.refused.update(str(reason.code) for reason in measured.card_reasons if reason.refuses)
    tally.refused.update(str(reason.code) for reason in measured.reasons)
    tally.counted[f"racks before a {wall}"] += 1
    tally.counted[f"racks before a {wall}, found"] += bool(measured.cells)
    for k, cell in enumerate(measured.cells):
        if k in empty:
            tally.counted["empty places"] += 1
            tally.counted["empty places, said so"] += cell.colour is None
        elif cell.colour is None:
            tally.refused[str(getattr(cell.found, "code", ""))] += 1
        else:
            true = true_lab(cloths[k].reflectances)
            row = Row(taken.lights[0], f"rack, {wall}", cell.colour.lab, true, cell.colour.half_width_90)
            tally.rows.append(row)


def prints(turn: int, rng: np.random.Generator, tally: Tally) -> None:
    """Read three prints of two to four colours that lie 15 ΔE00 apart or more."""
    cloths = [a_print((330 + 185 * column, 40, 165, 600), rng) for column in range(3)]
    seen = beside_card(cloths, turn, rng, tally)
    if seen is None:
        return
    for k, cloth in enumerate(cloths):
        palette = print_palette(seen.photo, seen.where(k), seen.correction)
        tally.counted["prints"] += 1
        tally.counted["prints, right number of colours"] += len(palette) == len(cloth.areas)
        true = true_lab(cloth.reflectances)
        for colour in palette:
            nearest = int(delta_e_2000(colour.lab, true).argmin())
            tally.rows.append(Row(seen.light, "print", colour.lab, true[nearest], colour.half_width_90))
            tally.counted["print colours"] += 1
            tally.counted["print colours, area within 0.05"] += abs(colour.area - cloth.areas[nearest]) <= 0.05


def apart(rng: np.random.Generator, count: int) -> FloatArray:
    """Return reflectances (count, 81) drawn 15 ΔE00 or more from one another."""
    pool = cloth_reflectances()
    lab = true_lab(pool)
    chosen: list[int] = []
    for k in rng.permutation(len(pool)):
        if all(delta_e_2000(lab[k], lab[other]) >= 15 for other in chosen):
            chosen.append(int(k))
        if len(chosen) == count:
            break
    return pool[chosen]


def line(name: str, rows: Iterable[Row]) -> str:
    rows = list(rows)
    if not rows:
        return f"{name:20s}    0"
    errors, matched = ([getattr(row, kind) for row in rows] for kind in ("error", "matched_error"))
    inside = np.mean([np.abs(row.lab - row.true_lab) <= row.half_width for row in rows], axis=0)
    width = np.median([row.half_width for row in rows], axis=0)
    return (
        f"{name:20s} {len(rows):4d}  {np.median(errors):5.2f} {np.percentile(errors, 95):5.2f}"
        f"  {np.median(matched):5.2f} {np.percentile(matched, 95):5.2f}"
        f"   {inside[0]:.2f} {inside[1]:.2f} {inside[2]:.2f}   {width[0]:.1f} {width[1]:.1f} {width[2]:.1f}"
    )


def cloth_study(count: int, seed: int) -> Tally:
    """Take `count` photographs of every part, and read them."""
    tally = Tally([], Counter(), Counter())
    for turn in range(count):
        single_cloths(turn, np.random.default_rng([seed, turn, 1]), tally)
        racks(turn, np.random.default_rng([seed, turn, 2]), tally)
        prints(turn, np.random.default_rng([seed, turn, 3]), tally)
    return tally


def cloth_targets(tally: Tally) -> list[Target]:
    """Return what was wanted of cloths in daylight, and of the intervals, beside what came. Our own targets."""
    daylight = [row for row in tally.rows if row.part == "cloth" and row.light in DAYLIGHT]
    errors = [row.error for row in daylight]
    inside = np.mean([np.abs(row.lab - row.true_lab) <= row.half_width for row in tally.rows], axis=0)
    return [
        at_most("cloths in daylight: ΔE00, median", float(np.median(errors)), 2.5),
        at_most("cloths in daylight: ΔE00, 95 of 100", float(np.percentile(errors, 95)), 6.0),
        *(at_least(f"cloths: inside the interval of {n}*", float(v), 0.85) for n, v in zip("Lab", inside, strict=True)),
    ]


def report(tally: Tally) -> None:
    """Print what came."""
    print("ΔE00 against the cloth's own colour, Lab D65/2°: median and p95, the same lightness-matched;")
    print("part of L*, a*, b* inside their 90 % intervals; median half-width of L*, a*, b*\n")
    print("                        n   ΔE00   p95  match   p95     L*   a*   b*    ± L*  a*  b*")
    groups: dict[str, list[Row]] = defaultdict(list)
    for row in tally.rows:
        groups[row.part].append(row)
        if row.part == "cloth":
            groups[f"  {row.light}"].append(row)
            groups["  daylight" if row.light in DAYLIGHT else "  other light"].append(row)
    for name in ("cloth", "  daylight", "  other light", *(f"  {light}" for light in LIGHTS)):
        print(line(name, groups[name]))
    for name in ("rack, plain wall", "rack, blotched wall", "print"):
        print(line(name, groups[name]))
        print(line("  daylight", (row for row in groups[name] if row.light in DAYLIGHT)))
    print("\nrefused:", ", ".join(f"{code} {n}" for code, n in tally.refused.most_common()) or "none")
    for name, n in sorted(tally.counted.items()):
        print(f"{name}: {n}")


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--count", type=int, default=64)
    parser.add_argument("--seed", type=int, default=2)
    options = parser.parse_args()
    tally = cloth_study(options.count, options.seed)
    report(tally)
    print("\n" + "\n".join(str(target) for target in cloth_targets(tally)))


if __name__ == "__main__":
    main()
