"""Write the photographs of tests/data/exposed_portraits: classes of skin that the rendered portraits there lack.

`python -m studies.written.write_portraits` makes the same files again: three faces in soft light, four lights, four
cameras.
"""

import json
from pathlib import Path

import numpy as np

from studies.photo.photo_runs import truth_of
from studies.scenes.exposure import Exposure, expose, load_scene
from studies.scenes.photo_truth import TRUTH_NAME
from tenter.colorimetry.typology import individual_typology_angle

FOLDER = Path(__file__).parents[2] / "tests" / "data" / "exposed_portraits"
_SHOTS = (
    ("p6", "D65", "phone-b", {"tone": "s-curve", "exposure": 0.9}),
    ("p6", "LED-B3", "nikon", {"white_balance": "auto"}),
    ("p6", "A", "phone-a", {"white_balance": "auto", "tone": "s-curve"}),
    ("p7", "D50", "sigma", {"tone": "s-curve"}),
    ("p7", "FL11", "phone-a", {"white_balance": "auto", "exposure": 1.1}),
    ("p7", "A", "phone-b", {"white_balance": "auto"}),
    ("p8", "LED-B3", "phone-b", {"tone": "s-curve", "vignette": 0.08}),
    ("p8", "D50", "nikon", {"exposure": 0.8}),
    ("p8", "FL11", "sigma", {"white_balance": "auto"}),
)


def entry(name: str, exposure: Exposure) -> dict[str, object]:
    """Return what truth.json says of a photograph, in the form of the rendered portraits'."""
    truth = truth_of(exposure)
    regions = {
        region: {"pixels": truth.pixels[region], "ita_D65": float(individual_typology_angle(truth.skin_lab[region]))}
        for region in (*TRUTH_NAME.values(), "all_skin")
    }
    return {
        "file": name,
        "scene": truth.scene,
        "light": exposure.lights[0],
        "camera": exposure.camera,
        "regions": regions,
        "scene_xyz_d65": {r: np.round(truth.xyz_d65[r], 6).tolist() for r in TRUTH_NAME.values()},
    }


def main() -> None:
    FOLDER.mkdir(parents=True, exist_ok=True)
    images = []
    for number, (scene, light, camera, options) in enumerate(_SHOTS):
        exposure = expose(load_scene(scene), light, camera, noise=0.2, jpeg=88, seed=number, **options)
        name = f"{scene}_{light}_{camera}.jpg".lower()
        (FOLDER / name).write_bytes(exposure.jpeg())
        images.append(entry(name, exposure))
    text = json.dumps({"images": images}, indent=1)
    (FOLDER / "truth.json").write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
