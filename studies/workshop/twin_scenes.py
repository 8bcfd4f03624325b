"""The rendered scenes that differ in the cloth alone, as one spectrum a region: what a region sends to the lens.

`python -m studies.workshop.twin_scenes` writes tests/data/twin_scenes/regions.csv again.
"""

import csv
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np

from studies.scenes.exposure import load_scene
from studies.scenes.photo_truth import TRUTH_NAME
from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.illuminants import WAVELENGTHS_NM

FILE = Path(__file__).parents[2] / "tests" / "data" / "twin_scenes" / "regions.csv"
TWINS = ("p1", "p2", "p12", "p13", "p14", "p15", "p16", "p17")
_CLOTH, _WHITE = "drape", "card_white"
_NM = [f"{nm:.0f}" for nm in WAVELENGTHS_NM]


@dataclass(frozen=True, eq=False)
class TwinScene:
    """One scene: the radiance of each place of the face and of the card's white (81,), and the cloth's reflectance.

    Radiances are those under a lamp of equal power; places are named as the program does, left being the client's.
    """

    name: str
    cloth_name: str
    radiance: dict[str, FloatArray]
    cloth: FloatArray


@lru_cache(maxsize=16)
def twin_of(name: str) -> TwinScene:
    """Return a scene's spectra, from the rendered picture."""
    scene = load_scene(name)
    radiance = {str(region): _mean(name, scene.regions[place]) for region, place in TRUTH_NAME.items()}
    radiance[_WHITE] = _radiance(name, scene.patch(scene.white))
    cloth = dict(zip(scene.regions, scene.region_reflectance, strict=True))[_CLOTH]
    return TwinScene(name, scene.meta["drape"], radiance, np.asarray(cloth, dtype=float))


def skin_of(name: str) -> dict[str, FloatArray]:
    """Return the true diffuse reflectance (81,) of each place of a scene's face."""
    scene = load_scene(name)
    known = dict(zip(scene.regions, scene.region_reflectance, strict=True))
    return {str(region): np.asarray(known[place], dtype=float) for region, place in TRUTH_NAME.items()}


def _mean(name: str, labels: list[int]) -> FloatArray:
    return _radiance(name, np.isin(load_scene(name).label, labels))


def _radiance(name: str, where: BoolArray) -> FloatArray:
    scene = load_scene(name)
    total = np.zeros(len(WAVELENGTHS_NM))
    for m in np.unique(scene.material[where]):
        part = where & (scene.material == m)
        total += sum(c[:, part].astype(float).sum(axis=1) for c in scene.coef) @ scene.basis[m]
    mean: FloatArray = total / where.sum()
    return mean


def read_twins(file: Path = FILE) -> dict[str, TwinScene]:
    """Return the scenes of the small file."""
    found: dict[str, TwinScene] = {}
    with file.open(encoding="utf-8", newline="") as text:
        for row in csv.DictReader(line for line in text if not line.startswith("#")):
            scene = found.setdefault(row["scene"], TwinScene(row["scene"], row["cloth"], {}, np.zeros(len(_NM))))
            spectrum = np.array([float(row[nm]) for nm in _NM])
            if row["place"] == _CLOTH:
                scene.cloth[:] = spectrum
            else:
                scene.radiance[row["place"]] = spectrum
    return found


def main() -> None:
    FILE.parent.mkdir(parents=True, exist_ok=True)
    with FILE.open("w", encoding="utf-8", newline="") as text:
        writer = csv.writer(text, lineterminator="\n")
        writer.writerow(["scene", "cloth", "place", *_NM])
        for twin in map(twin_of, TWINS):
            for place, spectrum in {**twin.radiance, _CLOTH: twin.cloth}.items():
                writer.writerow([twin.name, twin.cloth_name, place, *(f"{value:.6g}" for value in spectrum)])


if __name__ == "__main__":
    main()
